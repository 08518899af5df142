package tension

import (
	"encoding/json"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// page is the worked bar of TENSION.md: C major, four voices, the soprano's C
// held from ii65 over the dominant and let down to B.
func page(t testing.TB) (*score.Score, *Course) {
	t.Helper()
	c, _ := tonal.ParseKey("C")
	s, a, err := RateSequence(c, []Written{
		{Key: c, Roman: "I", Keys: []int{48, 55, 64, 72}}, {Key: c, Roman: "ii65", Keys: []int{53, 57, 62, 72}},
		{Key: c, Roman: "V7", Quarters: 2, Keys: []int{55, 62, 65}}, {Key: c, Roman: "I", Quarters: 4, Keys: []int{48, 55, 64, 72}},
	}, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	s.Parts[0].Name = "Piano"
	for i := range s.Notes { // the soprano, a voice of its own, holds its C for a beat more
		n := &s.Notes[i]
		n.Part = 0
		if n.Onset == s.Division && n.Pitch.Key() == 72 {
			n.Duration = 2 * s.Division
		}
	}
	s.Notes = append(s.Notes, score.Note{Onset: 3 * s.Division, Duration: s.Division, Staff: 1, Voice: 4, Pitch: pitchAt(71, 5)})
	sortNotes(s)
	a.Slices = tonal.Slices(s, 0)
	a.Rate(s, Weights{1, 1, 1})
	return s, a
}

func TestExplainSuspension(t *testing.T) {
	s, a := page(t)
	e := a.Explainer(s).At(2 * s.Division)
	if e.Chord == nil || e.Chord.Roman != "V7" || e.At.String() != "1:3" {
		t.Fatalf("%+v", e)
	}
	if len(e.Foreign) != 1 || e.Foreign[0] != (ExplainedTone{"C5", "Piano", Suspension, "B4", s.At(3 * s.Division)}) || e.Foreign[0].When.String() != "1:4" {
		t.Errorf("non-chord tones: %+v", e.Foreign)
	}
	if len(e.Clashes) == 0 || e.Clashes[0].Interval != "minor seventh" && e.Clashes[0].Interval != "major second" {
		t.Errorf("clashes: %+v", e.Clashes)
	}
	if len(e.Waiting) != 2 || e.Waiting[0].By != ByDominant || e.Waiting[0].Until.String() != "2:1" || e.Waiting[0].Release != Fully || e.Waiting[1].By != ByTone {
		t.Errorf("waiting: %+v", e.Waiting)
	}
	if d := e.Distance; d.FromTonic != 5 || d.Region != 0 || d.Fifths != 1 || d.New != 4 || d.FromHome != 0 {
		t.Errorf("distance: %+v", d)
	}
	if sum := e.Points.Dissonance + e.Points.Distance + e.Points.Pull; !agree(sum, e.Tension.Total, 1e-9) {
		t.Errorf("the parts add up to %.2f, the total is %.2f", sum, e.Tension.Total)
	}
	end := a.Explainer(s).At(4 * s.Division)
	if len(end.Answered) != 1 || end.Answered[0].Release != Fully {
		t.Errorf("answered: %+v", end.Answered)
	}
	if _, err := json.Marshal(e); err != nil {
		t.Error(err)
	}
}

func TestExplainOutside(t *testing.T) {
	s, a := page(t)
	if e := a.Explainer(s).At(s.Length() + 1); len(e.Sounding) > 0 || e.Chord != nil {
		t.Errorf("%+v", e)
	}
}

func TestIntervalName(t *testing.T) {
	for pair, want := range map[string]string{
		"C4 Db4": "minor second", "C4 D4": "major second", "C4 D#4": "augmented second", "B3 F4": "diminished fifth",
		"F4 B4": "augmented fourth", "C4 Bb4": "minor seventh", "C4 B4": "major seventh", "G#3 F4": "diminished seventh",
		"C4 Db5": "minor ninth", "C4 C5": "perfect octave", "C4 C4": "perfect unison", "Ab3 F#4": "augmented sixth",
		"E4 C4": "major third", "C4 D6": "major second", "C4 C#4": "augmented unison",
	} {
		a, b, _ := strings.Cut(pair, " ")
		if got := intervalName(pitchOf(t, a), pitchOf(t, b)); got != want {
			t.Errorf("%s: %s, want %s", pair, got, want)
		}
	}
}

func pitchOf(t *testing.T, name string) score.Pitch {
	t.Helper()
	c, ok := score.ParseClass(name[:len(name)-1])
	if !ok {
		t.Fatal(name)
	}
	return score.Pitch{Step: c.Step(), Alter: float64(c.Alter()), Octave: int(name[len(name)-1] - '0')}
}
