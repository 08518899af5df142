package advice

import (
	"math"
	"slices"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/score"
)

// sameMark is how far a level may leave a printed one and still bear its name, in steps.
const sameMark = 0.4

// asPrinted keeps a level at the name of the printed one; where nothing is printed it stays.
func (m Material) asPrinted(level, printed float64) float64 {
	if !m.Page.Marked {
		return level
	}
	mark := math.Round(printed)
	return min(max(level, mark-sameMark), mark+sameMark)
}

// asMarked keeps a level at the name of a mark that stands in its measure at or before it, and
// has not been grown from: nobody plays f over a printed mf (common practice, no source). An
// accent, as of sfp, may be louder than the mark with it.
func (m Material) asMarked(level float64, at score.Tick) float64 {
	if slices.ContainsFunc(m.Page.Accents, func(a page.Accent) bool { return a.At == at && !a.Note }) {
		return level
	}
	from := m.Score.Measures[m.Score.MeasureAt(at)].Start
	for _, z := range m.Page.Zones {
		if z.Text != "" && z.Start >= from && z.Start <= at && !m.grows(z.Start, at+1) {
			level = m.asPrinted(level, z.Level)
		}
	}
	return level
}

// onPage keeps a level within a shade of the softest and the loudest printed mark, and under
// top, the ceiling of its phrase. A page with hardly more than one mark leaves a step above it,
// but no fff; one that grows past its marks is followed as far.
func (m Material) onPage(level, printed, top float64) float64 {
	r := m.Page.Range
	if r == (page.Range{}) {
		return level
	}
	return min(max(level, r.Low-atGoal), max(r.High, min(max(r.Low+1, printed), page.FF))+atGoal, top)
}

// ceiling is the loudest that a phrase of beats lo to hi may be proposed: where the page's
// loudest mark neither stands nor holds in it, the name below that mark, which is kept for its
// own place (common practice, no source).
func (m Material) ceiling(lo, hi int) float64 {
	if !m.hasLoudest() {
		return math.Inf(1)
	}
	for i := lo; i < hi && i+1 < len(m.Beats); i++ {
		if m.loudest(m.Beats[i], m.Beats[i+1]) {
			return math.Inf(1)
		}
	}
	return m.Page.Range.High - 1 + sameMark
}

// opening is the printed level that a phrase starts from: after an upbeat that of
// the first full measure, if its mark stands there at once.
func (m Material) opening(start score.Tick) float64 {
	ms := m.Score.Measures
	i := m.Score.MeasureAt(start)
	if i+1 < len(ms) && start > ms[i].Start && !m.slopes(start, ms[i].End()) {
		return m.Page.Whole.At(ms[i].End())
	}
	return m.Page.Whole.At(start)
}

// slopes reports whether the page grows or fades anywhere in a stretch.
func (m Material) slopes(from, to score.Tick) bool {
	for _, g := range m.printed(from, to) {
		if g.Slope != 0 {
			return true
		}
	}
	return false
}

// printed are the segments of the printed level that lie in a stretch or reach into it.
func (m Material) printed(from, to score.Tick) []page.Segment {
	list := m.Page.Whole.Segments
	first := sort.Search(len(list), func(i int) bool { return list[i].End > from })
	past := sort.Search(len(list), func(i int) bool { return list[i].Start >= to })
	return list[first:max(first, past)]
}

// path is the way of a proposal through the levels that the print asks for: its
// turns alone, so that it never runs against a printed hairpin.
func (m Material) path(p Proposal, top float64) []Turn {
	var out []Turn
	peaked := false
	add := func(at score.Tick, level float64, printed bool) {
		if !peaked && at >= p.Goal {
			out, peaked = append(out, Turn{p.Goal, p.Peak, false}), true
		}
		out = append(out, Turn{at, level, printed})
	}
	add(p.Start, p.From, false)
	first := m.first(p.Start)
	for _, g := range m.printed(p.Start, p.End) {
		if g.Implied || !m.Page.Marked {
			continue
		}
		if g.Start > first && g.Start < p.End {
			add(g.Start, m.onPage(g.From, 0, top), true)
		}
		if g.Slope != 0 && g.End > p.Start && g.End <= p.End {
			add(g.End, m.onPage(g.To, g.To, top), true)
		}
	}
	add(p.End, p.To, false)
	return turns(out)
}

// first is the first full measure of a phrase that starts with an upbeat, else its start.
func (m Material) first(start score.Tick) score.Tick {
	if x := m.Score.Measures[m.Score.MeasureAt(start)]; start > x.Start || x.Head() > 0 {
		return x.End()
	}
	return start
}

// A proposal names at most mostTurns levels, a player keeps no more in mind, and of
// more than three none for a swing of less than leastSwing steps: our own.
const (
	mostTurns  = 5
	leastSwing = 1.5
)

// turns are the first level, the last, and those at which the marks turn between
// them, the smallest swings left out.
func turns(all []Turn) []Turn {
	var out []Turn
	for _, x := range all {
		n := len(out)
		switch {
		case n > 0 && page.Mark(out[n-1].Level) == page.Mark(x.Level):
		case n > 1 && (out[n-1].Level > out[n-2].Level) == (x.Level > out[n-1].Level):
			out[n-1] = x
		default:
			out = append(out, x)
		}
	}
	swing := func(i int) float64 { return math.Abs(out[i+1].Level - out[i].Level) }
	for len(out) > 3 {
		k := 1
		for i := 1; i+2 < len(out); i++ {
			if swing(i) < swing(k) {
				k = i
			}
		}
		if len(out) <= mostTurns && swing(k) >= leastSwing {
			break
		}
		out = slices.Delete(out, k, k+2)
	}
	return out
}

// Grows reports whether a proposal is louder anywhere than just before.
func (p Proposal) Grows() bool {
	for i := 1; i < len(p.Turns); i++ {
		if p.Turns[i].Level > p.Turns[i-1].Level {
			return true
		}
	}
	return false
}
