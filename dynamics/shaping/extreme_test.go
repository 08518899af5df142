package shaping

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The highest and lowest of moving windows are those that a look at all of
// their values finds.
func TestExtremeOfMovingWindows(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	list := make([]float64, 500)
	for i := range list {
		list[i] = float64(r.IntN(20))
	}
	for _, sign := range []float64{1, -1} {
		e := extreme{list: list, sign: sign}
		lo, hi := 0, 1
		for i := range list {
			lo, hi = min(max(lo, i-r.IntN(30)), i), max(hi, min(i+1+r.IntN(30), len(list)))
			want := math.Inf(-1)
			for _, x := range list[lo:hi] {
				want = max(want, sign*x)
			}
			if got := e.of(lo, hi); math.Abs(got-sign*want) > 1e-9 {
				t.Fatalf("of %d to %d, sign %g: %g, want %g", lo, hi, sign, got, sign*want)
			}
		}
	}
}
