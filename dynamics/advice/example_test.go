package advice_test

import (
	"fmt"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/score"
)

// A line that climbs to 3:1 and falls, printed mf throughout: the goal is its
// top.
func ExampleFind() {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	for i := range 16 {
		if i%4 == 0 {
			s.Measures = append(s.Measures, score.Measure{Number: fmt.Sprint(1 + i/4), Start: score.Tick(i), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		}
		step := 8 - max(i-8, 8-i)
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(i), Duration: 1, Staff: 1, Voice: 1, Measure: i / 4, Pitch: score.Pitch{Step: step % 7, Octave: 5 + step/7}})
	}
	even := page.Segment{Start: 0, End: 16, From: page.MF, To: page.MF}
	p := &page.Page{Marked: true, Whole: page.Curve{Part: -1, Segments: []page.Segment{even}}}
	proposed, err := shaping.Shape(s, nil, p)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := advice.Find(s, nil, p, proposed)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("to", s.At(plan.Goals[0].At))
	for _, h := range plan.Proposals[0].Hairpins {
		fmt.Printf("%s to %s, %s\n", s.At(h.Start), s.At(h.End), h.Cause)
	}
	// Output:
	// to 3:1
	// 1:1 to 3:1, melodic line
	// 3:1 to 4:5, melodic line
}
