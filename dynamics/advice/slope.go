package advice

import (
	"slices"

	"hairpin/dynamics/page"
	"hairpin/score"
)

// growths fills in where the printed growths end that sound at the beats.
func (m Material) growths(w *Way) {
	w.Grown, w.Crests = make([]int, len(w.Beats)), make([]bool, len(w.Beats))
	for i, t := range w.Beats {
		w.Grown[i] = i
		for _, g := range m.printed(t, t+1) {
			if !g.Implied && g.Slope > 0 {
				w.Grown[i] = min(max(m.beat(g.End)-m.beat(w.Start), i), len(w.Beats)-1)
			}
		}
		w.Crests[i] = i+1 < len(w.Beats) && m.crests(t, w.Beats[i+1])
	}
}

// crests reports whether a printed growth ends between two beats and the page falls from there
// to the second.
func (m Material) crests(from, to score.Tick) bool {
	return slices.ContainsFunc(m.printed(from, to), func(g page.Segment) bool {
		return !g.Implied && g.Slope > 0 && g.End > from && g.End < to && m.Page.Whole.At(to) < g.To-1e-9
	})
}

// crest is the top of the printed swell on whose release a beat lies, in its measure or the
// one before: nobody aims at a release (common practice, no source). A beat with a mark stays,
// and one right after the top, for few hairpins are printed to the half beat.
func (w Way) crest(at int) int {
	if w.Crests == nil || w.Printed == nil || w.Points[at] && !w.Tops[at] {
		return at
	}
	for i := at - 1; i >= 0 && w.Bars[i] >= w.Bars[at]-1 && w.Printed[i+1] < w.Printed[i]+1e-9; i-- {
		if i < at-1 && w.Crests[i] && !w.barred(i) && !w.softer(i) {
			return i
		}
	}
	return at
}

// grown is the beat that a printed growth leads to which sounds at one or begins in its
// measure: nobody stops halfway (common practice, no source). A beat with a point of its own
// stays; one that is barred, or softer than the growth, is not gone to.
func (w Way) grown(at int) int {
	if w.Grown == nil || w.Points != nil && w.Points[at] {
		return at
	}
	from := at
	for from+1 < len(w.Beats) && w.Grown[from] == from && w.Bars[from+1] == w.Bars[at] {
		from++
	}
	to := w.Grown[from]
	if to == from {
		return at
	}
	for to > at && (w.barred(to) || w.softer(to) || w.Printed[to] < w.Printed[at]-1e-9) {
		to--
	}
	return to
}

// held is the beat of a fermata on what is loud or highest, if one stands within a measure
// of the goal and is not barred: there the phrase stops to be heard (common practice, no source).
func (w Way) held(at int) int {
	for i, is := range w.Held {
		if near := w.Bars[i] - w.Bars[at]; is && near >= -1 && near <= 1 && !w.barred(i) && !w.softer(i) {
			return i
		}
	}
	return at
}
