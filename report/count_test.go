package report

import (
	"testing"

	"hairpin/score"
)

// The head tells as many measures as the print counts: no upbeat, no rest of a split measure
// and no second ending. Numbers with a gap are not believed. Common practice, no source.
func TestMeasureCount(t *testing.T) {
	bar := func(number string) score.Measure { return score.Measure{Number: number, Length: 4, Nominal: 4} }
	upbeat := score.Measure{Number: "0", Length: 1, Nominal: 4, Pickup: true}
	rest := score.Measure{Number: "2a", Length: 2, Nominal: 4, Offset: 2}
	second := []score.Ending{{First: 3, Last: 3, Numbers: []int{2}}}
	for name, x := range map[string]struct {
		list    []score.Measure
		endings []score.Ending
		want    int
	}{
		"an upbeat":                     {[]score.Measure{upbeat, bar("1"), bar("2")}, nil, 2},
		"an upbeat that is measure 1":   {[]score.Measure{{Number: "1", Length: 1, Nominal: 4, Pickup: true}, bar("2")}, nil, 2},
		"a split measure":               {[]score.Measure{bar("1"), bar("2"), rest, bar("3")}, nil, 3},
		"a second ending beside":        {[]score.Measure{bar("1"), bar("2"), bar("3"), bar("X1"), bar("4")}, second, 4},
		"a second ending again":         {[]score.Measure{bar("1"), bar("2"), bar("3"), bar("3"), bar("4")}, second, 4},
		"a second ending that goes on":  {[]score.Measure{bar("1"), bar("2"), bar("3"), bar("4"), bar("5")}, second, 5},
		"an excerpt":                    {[]score.Measure{bar("50"), bar("51")}, nil, 2},
		"a number that is no number":    {[]score.Measure{upbeat, bar("1"), bar("b"), bar("7")}, nil, 3},
		"one measure that is an upbeat": {[]score.Measure{bar("0")}, nil, 1},
	} {
		if got := measureCount(&score.Score{Measures: x.list, Endings: x.endings}); got != x.want {
			t.Errorf("%s: %d, want %d", name, got, x.want)
		}
	}
}
