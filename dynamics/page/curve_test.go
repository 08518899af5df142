package page

import (
	"math"
	"testing"

	"hairpin/score"
)

// A line from p to f over 10 to 20, at once pp, held to 30.
func TestCurve(t *testing.T) {
	c := Curve{Segments: []Segment{{Start: 10, End: 20, From: P, To: F, Slope: 1, FromMark: "p", ToMark: "f"}, {Start: 20, End: 30, From: PP, To: PP}}}
	for _, x := range []struct {
		at         score.Tick
		on, before float64
	}{{0, P, P}, {10, P, P}, {15, 4.5, 4.5}, {20, PP, F}, {25, PP, PP}, {30, PP, PP}, {99, PP, PP}} {
		if on, before := c.At(x.at), c.Before(x.at); math.Abs(on-x.on)+math.Abs(before-x.before) > 1e-9 {
			t.Errorf("at %d: %.2f, before it %.2f; want %.2f, %.2f", x.at, on, before, x.on, x.before)
		}
	}
	for at, want := range map[score.Tick]int{0: 0, 10: 0, 19: 0, 20: 1, 99: 1} {
		if got := c.Find(at); got != want {
			t.Errorf("segment at %d: %d, want %d", at, got, want)
		}
	}
	var none Curve
	if none.Find(5) != -1 || math.Abs(none.At(5)-MF) > 1e-9 || math.Abs(none.Before(5)-MF) > 1e-9 {
		t.Error("a curve of nothing is not mf")
	}
}

// A part of a slope states a mark only at the end it shares with the whole.
func TestBetween(t *testing.T) {
	g := Segment{Start: 0, End: 40, From: 2, To: 6, Slope: 1, FromMark: "pp", ToMark: "f"}
	for _, c := range []struct {
		from, to   score.Tick
		low, high  float64
		mark, last string
	}{{0, 40, 2, 6, "pp", "f"}, {10, 40, 3, 6, "", "f"}, {0, 30, 2, 5, "pp", ""}, {10, 30, 3, 5, "", ""}} {
		got := g.between(c.from, c.to)
		if got.Start != c.from || got.End != c.to || math.Abs(got.From-c.low)+math.Abs(got.To-c.high) > 1e-9 || got.FromMark != c.mark || got.ToMark != c.last {
			t.Errorf("%d to %d: %+v", c.from, c.to, got)
		}
	}
}
