package shaping

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/written"
	"hairpin/score"
)

// What lets a proposal go far from the page, up and down, in the written scores
// of eight measures of 4/4. Our own rules.
func TestLeaves(t *testing.T) {
	for _, c := range []struct {
		put      []string
		at       string
		up, down Reason
	}{
		{[]string{"1:1 p", "7:1 f"}, "3:1", "", ""},
		{[]string{"1:1 p", "7:1 f"}, "6:1", NextMark, ""},
		{[]string{"1:1 p", "5:1 f"}, "5:3", "", LastMark},
		{[]string{"1:1 pp", "5:1 ff"}, "3:2", "", ""},                  // pp is held longer,
		{[]string{"1:1 pp", "5:1 ff"}, "4:2", NextMark, ""},            // but gives way in the last measure
		{[]string{"1:1 p", "2:1 <4:1", "4:1 f"}, "2:3", OnHairpin, ""}, // far from its goal, near its start
		{[]string{"1:1 f", "3:1 >6:1", "6:1 p"}, "5:3", OnHairpin, ""},
		{[]string{"1:1 p", "2:1 >4:1", "4:1 pp"}, "2:2", "", ""},   // it goes nowhere far
		{[]string{"1:1 p", "2:1 <4:1"}, "3:1", Unstated, Unstated}, // no mark says how loud it gets,
		{[]string{"1:1 p", "2:1 <4:1"}, "4:3", Unstated, Unstated}, // and on the way back
		{[]string{"1:1 p", "2:1 <4:1"}, "6:1", "", ""},             // p is in force again
		{nil, "3:1", Unstated, Unstated},
	} {
		s := written.Score(t, c.put...)
		p := page.Printed(s, nil)
		at, err := written.At(c.at)
		if err != nil {
			t.Fatal(err)
		}
		o := observe(s, nil, p)
		if got := o.leaves(p)[o.cell(at.At)]; got.Up != c.up || got.Down != c.down {
			t.Errorf("%q at %s: %q up, %q down; want %q, %q", c.put, c.at, got.Up, got.Down, c.up, c.down)
		}
	}
}

// A mark is far back after eight measures, but not if it says sempre.
func TestOldMarks(t *testing.T) {
	s := written.Letters("abcdefghijklmnop")
	for text, want := range map[string]Reason{"p": OldMark, "sempre p": ""} {
		own := *s
		own.Words, own.Dynamics = nil, nil
		written.Put(t, &own, "1:1 \""+text+"\"")
		p := page.Printed(&own, nil)
		o := observe(&own, nil, p)
		late := o.leaves(p)[o.cell(own.Measures[10].Start)]
		if late.Up != want || o.leaves(p)[o.cell(own.Measures[4].Start)].Up != "" {
			t.Errorf("%s, ten measures on: %q", text, late.Up)
		}
	}
}

// Without a reason a proposal stays within a step and a half; with one it names it.
func TestBendIsBound(t *testing.T) {
	at, printed := make([]score.Tick, 3), []float64{page.P, page.MF, page.F}
	for _, leave := range []Leave{{}, {Up: NextMark}} {
		parts := map[Cause][]float64{ByHeight: {9, -9, 0}}
		got := proposeAll(at, printed, parts, []Leave{leave, leave, leave})
		far := got[0].Bend() > FreeBend+1e-9
		if far != (leave.Up != "") || got[0].Reason != leave.Up || got[0].Bend() > MaxBend {
			t.Errorf("%+v bends by %.2f, %q", leave, got[0].Bend(), got[0].Reason)
		}
		if math.Abs(got[1].Bend()) > FreeBend+1e-9 || got[1].Reason != "" {
			t.Errorf("%+v bends by %.2f, %q", leave, got[1].Bend(), got[1].Reason)
		}
	}
}
