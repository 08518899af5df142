package shaping

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/score"
)

// twoVoices is a beginning in the upper voice, and the same a fifth lower in
// the lower voice eight quarters later.
func twoVoices() *score.Score {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 2}}}
	for m := range 6 {
		s.Measures = append(s.Measures, score.Measure{Number: "1", Start: score.Tick(4 * m), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
	}
	for i, step := range []int{0, 1, 2, 3, 1, 2, 0, 4} {
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(i), Duration: 1, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: step, Octave: 5}})
	}
	for i, step := range []int{3, 4, 5, 6, 4, 5, 3, 0} {
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(8 + i), Duration: 1, Staff: 2, Voice: 2, Pitch: score.Pitch{Step: step, Octave: 4 + step/7}})
	}
	return s
}

func TestThemeComesBack(t *testing.T) {
	o := observe(twoVoices(), nil, &page.Page{})
	for i, want := range map[int]float64{0: 1, 7: 1, 8: 1, 15: 1, 16: 0, 20: 0} {
		if got := o.series("theme")[i]; got != want {
			t.Errorf("theme at quarter %d is %g, want %g", i, got, want)
		}
	}
	for i, got := range o.series("theme start") {
		if want := i == 0 || i == 8; (got == 1) != want {
			t.Errorf("a theme starts at quarter %d: %g", i, got)
		}
	}
}

func TestStepsOfAVoice(t *testing.T) {
	o := observe(twoVoices(), nil, &page.Page{})
	for _, c := range []struct {
		at            int
		in, out, turn float64
	}{
		{0, 0, 2, 0},  // C, to D
		{3, 1, -3, 1}, // E F D
		{4, -3, 2, 0},
		{7, 7, 0, 0}, // C G, and then a rest
	} {
		for name, want := range map[string]float64{"step in": c.in, "step out": c.out, "turn": c.turn} {
			if got := o.series(name)[c.at]; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s at quarter %d is %g, want %g", name, c.at, got, want)
			}
		}
	}
}

// Where two voices move at once, the step is their mean; one longer than an octave
// counts as an octave, one over a rest not at all, and a long note keeps its step.
func TestStepsOfTwoVoices(t *testing.T) {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 2}}}
	for m := range 2 {
		s.Measures = append(s.Measures, score.Measure{Number: "1", Start: score.Tick(4 * m), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
	}
	at := func(onset, length score.Tick, staff, step, octave int) {
		s.Notes = append(s.Notes, score.Note{Onset: onset, Duration: length, Staff: staff, Voice: staff, Pitch: score.Pitch{Step: step, Octave: octave}})
	}
	at(0, 1, 1, 0, 5) // C5
	at(0, 1, 2, 0, 3) // C3
	at(1, 2, 1, 2, 5) // E5
	at(1, 2, 2, 1, 3) // D3
	at(3, 1, 1, 2, 7) // two octaves up
	at(5, 1, 1, 0, 7) // after a rest
	o := observe(s, nil, &page.Page{})
	for name, want := range map[string][]float64{"step in": {0, 3, 3, 12, 12, 0}, "step out": {3, 6, 6, 0, 0, 0}} {
		for i, w := range want {
			if got := o.series(name)[i]; math.Abs(got-w) > 1e-9 {
				t.Errorf("%s at quarter %d is %g, want %g", name, i, got, w)
			}
		}
	}
}
