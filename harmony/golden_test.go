package harmony_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"hairpin/harmony"
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
		golden(t, filepath.Join("testdata", "golden", name+".txt"), listed(s, a))
	}
}

// golden compares with a stored file, or writes it.
func golden(t *testing.T, path string, got []byte) {
	t.Helper()
	if os.Getenv("HAIRPIN_UPDATE") != "" {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from what is heard now", path)
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
	return b.Bytes()
}
