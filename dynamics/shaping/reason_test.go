package shaping

import (
	"testing"

	"hairpin/dynamics/page"
	"hairpin/score"
)

// A mark within two measures draws the proposal its way, one within a measure where the
// level in force is pp or ff; the mark that has just been left draws as far. The measure has
// ten ticks here, the change is at 100. Our own bounds.
func TestMarksDrawNearThem(t *testing.T) {
	for _, c := range []struct {
		name       string
		before, to float64 // levels before and after the change
		at         score.Tick
		up, down   Reason
	}{
		{"two measures before a louder mark", page.P, page.F, 80, NextMark, ""}, {"more", page.P, page.F, 79, "", ""},
		{"two measures before a softer one", page.F, page.P, 80, "", NextMark}, {"more", page.F, page.P, 79, "", ""},
		{"a measure before it, from pp", page.PP, page.F, 90, NextMark, ""}, {"more, from pp", page.PP, page.F, 89, "", ""},
		{"nearly pp", page.PP + edgeRoom, page.F, 89, "", ""}, {"over that", page.PP + edgeRoom + 0.1, page.F, 89, NextMark, ""},
		{"nearly ff", page.FF - edgeRoom, page.P, 89, "", ""}, {"under that", page.FF - edgeRoom - 0.1, page.P, 89, "", NextMark},
		{"just after a softer mark", page.P, page.F, 101, "", LastMark}, {"two measures after it", page.P, page.F, 119, "", LastMark}, {"later", page.P, page.F, 120, "", ""},
		{"after a louder one", page.F, page.P, 101, LastMark, ""},
	} {
		p := &page.Page{Marked: true, Whole: page.Curve{Segments: []page.Segment{
			{Start: 0, End: 100, From: c.before, To: c.before, FromMark: "x", ToMark: "x"}, {Start: 100, End: 200, From: c.to, To: c.to, FromMark: "y", ToMark: "y"}}}}
		x := place{p: p, at: c.at, bar: 10, level: p.Whole.At(c.at), next: 100, last: -1}
		if c.at >= 100 {
			x.next, x.last = -1, 100
		}
		if up, down := x.reason(1), x.reason(-1); up != c.up || down != c.down {
			t.Errorf("%s: %q up, %q down; want %q, %q", c.name, up, down, c.up, c.down)
		}
	}
}

// A slope under way lets the level be taken sooner or later if one of its ends lies more
// than a step and a half away that way; a level no mark states, or that a slope goes to, is free.
func TestSlopesReachAndGuesses(t *testing.T) {
	slope := page.Segment{From: page.P, To: page.F, Slope: 1, FromMark: "p", ToMark: "f"}
	for _, c := range []struct {
		level, way float64
		want       bool
	}{{page.F - FreeBend - 0.1, 1, true}, {page.F - FreeBend, 1, false}, {page.P + FreeBend + 0.1, -1, true}, {page.P + FreeBend, -1, false}} {
		if got := reaches(slope, c.level, c.way); got != c.want {
			t.Errorf("at %v, way %v: %v", c.level, c.way, got)
		}
	}
	if flat := (page.Segment{From: page.P, To: page.F}); reaches(flat, page.P, 1) {
		t.Error("what does not slope reaches")
	}
	for _, c := range []struct {
		g    page.Segment
		want bool
	}{
		{slope, false}, {page.Segment{Slope: 1, FromMark: "p"}, true}, {page.Segment{Slope: 1, ToMark: "f"}, false}, {page.Segment{Slope: 1, ToMark: "f", Implied: true}, true},
		{page.Segment{FromMark: "p"}, false}, {page.Segment{ToMark: "p"}, true}, {page.Segment{FromMark: "p", Implied: true}, true},
	} {
		if got := guessed(c.g); got != c.want {
			t.Errorf("%+v is guessed %v", c.g, got)
		}
	}
}
