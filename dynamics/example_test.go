package dynamics_test

import (
	"fmt"

	"hairpin/dynamics"
	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Page, verdicts and proposal of a measure that grows from p.
func ExampleRead() {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 1}}, Measures: []score.Measure{
		{Number: "1", Start: 0, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4},
	}}
	a := &harmony.Analysis{}
	for i := range score.Tick(4) {
		s.Notes = append(s.Notes, score.Note{Onset: i, Duration: 1, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: int(i), Octave: 5}})
		a.Moments = append(a.Moments, tension.Moment{Start: i, End: i + 1, Tension: tonal.Tension{Total: 20 * float64(i)}})
	}
	s.Dynamics = []score.Dynamic{{Mark: "p"}}
	s.Hairpins = []score.Hairpin{{Kind: score.Crescendo, Span: score.Span{End: 4}}}
	d, err := dynamics.Read(s, a, dynamics.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("from %s to %.1f\n", page.Mark(d.Page.Whole.At(0)), d.Page.Whole.Before(4))
	for _, v := range d.Verdicts {
		fmt.Println(v.Aspect, v.Kind)
	}
	fmt.Println(len(d.Shaping.Proposals), "proposals")
	// Output:
	// from p to 4.0
	// span supports
	// peak supports
	// 4 proposals
}
