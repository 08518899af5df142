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

// A piece that begins with a short rest begins in its first measure; one that begins late in
// it, and a later phrase with an upbeat, are counted from the next (common practice, no source).
func TestRestIsNoUpbeat(t *testing.T) {
	for first, want := range map[score.Tick]string{1: "1", 3: "2"} {
		r := &Reading{Score: &score.Score{Division: 1, Notes: []score.Note{{Onset: first, Duration: 1}}}}
		for i := range score.Tick(4) {
			r.Score.Measures = append(r.Score.Measures, score.Measure{Number: string(rune('1' + i)), Start: 4 * i, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		}
		if got := r.PhraseBars(first, 16).First; got != want {
			t.Errorf("from %d: measure %s, want %s", first, got, want)
		}
		if got := r.PhraseBars(5, 16).First; got != "3" {
			t.Errorf("a later phrase: measure %s, want 3", got)
		}
	}
}
