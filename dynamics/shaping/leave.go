package shaping

import (
	"hairpin/dynamics/page"
	"hairpin/score"
)

// Reason is why a proposal leaves the printed level by more than [FreeBend].
type Reason string

// The reasons, in the words in which they are told.
const (
	NextMark  Reason = "on the way to the next mark"
	LastMark  Reason = "coming from the last mark"
	OnHairpin Reason = "inside the hairpin"       // a slope under way is taken sooner or later
	Unstated  Reason = "no mark states the level" // or the goal of the slope
	OldMark   Reason = "the mark is far back"     // and does not say sempre
	OnStress  Reason = "the stress lies on top"   // of a row of levels: a printed stress is there
)

// Our own choice, seen on the performances: so bound, the proposals agree with
// them as well as unbound.
const (
	marksNear = 2    // measures within which another mark draws
	edgeNear  = 1    // the same away from ff and louder, or from pp and softer
	oldFrom   = 8    // measures after which a mark is old
	edgeRoom  = 0.25 // steps inside ff and pp that count as ff and pp
)

// Leave is the reason for which a proposal may leave the page far, upwards and
// downwards; "" where the mark in force holds it.
type Leave struct{ Up, Down Reason }

// For is the reason for a bend that way.
func (l Leave) For(bend float64) Reason {
	if bend < 0 {
		return l.Down
	}
	return l.Up
}

// leaves are those of the moments of the grid.
func (o *observed) leaves(p *page.Page) []Leave {
	out := make([]Leave, o.cells())
	bar := score.Tick(o.bar() * float64(o.s.Division))
	jumps := p.Jumps(0, o.s.Length())
	k, z := 0, 0
	for i := range out {
		t := o.at[i]
		for k < len(jumps) && jumps[k] <= t {
			k++
		}
		for z+1 < len(p.Zones) && p.Zones[z+1].Start <= t {
			z++
		}
		x := place{p: p, at: t, bar: bar, level: p.Whole.At(t), next: -1, last: -1}
		if k < len(jumps) {
			x.next = jumps[k]
		}
		if k > 0 {
			x.last = jumps[k-1]
		}
		if z < len(p.Zones) && p.Zones[z].Text != "" && !page.Always(p.Zones[z].Text) {
			x.old = t-p.Zones[z].Start >= oldFrom*bar
		}
		out[i] = Leave{x.reason(1), x.reason(-1)}
	}
	return out
}

// place is a moment between two sudden changes of the page.
type place struct {
	p          *page.Page
	at, bar    score.Tick
	level      float64
	last, next score.Tick // of the changes, -1 for none
	old        bool       // its mark is
}

// reason is why a proposal may go far, up (1) or down (-1), from the page.
func (x place) reason(way float64) Reason {
	near, edge := x.bar*marksNear, way < 0 && x.level >= page.FF-edgeRoom || way > 0 && x.level <= page.PP+edgeRoom
	if edge {
		near = x.bar * edgeNear
	}
	i := x.p.Whole.Find(x.at)
	switch {
	case x.next >= 0 && x.next-x.at <= near && (x.p.Whole.At(x.next)-x.level)*way > 0:
		return NextMark
	case x.last >= 0 && x.at-x.last < near && (x.p.Whole.Before(x.last)-x.level)*way > 0:
		return LastMark
	case i < 0 || !x.p.Marked || guessed(x.p.Whole.Segments[i]):
		return Unstated
	case edge:
		return ""
	case reaches(x.p.Whole.Segments[i], x.level, way):
		return OnHairpin
	case x.old:
		return OldMark
	}
	return ""
}

// reaches reports whether a slope under way comes from far above a level, or from
// far below it, or goes there: then it may be taken sooner or later.
func reaches(g page.Segment, level, way float64) bool {
	return g.Slope != 0 && max((g.From-level)*way, (g.To-level)*way) > FreeBend
}

// guessed reports whether no mark states the level of a segment, or the goal of its slope.
func guessed(g page.Segment) bool {
	if g.Slope != 0 {
		return g.Implied || g.ToMark == ""
	}
	return g.Implied || g.FromMark == ""
}
