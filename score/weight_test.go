package score

import "testing"

// Of two places the earlier one in each list weighs more; places of one line weigh
// the same. Beats, halves of the measure and of the beat: Lerdahl and Jackendoff
// (1983), A Generative Theory of Tonal Music, chapter 4 (from memory); thirds of a
// beat beside its quarters: our own choice, as are the numbers.
func TestWeightFallsWithThePlace(t *testing.T) {
	for _, c := range []struct {
		name          string
		beats, unit   int
		length        Tick
		fromStrongest [][]Tick
	}{
		{"4/4", 4, 4, 96, [][]Tick{{0}, {48}, {24, 72}, {12, 36, 60, 84}, {6, 18, 8, 16, 4, 20, 30, 32}, {3, 9, 21}, {1, 23}}},
		{"3/4", 3, 4, 72, [][]Tick{{0}, {24, 48}, {12, 36, 60}, {6, 8, 16, 66}, {3}, {1}}},
		{"6/8", 6, 8, 72, [][]Tick{{0}, {36}, {18, 54}, {9, 12, 24, 6, 48, 60}, {1}}},
		{"12/8", 12, 8, 144, [][]Tick{{0}, {72}, {36, 108}, {18, 126}, {12, 24, 84}, {1}}},
	} {
		s := &Score{Division: 24, Measures: []Measure{{Start: 0, Length: c.length, Nominal: c.length, Beats: c.beats, BeatUnit: c.unit}}}
		before := 2.0
		for _, line := range c.fromStrongest {
			weight := s.Weight(line[0])
			if weight >= before {
				t.Errorf("%s: tick %d weighs %.2f, no less than the stronger place's %.2f", c.name, line[0], weight, before)
			}
			for _, at := range line[1:] {
				if got := s.Weight(at); got < weight-1e-9 || got > weight+1e-9 {
					t.Errorf("%s: tick %d weighs %.2f, tick %d %.2f", c.name, at, got, line[0], weight)
				}
			}
			before = weight
		}
	}
}
