package verdict

import (
	"math"

	"hairpin/dynamics/page"
	"hairpin/score"
)

// pageMove is what the page does over a stretch.
type pageMove struct {
	from, to float64
	peak     float64 // the level farthest from both on the way, else to
	up, down bool    // print asks for it somewhere on the way
	sloped   float64 // share of the time in which a printed slope is under way
}

// lean is a change that a printed slope under way makes a movement, though a
// short stretch of a long crescendo shows little of it.
const lean = 0.15

// way is the way of the page.
func (m pageMove) way() Way {
	if d := m.change(); m.sloped >= 0.5 && m.up != m.down {
		return moves(d, lean)
	}
	return moves(m.change(), page.LevelMove)
}

// change is the movement, none where no print asks for its direction: the way
// back from a hairpin and what a reprise takes from the first time are the
// reader's own.
func (m pageMove) change() float64 {
	d := m.to - m.from
	if d > 0 && !m.up || d < 0 && !m.down {
		return 0
	}
	return d
}

// plain is the movement without what it was read from.
func (m pageMove) plain() PageMove {
	return PageMove{From: m.from, Change: m.change(), Way: m.way(), Peak: m.peak, Swell: m.swell()}
}

// swell is how far the page goes away and comes back, signed.
func (m pageMove) swell() float64 {
	if m.peak > max(m.from, m.to) {
		return m.peak - max(m.from, m.to)
	}
	return min(m.peak-min(m.from, m.to), 0)
}

// awayCost keeps the page read where the stretches meet unless another place
// within the tolerance makes page and harmony agree better.
const awayCost = 0.1

// pageMoves reads the page over the neighbouring stretches of one phrase. Where
// two meet it is read once for both, there or up to the tolerance before or
// after, so that no change is counted in two stretches. A new phrase's mark is
// its own beginning and no movement of the phrase before.
func (j *judge) pageMoves(spans []span) []pageMove {
	if len(spans) == 0 {
		return nil
	}
	edges := j.edges(spans)
	best, from := []float64{0}, make([][]int, len(spans))
	for i := range spans {
		next := make([]float64, len(edges[i+1]))
		from[i] = make([]int, len(next))
		for b, to := range edges[i+1] {
			next[b] = math.Inf(-1)
			for a, start := range edges[i] {
				v := best[a] - awayCost*to.away + j.agreement(spans[i], start.at, to.at)
				if v > next[b] {
					next[b], from[i][b] = v, a
				}
			}
		}
		best = next
	}
	at := 0
	for b, v := range best {
		if v > best[at] {
			at = b
		}
	}
	out := make([]pageMove, len(spans))
	for i := len(spans) - 1; i >= 0; i-- {
		end := edges[i+1][at].at
		at = from[i][at]
		out[i] = j.move(edges[i][at].at, end)
	}
	return out
}

// edgeChoice is a moment at which the page may be read for a boundary.
type edgeChoice struct {
	at   score.Tick
	away float64 // 1 off the boundary, else 0
}

// edges lists for every boundary of the stretches where the page may be read.
func (j *judge) edges(spans []span) [][]edgeChoice {
	out := [][]edgeChoice{{{at: j.beats[spans[0].first].at}}}
	for i, sp := range spans {
		b := j.beats[sp.last]
		choices := []edgeChoice{{at: b.at}}
		near := Tolerance(j.s, b.at)
		if i+1 == len(spans) {
			choices = append(choices, edgeChoice{max(b.end-1, b.at), 1})
		} else {
			if t := b.at - near; t > j.beats[sp.first].at {
				choices = append(choices, edgeChoice{t, 1})
			}
			if t := b.at + near; t < j.beats[spans[i+1].last].at {
				choices = append(choices, edgeChoice{t, 1})
			}
		}
		out = append(out, choices)
	}
	return out
}

// agreement is 1 where page and tension go the same way, -1 where they go
// against each other, 0 where one of them is still. What the page does between
// the boundaries themselves is never turned round.
func (j *judge) agreement(sp span, from, to score.Tick) float64 {
	first, last := j.beats[sp.first], j.beats[sp.last]
	tension, page := moves(j.change(first, last), tensionMove), j.move(from, to).way()
	if page*j.move(first.at, last.at).way() < 0 {
		return math.Inf(-1)
	}
	return float64(tension * page)
}

// move reads the page from one moment to another.
func (j *judge) move(from, to score.Tick) pageMove {
	c := j.p.Whole
	m := pageMove{from: c.At(from), to: c.At(to)}
	m.peak = m.to
	last := m.from
	for i := c.Find(from); i >= 0 && i < len(c.Segments) && c.Segments[i].Start <= to; i++ {
		g := c.Segments[i]
		a, b := g.At(max(g.Start, from)), g.At(min(g.End, to))
		if !g.Implied {
			m.asked(a - last)
			m.asked(b - a)
		}
		if t := min(g.End, to) - max(g.Start, from); !g.Implied && math.Abs(g.To-g.From) > 0.01 && t > 0 {
			m.sloped += float64(t) / float64(to-from)
		}
		last = b
		if g.Implied {
			continue
		}
		for _, v := range [...]float64{a, b} {
			if beyondBoth(v, m.from, m.to) > beyondBoth(m.peak, m.from, m.to) {
				m.peak = v
			}
		}
	}
	return m
}

// asked notes a printed change.
func (m *pageMove) asked(change float64) {
	m.up = m.up || change > 0.01
	m.down = m.down || change < -0.01
}

// beyondBoth is how far v lies outside the range between a and b.
func beyondBoth(v, a, b float64) float64 {
	return max(v-max(a, b), min(a, b)-v, 0)
}
