package score_test

import (
	"fmt"

	"hairpin/score"
)

// Two measures of 3/4 after a pickup of a quarter note, two ticks a quarter.
func ExampleScore_At() {
	s := &score.Score{Division: 2, Measures: []score.Measure{
		{Number: "0", Start: 0, Length: 2, Nominal: 6, Beats: 3, BeatUnit: 4, Pickup: true},
		{Number: "1", Start: 2, Length: 6, Nominal: 6, Beats: 3, BeatUnit: 4},
		{Number: "2", Start: 8, Length: 6, Nominal: 6, Beats: 3, BeatUnit: 4},
	}}
	for _, t := range []score.Tick{0, 2, 5, 8} {
		fmt.Printf("quarter %g is %s\n", s.Quarters(t), s.At(t))
	}
	// Output:
	// quarter 0 is 0:3
	// quarter 1 is 1:1
	// quarter 2.5 is 1:2.5
	// quarter 4 is 2:1
}

// F sharp and G flat are one key of the piano and two spellings.
func ExampleParseClass() {
	for _, name := range []string{"F#", "Gb"} {
		c, _ := score.ParseClass(name)
		fmt.Println(c, "is", int(c), "fifths from C, pitch class", c.PC())
	}
	// Output:
	// F# is 6 fifths from C, pitch class 6
	// Gb is -6 fifths from C, pitch class 6
}
