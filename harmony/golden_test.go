package harmony_test

import (
	"bytes"
	"fmt"
	"path/filepath"
	"testing"

	"hairpin/harmony"
	"hairpin/internal/golden"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

// What is heard in the demo scores and an invented piece, with its numbers:
// they say what the program says today, not what is right. After a change that
// is meant, write them anew with HAIRPIN_UPDATE=1 go test ./harmony -run Golden,
// and read the difference with the score at hand.
func TestGolden(t *testing.T) {
	scores := map[string]*score.Score{"invention": scoregen.Piano(24, 3)}
	for _, name := range []string{"etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"} {
		f, err := musicxml.Open(filepath.Join("..", "testdata", name+".musicxml"))
		if err != nil {
			t.Fatal(err)
		}
		scores[name] = f.Score
	}
	for name, s := range scores {
		a, err := harmony.Analyse(s, harmony.Options{})
		if err != nil {
			t.Fatal(err)
		}
		golden.File(t, name+".txt", listed(s, a))
	}
}

// listed is an analysis as text, numbers rounded so that no processor matters.
func listed(s *score.Score, a *harmony.Analysis) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "home %s %.2f\n", a.Home.Name(), a.HomeConfidence)
	for _, c := range a.Chords {
		fmt.Fprintf(&b, "chord %s %s %s %s %.2f key %.2f rival %q why %q\n", s.At(c.Start), c.Key.Name(), c.Roman(), c.Name(), c.Confidence, c.KeyConfidence, c.Rival, c.Why)
	}
	for _, p := range a.Phrases {
		fmt.Fprintf(&b, "phrase %s %.2f %s\n", s.At(p.Start), p.Confidence, p.Why)
	}
	for _, c := range a.Cadences {
		fmt.Fprintf(&b, "cadence %s %s %s %.2f %s\n", s.At(c.At), c.Kind, c.Key.Name(), c.Confidence, c.Why)
	}
	for _, m := range a.Moments {
		t := m.Tension
		fmt.Fprintf(&b, "moment %s chord %d total %.1f dissonance %.1f distance %.1f pull %.1f\n", s.At(m.Start), m.Chord, t.Total, t.Dissonance, t.Distance, t.Pull)
	}
	for _, e := range a.Expectations {
		fmt.Fprintf(&b, "awaited %s to %s by %s release %v answer %d peak %.1f\n", s.At(e.From), s.At(e.Until), e.By, e.Release, e.Answer, e.Peak)
	}
	for _, u := range a.Form.Units {
		fmt.Fprintf(&b, "unit %s to %s phrases %d to %d %.2f %s\n", s.At(u.Start), s.At(u.End), u.First, u.Last, u.Certainty, u.Why)
	}
	for _, i := range a.Form.Ideas {
		fmt.Fprintf(&b, "idea %s %s prime %v of %d likeness %.2f %s %.2f %s\n", s.At(i.Start), i.Letter, i.Prime, i.Of, i.Likeness, i.Role, i.Certainty, i.Why)
	}
	for i, x := range a.Tree {
		fmt.Fprintf(&b, "branch %d over %d reach %d height %d steps %.2f inherited %.2f\n", i, x.Over, x.Reach, x.Height, x.Steps, x.Inherited)
	}
	for _, x := range a.PhraseArcs {
		fmt.Fprintf(&b, "arc %s goal %s arrival %s kept %.2f sure %.2f %s\n", s.At(x.Start), s.At(x.Goal), s.At(x.Arrival), x.Kept, x.Sure, x.Why)
	}
	return b.Bytes()
}
