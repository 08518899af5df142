package page

import (
	"math"
	"testing"

	"hairpin/dynamics/written"
)

// Music that comes back without a mark is played as the first time; common
// practice, no source.
func TestReprises(t *testing.T) {
	for _, c := range []struct {
		name, form string
		put        []string
		want       map[string]float64
		inferred   bool
	}{
		{"returns unmarked", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f"}, map[string]float64{"8:4": 6, "9:1": 3, "16:1": 3}, true},
		{"with its crescendo", "abcdefghabcdijkl", []string{"1:1 p", "2:1 <4:1", "4:1 f", "5:1 mf"}, map[string]float64{"9:1": 3, "11:1": 4.5, "12:1": 6}, true},
		{"until the next mark", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "13:1 ff"}, map[string]float64{"9:1": 3, "13:1": 7}, true},
		{"an unmarked beginning", "abcdefghabcdijkl", []string{"5:1 p"}, map[string]float64{"1:1": 5, "9:1": 5}, true},
		{"marked anew", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "9:1 mf"}, map[string]float64{"9:1": 5}, false},
		{"marked on its upbeat", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "8:4 mf"}, map[string]float64{"9:1": 5}, false},
		{"marked inside", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "11:1 mf"}, map[string]float64{"9:1": 6, "11:1": 5}, false},
		{"repeated at once", "abcdabcdefghijkl", []string{"1:1 p", "4:1 f"}, map[string]float64{"5:1": 6}, false},
		{"three measures only", "abcdefghabcmijkl", []string{"1:1 p", "5:1 f"}, map[string]float64{"9:1": 6}, false},
		{"the same level anyway", "abcdefghabcdijkl", []string{"1:1 p"}, map[string]float64{"9:1": 3}, false},
		{"empty measures are no music", "----efgh----ijkl", []string{"1:1 p", "5:1 f"}, map[string]float64{"9:1": 6}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := written.Letters(c.form)
			written.Put(t, s, c.put...)
			p := Printed(s, nil)
			for at, want := range c.want {
				x, err := written.At(at)
				if err != nil {
					t.Fatal(err)
				}
				if got := p.Whole.At(x.At); math.Abs(got-want) > 0.05 {
					t.Errorf("level at %s is %.2f, want %.2f", at, got, want)
				}
			}
			told := false
			for _, i := range p.Inferences {
				told = told || i.At == s.Measures[8].Start && i.Cause == Cause{Kind: AsMeasure, Text: "1", Mark: Mark(p.Whole.At(i.At))}
			}
			if told != c.inferred {
				t.Errorf("told: %v, want %v (%v)", told, c.inferred, p.Inferences)
			}
		})
	}
}
