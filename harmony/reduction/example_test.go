package reduction_test

import (
	"fmt"

	"hairpin/harmony/reduction"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A broken C major chord over one measure, as one block.
func ExampleReduce() {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 2}}, Measures: []score.Measure{{Number: "1", Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4}}}
	for i, p := range []score.Pitch{{Step: 0, Octave: 3}, {Step: 4, Octave: 4}, {Step: 2, Octave: 5}, {Step: 0, Octave: 5}} {
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(i), Duration: 1, Staff: 1, Voice: 1, Pitch: p})
	}
	c, _ := tonal.ParseKey("C")
	tonic, _ := tonal.ParseNumeral("I", c)
	chord := tonal.Spell(tonic, c)
	chord.End = 4
	for _, b := range reduction.Reduce(s, []tonal.Chord{chord}, tonal.Slices(s, 0)).Blocks {
		fmt.Println(b.Left, b.Right)
	}
	// Output:
	// [C3] [G4 C5 E5]
}
