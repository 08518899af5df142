package phrasing

import (
	"math"
	"testing"

	"hairpin/score"
)

// The share of a boundary is that of the divisions with one there, each counted by the
// exponential of its sum: with one place between first and last, two divisions; a place
// within a beat counts with it, one without a mark not at all. Worked out by hand.
func TestShares(t *testing.T) {
	w := Weights{None: -2}
	v := &surface{s: bars44(6), w: w, beat: 4}
	share := func(cut []int, list ...boundary) []float64 {
		list = append([]boundary{{at: 0}}, append(list, boundary{at: 64})...)
		return v.shares(list, v.places(list), cut, 4)
	}
	half := 1 / (1 + math.Exp(-1))
	for _, c := range []struct {
		name string
		got  []float64
		want []float64
	}{
		{"one place", share([]int{1, 2}, boundary{at: 32, gain: 1}), []float64{half, 1}},
		{"a neighbour", share([]int{1, 3}, boundary{at: 32, gain: 0}, boundary{at: 36, gain: 0}), []float64{1, 1}},
		{"one farther off", share([]int{1, 3}, boundary{at: 32, gain: 0}, boundary{at: 40, gain: 0}), []float64{0.5, 1}},
		{"one without a mark", share([]int{1, 3}, boundary{at: 32, gain: 1}, boundary{at: 40, gain: -2}), []float64{half, 1}},
	} {
		for i := range c.want {
			if len(c.got) != len(c.want) || math.Abs(c.got[i]-c.want[i]) > 1e-9 {
				t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
				break
			}
		}
	}
}

// An end is the surer, the greater its share, the likelier its close, and the plainer the
// sign of a beginning after it; sure only with a close. In chorales the odds tell. Our own
// order.
func TestCertaintyOfAnEnd(t *testing.T) {
	w := DefaultWeights()
	at := func(share, closing float64, opens bool) float64 {
		return w.certainty(&boundary{closing: closing, from: 8, opens: opens}, 4, share)
	}
	if !(at(0.9, 0.9, false) > at(0.5, 0.9, false) && at(0.9, 0.9, false) > at(0.9, 0.5, false) && at(0.9, 0.5, true) > at(0.9, 0.5, false)) {
		t.Error("the order is wrong")
	}
	if x := at(1, 0, false); x >= 0.85 {
		t.Errorf("without a close %v", x)
	}
	if x := at(0.99, 0.97, false); x < 0.85 {
		t.Errorf("with one %v", x)
	}
	if x, y := w.certainty(&boundary{closing: 0.9, from: 8}, 8, 0.9), at(0.9, 0, false); math.Abs(x-y) > 1e-9 {
		t.Errorf("a close that begins the phrase: %v, want %v", x, y)
	}
	if x := ChoraleWeights().certainty(&boundary{gain: 0, from: score.Tick(9)}, 9, 0.9); math.Abs(x-0.5) > 1e-9 {
		t.Errorf("in a chorale %v", x)
	}
}
