package dynamics_test

import (
	"fmt"

	"hairpin/dynamics"
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
	even := dynamics.Segment{Start: 0, End: 8, From: dynamics.MF, To: dynamics.MF}
	p := &dynamics.Page{Marked: true, Whole: dynamics.Curve{Part: -1, Segments: []dynamics.Segment{even}}}
	proposed, err := dynamics.Shape(s, nil, p)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, x := range proposed.Proposals[:4] {
		fmt.Printf("%s %+.1f %s\n", dynamics.Mark(x.Printed), x.Bend(), x.Main)
	}
	// Output:
	// mf +0.2 phrase
	// mf +0.3 melody height
	// mf +0.6 melody height
	// mf +0.6 melody height
}
