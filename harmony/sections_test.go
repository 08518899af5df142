package harmony

import (
	"slices"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// No chord sounds on over a repeat sign inside a measure: a close on bare octaves
// takes nothing from the upbeat of what follows, here a lowered third.
func TestNoChordOverARepeat(t *testing.T) {
	for name, signs := range map[string][]score.Repeat{"repeat": {{At: 10}, {At: 10, Forward: true}}, "no repeat": nil} {
		s := &score.Score{Division: 2, Repeats: signs}
		for i := range score.Tick(4) {
			s.Measures = append(s.Measures, score.Measure{Start: 4 * i, Length: 4, Nominal: 4, Beats: 2, BeatUnit: 4})
		}
		for _, c := range []struct {
			at, long score.Tick
			tones    string // bass first, each in the octave above the one before
		}{
			{0, 2, "C E G C"}, {2, 2, "F A C F"}, {4, 2, "G B D G"}, {6, 2, "G B F G"},
			{8, 2, "C C C"}, {10, 1, "G"}, {11, 1, "Eb"}, {12, 4, "C G Eb C"},
		} {
			for i, x := range written.Tones(t, c.tones) {
				p := score.Pitch{Step: x.Step(), Alter: float64(x.Alter()), Octave: 2 + i}
				s.Notes = append(s.Notes, score.Note{Onset: c.at, Duration: c.long, Measure: int(c.at / 4), Pitch: p, Voice: i})
			}
		}
		a, err := Analyse(s, Options{Home: &tonal.Key{}})
		if err != nil {
			t.Fatal(err)
		}
		last := a.Chords[slices.IndexFunc(a.Chords, func(c tonal.Chord) bool { return c.End > 8 })]
		if major := last.Quality == tonal.Major && last.End == 10; major != (signs != nil) {
			t.Errorf("%s: the close is %s until %d", name, last.Name(), last.End)
		}
	}
}
