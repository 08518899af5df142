package page

import "hairpin/score"

// Slope is a stretch in which a printed slope is under way, or a swell of two.
type Slope struct {
	Start, End score.Tick
	Way        int  // 1 grows, -1 fades; of a swell its second half
	Turned     bool // it is a swell, or a dip
}

// Slopes are the printed slopes of a stretch, in order. Two the same way with
// less than gap between them are one; two in turn without a mark between are one
// swell.
func (p *Page) Slopes(from, to, gap score.Tick) []Slope {
	var out []Slope
	led := p.lead()
	for _, g := range led[max(Curve{Segments: led}.Find(from), 0):] {
		if g.Start >= to {
			break
		}
		if g.End <= from || g.Slope == 0 || g.Implied {
			continue
		}
		n := len(out)
		switch {
		case n > 0 && g.Start-out[n-1].End < gap && g.Slope == out[n-1].Way:
			out[n-1].End = g.End
		case n > 0 && g.Start == out[n-1].End && g.FromMark == "" && !out[n-1].Turned:
			out[n-1].End, out[n-1].Way, out[n-1].Turned = g.End, g.Slope, true
		default:
			out = append(out, Slope{g.Start, g.End, g.Slope, false})
		}
	}
	return out
}

// Jumps are the moments inside a stretch at which a mark changes the level at once.
func (p *Page) Jumps(from, to score.Tick) []score.Tick {
	var out []score.Tick
	led := p.lead()
	for i := 1; i < len(led); i++ {
		if t := led[i].Start; t > from && t < to && p.jumps(i) {
			out = append(out, t)
		}
	}
	return out
}

// jumps reports whether the level changes suddenly where a segment begins, and
// a mark says so.
func (p *Page) jumps(i int) bool {
	led := p.lead()
	d := led[i].From - led[i-1].To
	return (d >= suddenMove || d <= -suddenMove) && p.markedAt(led[i].Start)
}
