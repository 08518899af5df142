package tension

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// over writes a soprano, as MIDI keys and lengths in eighths, over a bar of I
// and a bar of V in C.
func over(t *testing.T, line [][2]int) (*score.Score, *Course) {
	t.Helper()
	c, _ := tonal.ParseKey("C")
	s, a, err := RateSequence(c, []Written{
		{Key: c, Roman: "I", Quarters: 4, Keys: []int{48, 52, 55}}, {Key: c, Roman: "V", Quarters: 4, Keys: []int{43, 50, 55, 59}},
	}, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	at := score.Tick(0)
	for _, n := range line {
		length := score.Tick(n[1]) * s.Division / 2
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: length, Staff: 1, Voice: 9, Pitch: pitchAt(n[0], tonal.KeyAt(n[0], false).Tonic)})
		at += length
	}
	sortNotes(s)
	a.Slices = tonal.Slices(s, 0)
	a.Rate(s, Weights{1, 1, 1})
	return s, a
}

// The usual names of non-chord tones (common practice, no source). at is the
// eighth at which the tone sounds.
func TestForeignKinds(t *testing.T) {
	const C, D, E, F, G, A, B = 72, 74, 76, 77, 79, 81, 71
	for _, c := range []struct {
		kind ForeignKind
		line [][2]int
		at   int
		to   string
	}{
		{Passing, [][2]int{{C, 1}, {D, 1}, {E, 6}}, 1, "E5"},
		{AccentedPassing, [][2]int{{C, 2}, {D, 2}, {E, 4}}, 2, "E5"},
		{Neighbour, [][2]int{{C, 1}, {D, 1}, {C, 6}}, 1, "C5"},
		{Appoggiatura, [][2]int{{C, 2}, {F, 2}, {E, 4}}, 2, "E5"},
		{Escape, [][2]int{{C, 1}, {D, 1}, {G, 6}}, 1, ""},
		{Anticipation, [][2]int{{C, 7}, {D, 1}, {D, 8}}, 7, ""},
		{Suspension, [][2]int{{C, 12}, {B, 4}}, 8, "B4"},
		{Suspension, [][2]int{{C, 8}, {C, 4}, {B, 4}}, 8, "B4"},
		{HeldTone, [][2]int{{C, 12}, {G, 4}}, 8, ""},
		{FreeTone, [][2]int{{C, 1}, {A, 1}, {C, 6}}, 1, ""},
	} {
		s, a := over(t, c.line)
		e := a.Explainer(s).At(score.Tick(c.at) * s.Division / 2)
		if len(e.Foreign) != 1 || e.Foreign[0].Kind != c.kind || e.Foreign[0].To != c.to {
			t.Errorf("%v at eighth %d: %+v, want a %s to %q", c.line, c.at, e.Foreign, c.kind, c.to)
		}
	}
}

// What leans on the beat weighs more than what passes between beats.
func TestLeaningTonesWeighMore(t *testing.T) {
	const C, D, E = 72, 74, 76
	_, passing := over(t, [][2]int{{C, 1}, {D, 1}, {E, 6}})
	_, leaning := over(t, [][2]int{{E, 2}, {D, 2}, {C, 4}})
	if a, b := leaning.Moments[1].Tension.Dissonance, passing.Moments[1].Tension.Dissonance; a <= b {
		t.Errorf("an accented passing tone: %.1f, an unaccented one: %.1f", a, b)
	}
}
