package html

import (
	"fmt"

	"hairpin/report"
)

// Bounds of a page, in notes. Drawing takes about a millisecond a note.
const (
	// MostDrawn is how many notes a page draws: with more it takes a minute to draw and
	// long to open.
	MostDrawn = 40_000
	// beginning is about how many of a longer stretch are drawn instead.
	beginning = 3_000
	// mostBefore is how many are drawn before the stretch that is shown, so that its
	// systems begin as they do in the whole.
	mostBefore = 1_000
)

// Drawn is that part of a reading whose staves, curves and numbers stand on a page: all
// that is shown, or its beginning if that is too long.
func Drawn(r *report.Reading) *report.Reading {
	first, last := r.Score.FirstNote(r.From), r.Score.FirstNote(r.To)
	if last-first <= MostDrawn {
		return r
	}
	part := *r
	part.To = min(r.Score.Measures[r.Score.MeasureAt(r.Score.Notes[first+beginning].Onset)].End(), r.To)
	return &part
}

// StavesOf are the staves of what is drawn of a reading, and few of those before it.
func StavesOf(r *report.Reading) (s Staves) {
	d := Drawn(r)
	if d.To < r.Score.Length() {
		s.Measures = r.Score.MeasureAt(d.To-1) + 1
	}
	if r.Score.FirstNote(d.From) > mostBefore {
		s.First = r.Score.MeasureAt(d.From)
	}
	return s
}

// Undrawn says where the drawing ends, "" if it covers what is shown.
func Undrawn(r *report.Reading) string {
	d := Drawn(r)
	if d.To >= r.To {
		return ""
	}
	notes := r.Score.FirstNote(r.To) - r.Score.FirstNote(r.From)
	return fmt.Sprintf("Staves, curves, sound and numbers end with measure %s: %d notes are too many for one page. The strip of the whole and the words cover all of it.",
		r.Score.Measures[r.Score.MeasureAt(d.To-1)].Number, notes)
}

// next says which measures a further report can draw after those drawn.
func next(r *report.Reading) string {
	s, first := r.Score, r.Score.MeasureAt(Drawn(r).To)
	last, from := first, s.FirstNote(s.Measures[first].Start)
	for last+1 < len(s.Measures) && s.Measures[last+1].End() <= r.To && s.FirstNote(s.Measures[last+1].End())-from <= beginning {
		last++
	}
	return fmt.Sprintf("Reports with --measures draw the rest, up to %d notes in each: next --measures %s-%s.", MostDrawn, s.Measures[first].Number, s.Measures[last].Number)
}
