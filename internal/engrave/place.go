package engrave

import (
	"slices"
	"sort"
)

// Engraving is a score drawn in one layout.
type Engraving struct {
	Systems []System
	Glyphs  []Glyph // the music signs the systems refer to, see [Defs]
	Faces   []Face  // the text faces the systems use, see [Fonts]
}

// System is one line of music, all its staves.
type System struct {
	SVG           string       // an svg element without defs; needs [Defs] on the same page
	Width, Height float64      // of its viewBox
	Measures      []MeasureBox // from left to right
	Notes         []NoteBox    // in document order of the source
}

// MeasureBox is where a measure stands in its system.
type MeasureBox struct {
	Index       int        // of the measure, from 0
	X0, X1      float64    // left edge and right bar line
	Top, Bottom float64    // outermost stave lines
	Staves      []StaffBox // from top to bottom, all parts
	Anchors     []Anchor   // where its moments stand, sorted by onset and x; at least two
}

// StaffBox is the outermost lines of one staff.
type StaffBox struct{ Top, Bottom float64 }

// Anchor ties a moment of a measure to a place.
type Anchor struct {
	Onset float64 // quarters from the start of the measure
	X     float64
}

// NoteBox is where a note or rest stands.
type NoteBox struct {
	Source  int    // place among the source's note elements, as in score.Note.Source
	ID      string // of its g element in the SVG
	Measure int
	Part    int
	Onset   float64 // quarters from the start of the measure
	X, Y    float64 // centre of the notehead or rest
	Width   float64
	Grace   bool
	Rest    bool
}

// XAt is where a moment of a measure stands, onset in quarters from the start of
// the measure: exactly on the notes that begin there, between them in proportion
// to time. False if the measure is not in this system.
func (s System) XAt(measure int, onset float64) (x float64, ok bool) {
	i, found := slices.BinarySearchFunc(s.Measures, measure, func(m MeasureBox, index int) int { return m.Index - index })
	if !found {
		return 0, false
	}
	return between(s.Measures[i].Anchors, onset), true
}

// between interpolates; outside the anchors it stays at the nearest one.
func between(anchors []Anchor, onset float64) float64 {
	i := sort.Search(len(anchors), func(i int) bool { return anchors[i].Onset > onset })
	switch {
	case len(anchors) == 0:
		return 0
	case i == 0:
		return anchors[0].X
	case i == len(anchors):
		return anchors[i-1].X
	}
	a, b := anchors[i-1], anchors[i]
	return a.X + (b.X-a.X)*(onset-a.Onset)/(b.Onset-a.Onset)
}

// Find is the system that holds a measure, -1 if none does.
func (e *Engraving) Find(measure int) int {
	return slices.IndexFunc(e.Systems, func(s System) bool {
		n := len(s.Measures)
		return n > 0 && s.Measures[0].Index <= measure && measure <= s.Measures[n-1].Index
	})
}

// Begins reports whether the engraving begins with exactly the systems of head.
func (e *Engraving) Begins(head *Engraving) bool {
	return len(head.Systems) <= len(e.Systems) &&
		slices.EqualFunc(head.Systems, e.Systems[:len(head.Systems)], func(a, b System) bool { return a.SVG == b.SVG })
}

// anchor fills in the anchors of a measure from its notes. length is the
// measure's in quarters.
func (m *MeasureBox) anchor(notes []NoteBox, length float64) {
	columns := map[float64][]float64{}
	rests := map[float64][]float64{}
	for _, n := range notes {
		if n.Rest {
			rests[n.Onset] = append(rests[n.Onset], n.X)
		} else if !n.Grace {
			columns[n.Onset] = append(columns[n.Onset], n.X)
		}
	}
	for onset, xs := range rests {
		if len(columns[onset]) == 0 {
			columns[onset] = xs
		}
	}
	for onset, xs := range columns {
		m.Anchors = append(m.Anchors, Anchor{onset, commonest(xs)})
	}
	sort.Slice(m.Anchors, func(i, j int) bool { return m.Anchors[i].Onset < m.Anchors[j].Onset })
	m.Anchors = rising(m.Anchors, m.X1)
	if n := len(m.Anchors); n == 0 || m.Anchors[0].Onset > 0 {
		m.Anchors = slices.Insert(m.Anchors, 0, Anchor{0, m.start()})
	}
	if last := m.Anchors[len(m.Anchors)-1]; last.Onset < length {
		m.Anchors = append(m.Anchors, Anchor{length, m.X1})
	} else if len(m.Anchors) == 1 {
		m.Anchors = append(m.Anchors, Anchor{last.Onset + 1, m.X1})
	}
}

// start is where an empty beginning of a measure is said to stand: just after its left edge.
func (m *MeasureBox) start() float64 {
	x := m.X0 + (m.X1-m.X0)/20
	if len(m.Anchors) > 0 {
		x = min(x, m.Anchors[0].X)
	}
	return x
}

// commonest is the x most notes of a column share; a notehead pushed aside by a
// second does not move the column. Of equals the leftmost.
func commonest(xs []float64) float64 {
	slices.Sort(xs)
	best, count := xs[0], 0
	for i := 0; i < len(xs); {
		j := i
		for j < len(xs) && xs[j]-xs[i] < 1 {
			j++
		}
		if j-i > count {
			best, count = xs[i], j-i
		}
		i = j
	}
	return best
}

// rising drops anchors that would move a line backwards.
func rising(anchors []Anchor, end float64) []Anchor {
	out := anchors[:0]
	for _, a := range anchors {
		if a.X < end && (len(out) == 0 || a.X > out[len(out)-1].X) {
			out = append(out, a)
		}
	}
	return out
}
