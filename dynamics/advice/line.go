package advice

import (
	"cmp"
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// bent is a stretch over which the proposal leaves the print by from steps at its
// start and to steps at its end, evenly between.
type bent struct {
	start, end score.Tick
	from, to   float64
}

// Line is the proposal of the whole as a player can play it: the printed level,
// bent evenly from turn to turn of each phrase. So a printed hairpin stays where it
// stands, and the line turns where the print does, at a goal and where phrases meet.
func (p *Plan) Line(printed page.Curve, length score.Tick) page.Curve {
	out, now := page.Curve{Part: -1}, score.Tick(0)
	add := func(b bent) {
		if b.end > b.start {
			out.Segments = append(out.Segments, b.along(printed)...)
		}
		now = max(now, b.end)
	}
	for _, b := range p.bends(printed) {
		add(bent{start: now, end: b.start}) // no phrase sounds
		add(b)
	}
	add(bent{start: now, end: length})
	return out
}

// bends are those of all phrases; where two meet under one printed level they meet halfway.
func (p *Plan) bends(printed page.Curve) (out []bent) {
	for _, x := range p.Proposals {
		list := x.bends(printed)
		if n := len(out); n > 0 && len(list) > 0 {
			a, b := &out[n-1], &list[0]
			if a.end == b.start && math.Abs(printed.Before(a.end)-printed.At(a.end)) < sameMark {
				a.to = (a.to + b.from) / 2
				b.from = a.to
			}
		}
		out = append(out, list...)
	}
	return out
}

// bends runs from the phrase's start over its goal and the turns of the print, which
// are played as printed, to its end.
func (p Proposal) bends(printed page.Curve) (out []bent) {
	pins := p.opens(printed)
	if p.Goal > p.Start && p.Goal < p.End {
		pins = append(pins, Turn{At: p.Goal, Level: p.Peak - printed.At(p.Goal)})
	}
	for _, t := range p.Turns {
		if t.Printed && t.At < p.End && !pinned(pins, t.At) {
			pins = append(pins, Turn{At: t.At})
		}
	}
	slices.SortStableFunc(pins, func(a, b Turn) int { return cmp.Compare(a.At, b.At) })
	pins = append(pins, Turn{At: p.End, Level: p.To - printed.Before(p.End)})
	for i, t := range pins[1:] {
		out = append(out, bent{pins[i].At, t.At, pins[i].Level, t.Level})
	}
	return out
}

// pinned reports whether one of the pins stands at a moment.
func pinned(pins []Turn, at score.Tick) bool {
	return slices.ContainsFunc(pins, func(t Turn) bool { return t.At == at })
}

// opens is the bend that a phrase starts with. After an upbeat the level named may be
// that of the mark on the first full measure: the upbeat is then played as printed.
func (p Proposal) opens(printed page.Curve) []Turn {
	if i := printed.Find(p.Start); i >= 0 && i+1 < len(printed.Segments) && math.Abs(p.From-printed.At(p.Start)) > sameMark {
		if next := printed.Segments[i+1]; next.Start < p.Goal && math.Abs(p.From-next.From) <= sameMark+1e-9 {
			return []Turn{{At: p.Start}, {At: next.Start}, {At: next.Start, Level: p.From - next.From}}
		}
	}
	return []Turn{{At: p.Start, Level: p.From - printed.At(p.Start)}}
}

// along is the printed level over the stretch, bent.
func (b bent) along(printed page.Curve) (out []page.Segment) {
	for _, g := range printed.Segments[max(printed.Find(b.start), 0):] {
		if g.Start >= b.end {
			break
		}
		start, end := max(g.Start, b.start), min(g.End, b.end)
		if end <= start {
			continue
		}
		out = append(out, page.Segment{
			Start: start, End: end, Certainty: tonal.Likely,
			From: g.At(start) + between(b.start, b.end, b.from, b.to, start),
			To:   g.At(end) + between(b.start, b.end, b.from, b.to, end),
		})
	}
	return out
}
