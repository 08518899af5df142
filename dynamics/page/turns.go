package page

import "hairpin/score"

// Slopes are the stretches in which a printed slope is under way, in order. A
// slope the other way begins a new one only at a printed mark: else the two are
// one swell.
func (p *Page) Slopes(from, to score.Tick) []Zone {
	var out []Zone
	last := 0
	for _, g := range p.led {
		if g.Start >= to || g.End <= from || g.Slope == 0 || g.Implied {
			continue
		}
		n := len(out)
		if n > 0 && out[n-1].End == g.Start && (g.Slope == last || g.FromMark == "") {
			out[n-1].End = g.End
		} else {
			out = append(out, Zone{Start: g.Start, End: g.End, Text: g.Why, Level: g.From})
		}
		last = g.Slope
	}
	return out
}

// Jumps are the moments inside a stretch at which a mark changes the level at once.
func (p *Page) Jumps(from, to score.Tick) []score.Tick {
	var out []score.Tick
	for i := 1; i < len(p.led); i++ {
		if t := p.led[i].Start; t > from && t < to && p.jumps(i) {
			out = append(out, t)
		}
	}
	return out
}

// jumps reports whether the level changes suddenly where a segment begins, and
// a mark says so.
func (p *Page) jumps(i int) bool {
	d := p.led[i].From - p.led[i-1].To
	return (d >= suddenMove || d <= -suddenMove) && p.markedAt(p.led[i].Start)
}
