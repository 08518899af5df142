package musicxml

import (
	"fmt"
	"strings"

	"hairpin/score"
)

// spot is a place in the text where an element can be put in.
type spot struct {
	at     int
	offset string // in divisions, "" if the cursor is there already
}

// placer finds places for edits.
type placer struct {
	f      *File
	starts map[int][]fraction // by part
}

// locate finds the best spot for an edit: before a note of its staff that
// starts at its time, or else wherever the cursor passes its time, or else
// behind the last such place before it, with an offset.
func (p *placer) locate(e Edit) (spot, bool) {
	m := p.f.measureFor(e)
	cells := p.f.sheet.parts[e.Part].cells
	for i := min(m, len(cells)-1); i >= 0; i-- {
		if cells[i].node != nil && cells[i].node.child != nil {
			return p.locateIn(e, i), true
		}
	}
	for i := m + 1; i < len(cells); i++ {
		if cells[i].node != nil && cells[i].node.child != nil {
			return p.locateIn(e, i), true
		}
	}
	return spot{}, false
}

func (f *File) measureFor(e Edit) int {
	m := f.Score.MeasureAt(e.At)
	if e.End {
		for m > 0 && f.Score.Measures[m].Start == e.At {
			m--
		}
	}
	return m
}

// candidate is a place between two elements of a measure.
type candidate struct {
	at     int
	gap    score.Tick // from the cursor there to the time wanted
	rank   int
	offset string
}

// Ranks of a place by what follows it.
const (
	noNote = iota
	otherStaff
	sameStaff
)

// better reports whether c suits better than d, which stands before it.
func (c candidate) better(d candidate) bool {
	switch {
	case c.gap == d.gap:
		return c.rank > d.rank
	case c.gap < 0 || d.gap < 0:
		return c.gap > d.gap && d.gap < 0
	}
	return c.gap < d.gap
}

// locateIn picks the spot in one measure of the part.
func (p *placer) locateIn(e Edit, measure int) spot {
	f := p.f
	c := p.cursorAt(e.Part, measure)
	want := e.At - f.Score.Measures[measure].Start
	best := candidate{at: -1}
	consider := func(at, rank int) {
		d := candidate{at, want - c.pos, rank, c.offset(want - c.pos)}
		if best.at < 0 || d.better(best) {
			best = d
		}
	}
	last := f.sheet.parts[e.Part].cells[measure].node.child
	for n := last; n != nil; n = n.next {
		last = n
		switch n.name {
		case "note":
			if n.find("chord") == nil {
				consider(int(n.start), rank(n, e))
			}
		case "backup", "forward":
			consider(int(n.start), noNote)
		case "barline":
			if n.attr("location") != "left" {
				consider(int(n.start), noNote)
			}
		}
		c.pass(n, f.limits.Divisions)
	}
	consider(int(last.end), noNote)
	return spot{best.at, best.offset}
}

func rank(n *node, e Edit) int {
	staff, _ := integer(n.get("staff"), 1, 99)
	if max(staff, 1) == max(e.Staff, 1) {
		return sameStaff
	}
	return otherStaff
}

// cursorAt is a cursor at the start of a measure of a part, with the divisions
// in force there.
func (p *placer) cursorAt(part, measure int) cursor {
	starts, ok := p.starts[part]
	if !ok {
		starts = p.f.measureStarts(part)
		p.starts[part] = starts
	}
	c := newCursor(p.f.Score.Division, p.f.limits)
	c.num, c.den = starts[measure].num, starts[measure].den
	c.enter()
	return c
}

// fraction is the ticks of one division.
type fraction struct{ num, den int64 }

// measureStarts is the divisions in force at the start of each measure of a part.
func (f *File) measureStarts(part int) []fraction {
	cells := f.sheet.parts[part].cells
	list := make([]fraction, len(cells))
	c := newCursor(f.Score.Division, f.limits)
	for i, cell := range cells {
		list[i] = fraction{c.num, c.den}
		if cell.node == nil {
			continue
		}
		for n := cell.node.child; n != nil; n = n.next {
			if n.name != "attributes" {
				continue
			}
			if d := n.find("divisions"); d != nil {
				c.divisions(d.text, f.limits.Divisions)
			}
		}
	}
	return list
}

// offset is a time in divisions, "" for none. It is rounded to hundredths.
func (c *cursor) offset(t score.Tick) string {
	n, ok := scale(int64(t)*maxOffsetParts, c.den, c.num)
	if !ok || n == 0 {
		return ""
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := fmt.Sprintf("%s%d.%02d", sign, n/maxOffsetParts, n%maxOffsetParts)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
