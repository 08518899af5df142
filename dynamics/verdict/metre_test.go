package verdict

import (
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The same music written in 2/4 and, a third faster on paper, in 6/8 is judged
// alike: what is told in beats counts the beats that are felt.
func TestVerdictsDoNotDependOnHowTheBeatIsWritten(t *testing.T) {
	two, six := judged(t, 2, 4, 12), judged(t, 6, 8, 8)
	if len(two) == 0 || len(two) != len(six) {
		t.Fatalf("%d verdicts in 2/4, %d in 6/8", len(two), len(six))
	}
	for i, v := range two {
		if w := six[i]; v.Kind != w.Kind || v.Start != w.Start || v.End != w.End || v.Certainty != w.Certainty {
			t.Errorf("2/4 reads %s (%+v; %+v), 6/8 %s (%+v; %+v)", v.Kind, v.Harmony, v.Page, w.Kind, w.Harmony, w.Page)
		}
	}
}

// judged is the verdicts on eight measures of 24 ticks whose tension climbs
// from measure 3 and falls from 5, with a crescendo printed most of a beat late.
func judged(t *testing.T, beats, unit int, division score.Tick) []Verdict {
	t.Helper()
	s := &score.Score{Division: division, Parts: []score.Part{{ID: "P1", Name: "Piano", Staves: 1}}}
	a := &harmony.Analysis{}
	course := [...]float64{20, 20, 20, 20, 20, 45, 80, 45, 20, 20, 20, 20, 20, 20, 20, 20}
	for m := range 8 {
		start := score.Tick(24 * m)
		s.Measures = append(s.Measures, score.Measure{Number: string(rune('1' + m)), Start: start, Length: 24, Nominal: 24, Beats: beats, BeatUnit: unit})
		a.Chords = append(a.Chords, tonal.Chord{Start: start, End: start + 24, Certainty: tonal.Sure, Confidence: 0.9, Quality: tonal.Major})
		for b := range 2 {
			at := start + score.Tick(12*b)
			s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 12, Staff: 1, Voice: 1, Measure: m, Pitch: score.Pitch{Step: m % 7, Octave: 4}})
			a.Moments = append(a.Moments, tension.Moment{Start: at, End: at + 12, Chord: m, Tension: tonal.Tension{Total: course[2*m+b]}})
		}
	}
	a.Phrases = []phrasing.Phrase{{Start: 0, End: s.Length(), Cadence: -1, Confidence: 0.9}}
	s.Dynamics = append(s.Dynamics, score.Dynamic{Place: score.Place{At: 0}, Mark: "p"})
	s.Hairpins = append(s.Hairpins,
		score.Hairpin{Span: score.Span{Start: 58, End: 82}, Kind: score.Crescendo},
		score.Hairpin{Span: score.Span{Start: 82, End: 106}, Kind: score.Diminuendo})
	return Judge(s, a, page.Printed(s, nil))
}
