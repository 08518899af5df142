package verdict_test

import (
	"fmt"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The tension builds over two measures, and the page fades from f to p.
func ExampleJudge() {
	s := &score.Score{Division: 1, Measures: []score.Measure{
		{Number: "1", Start: 0, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4},
		{Number: "2", Start: 4, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4},
	}}
	a := &harmony.Analysis{Chords: []tonal.Chord{{End: 4, Confidence: 0.9}, {Start: 4, End: 8, Root: 3, Bass: 3, Confidence: 0.9}}}
	for beat := score.Tick(0); beat < 8; beat++ {
		a.Moments = append(a.Moments, tension.Moment{Start: beat, End: beat + 1, Chord: int(beat / 4), Tension: tonal.Tension{Total: 10 * float64(beat)}})
	}
	fade := page.Segment{Start: 0, End: 8, From: page.F, To: page.P, Certainty: tonal.Sure, Slope: -1}
	p := &page.Page{Marked: true, Whole: page.Curve{Part: -1, Segments: []page.Segment{fade}}}
	for _, v := range verdict.Judge(s, a, p) {
		fmt.Printf("%s: %s, tension %+.0f, level %+.1f\n", v.Aspect, v.Kind, v.Tension, v.Level)
	}
	// Output:
	// span: works against, tension +70, level -3.0
	// peak: works against, tension +70, level -2.6
}
