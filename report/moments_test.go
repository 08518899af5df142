package report

import (
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A fermata on the dominant asks a question, save where a full close has just been made
// there (common practice, no source).
func TestQuestionOfTheDominant(t *testing.T) {
	g := tonal.Chord{Start: 4, End: 8, Root: 1, Numeral: tonal.Numeral{Degree: 5, Quality: tonal.Major}}
	for name, c := range map[string]struct {
		cadences []phrasing.Cadence
		want     bool
	}{
		"open":                 {nil, true},
		"a half cadence":       {[]phrasing.Cadence{{At: 4, Kind: phrasing.Half}}, true},
		"a full close on it":   {[]phrasing.Cadence{{At: 4, Kind: phrasing.PerfectAuthentic}}, false},
		"a close on the tonic": {[]phrasing.Cadence{{At: 0, Kind: phrasing.PerfectAuthentic}}, true},
	} {
		r := &Reading{Score: &score.Score{Division: 1}, Harmony: &harmony.Analysis{Cadences: c.cadences}}
		r.Harmony.Chords = []tonal.Chord{{End: 4, Numeral: tonal.Numeral{Degree: 1}}, g}
		for i := range score.Tick(2) {
			r.Score.Measures = append(r.Score.Measures, score.Measure{Start: 4 * i, Length: 4, Nominal: 4})
		}
		if got := r.onDominant(7); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}
