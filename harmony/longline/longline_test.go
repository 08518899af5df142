package longline

import (
	"math"
	"testing"

	"hairpin/score"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// Bars of four quarters: I V7 | I | ii | V, a phrase that is built to reach its
// dominant. The tree is ours by the rules of Lerdahl and Jackendoff (1983).
func phrase() ([]Event, []Level) {
	events := []Event{
		{Start: 0, End: 2, Near: 1, Home: 1, Metre: 1},
		{Start: 2, End: 4, Near: 0.4, Home: 0.4, Metre: 0.6},
		{Start: 4, End: 8, Near: 1, Home: 1, Metre: 1},
		{Start: 8, End: 12, Near: 0.3, Home: 0.3, Metre: 1},
		{Start: 12, End: 16, Near: 0.5, Home: 0.5, Metre: 1, Close: 1},
	}
	return events, []Level{{Starts: []score.Tick{0, 4, 8, 12}, Within: true}, {Starts: []score.Tick{0, 8}, Within: true}, {Starts: []score.Tick{0}}}
}

func TestTree(t *testing.T) {
	events, levels := phrase()
	tree := Grow(events, levels)
	if tree[0].Over != -1 {
		t.Errorf("the opening tonic hangs on %d", tree[0].Over)
	}
	inner, goal := tree[1], tree[4]
	if inner.Over != 0 || inner.Reach != 2 || inner.Height != 0 {
		t.Errorf("the dominant inside the tonic: %+v", inner)
	}
	if goal.Over != 0 || goal.Reach != 8 || tree[3].Over != 4 {
		t.Errorf("the dominant that the phrase reaches: %+v; its preparation: %+v", goal, tree[3])
	}
	Inherit(tree, 2, func(int, int) float64 { return 5 })
	if tree[1].Inherited >= tree[4].Inherited {
		t.Errorf("inside %.2f is not below the goal %.2f", tree[1].Inherited, tree[4].Inherited)
	}
}

// What is inherited adds up down the chain: δ 5 from I to V, then 8 from V to ii as
// in Lerdahl (2001), Tonal Pitch Space, chapter 2 (i/5/V and the sum; the second
// number is of our own choice), gives 5 and 13 where both last for ever.
func TestInherit(t *testing.T) {
	const long = 1 << 20
	tree := []Branch{{Over: 1, Reach: long}, {Over: 2, Reach: long}, {Over: -1, Reach: long}}
	Inherit(tree, 1, func(above, this int) float64 { return []float64{8, 5}[this] })
	if !near(tree[1].Inherited, 5) || !near(tree[0].Inherited, 13) || !near(tree[2].Inherited, 0) {
		t.Errorf("inherited: %+v", tree)
	}
	tree = []Branch{{Over: -1}, {Over: 0, Reach: 4}}
	Inherit(tree, 4, func(int, int) float64 { return 5 })
	if !near(tree[1].Inherited, 2.5) {
		t.Errorf("what lasts the half-length inherits %.2f of 5", tree[1].Inherited)
	}
	Inherit(nil, 4, nil)
}

func TestArc(t *testing.T) {
	a := Arc{Start: 0, Goal: 12, Arrival: 16, End: 20}
	for _, c := range []struct {
		at   score.Tick
		want float64
	}{{-1, 0}, {0, 0}, {6, 0.75}, {12, 1}, {14, 1 - 1.0/16}, {16, 0}, {20, 0}} {
		if got := a.At(c.at); !near(got, c.want) {
			t.Errorf("at %d: %.4f, want %.4f", c.at, got, c.want)
		}
	}
	open := Arc{Start: 0, Goal: 12, Arrival: 16, End: 16, Kept: 0.3}
	if got := open.At(15); got <= 0.3 || got >= 1 {
		t.Errorf("an open end keeps %.2f", got)
	}
	r := Read([]Arc{a, {Start: 20, Goal: 30, Arrival: 40, End: 40}})
	if first, second := r.At(12), r.At(30); !near(first, 1) || !near(second, 1) || !near(r.At(50), 0) {
		t.Errorf("read in order: %.2f, %.2f", first, second)
	}
}
