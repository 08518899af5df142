package page

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Segment is a stretch of a curve: linear from From at Start to To at End.
type Segment struct {
	Start, End score.Tick
	From, To   float64 // levels
	Cause      Cause   // what on the page says so
	Certainty  tonal.Certainty
	Implied    bool   // nothing printed there asks for it: the way back from a hairpin, a reprise without marks
	Slope      int    // 1 while a printed slope grows, -1 while one fades, else 0
	FromMark   string // the printed mark that states From, "p"; "" if none does
	ToMark     string // the printed mark that states To; "" if none does
}

// Curve is a level over the whole piece.
type Curve struct {
	Part     int       // index into Score.Parts, -1 for the whole
	Staff    int       // 0: all staves of the part
	Segments []Segment // in order, touching, from 0 to the end of the piece
}

// At is the curve's level at t, just after any sudden change there.
func (c Curve) At(t score.Tick) float64 {
	i := c.Find(t)
	if i < 0 {
		return MF
	}
	return c.Segments[i].At(t)
}

// Before is the level just before t.
func (c Curve) Before(t score.Tick) float64 {
	if len(c.Segments) == 0 || t <= c.Segments[0].Start {
		return c.At(t)
	}
	i := c.Find(t - 1)
	return c.Segments[i].At(t)
}

func (c Curve) Find(t score.Tick) int {
	lo, hi := 0, len(c.Segments)
	for lo < hi {
		if m := (lo + hi) / 2; c.Segments[m].Start <= t {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return max(lo-1, min(0, len(c.Segments)-1))
}

// Unstated reports whether the level at t is steady and a guess: no mark before it states one.
func (c Curve) Unstated(t score.Tick) bool {
	i := c.Find(t)
	if i < 0 {
		return false
	}
	g := c.Segments[i]
	return g.Slope == 0 && !g.Implied && g.FromMark == ""
}

// between is the part of a segment from one moment to another inside it.
func (g Segment) between(from, to score.Tick) Segment {
	out := g
	out.Start, out.End, out.From, out.To = from, to, g.At(from), g.At(to)
	if g.Slope != 0 && from > g.Start {
		out.FromMark = ""
	}
	if g.Slope != 0 && to < g.End {
		out.ToMark = ""
	}
	return out
}

func (g Segment) At(t score.Tick) float64 {
	if t <= g.Start || g.End <= g.Start {
		return g.From
	}
	if t >= g.End {
		return g.To
	}
	return g.From + (g.To-g.From)*float64(t-g.Start)/float64(g.End-g.Start)
}
