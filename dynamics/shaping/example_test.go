package shaping_test

import (
	"fmt"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/score"
)

// A line that climbs for a measure and falls for another, printed mf throughout.
func ExampleShape() {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 1}}, Measures: []score.Measure{
		{Number: "1", Start: 0, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4},
		{Number: "2", Start: 4, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4},
	}}
	for i, step := range []int{0, 2, 4, 6, 5, 3, 1, 0} {
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(i), Duration: 1, Staff: 1, Voice: 1, Measure: i / 4, Pitch: score.Pitch{Step: step, Octave: 5}})
	}
	even := page.Segment{Start: 0, End: 8, From: page.MF, To: page.MF}
	p := &page.Page{Marked: true, Whole: page.Curve{Part: -1, Segments: []page.Segment{even}}}
	proposed, err := shaping.Shape(s, nil, p)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, x := range proposed.Proposals[:4] {
		fmt.Printf("%s %+.1f %s\n", page.Mark(x.Printed), x.Bend(), x.Main)
	}
	// Output:
	// mf +0.2 phrase
	// mf +0.3 melody height
	// mf +0.6 melody height
	// mf +0.6 melody height
}
