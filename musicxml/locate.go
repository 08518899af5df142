package musicxml

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
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
	lines  map[lineKind]*lines

	measure [2]int      // part and measure of places
	places  []candidate // see placesIn
}

func newPlacer(f *File) *placer {
	return &placer{f: f, starts: map[int][]fraction{}, lines: map[lineKind]*lines{}}
}

// locate finds the best spot for an edit from an offset of the text on: before
// a note of its staff that starts at its time, or else wherever the cursor
// passes its time, or else behind the last such place before it, with an offset.
func (p *placer) locate(e Edit, after int) (spot, bool) {
	m := p.f.measureFor(e)
	cells := p.f.sheet.parts[e.Part].cells
	for i := min(m, len(cells)-1); i >= 0; i-- {
		if s, ok := p.locateIn(e, i, after); ok {
			return s, true
		}
	}
	for i := m + 1; i < len(cells); i++ {
		if s, ok := p.locateIn(e, i, after); ok {
			return s, true
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
	at       int
	pos      score.Tick // of the cursor, from the start of the measure
	staff    int        // of the note that follows, 0 if none does
	division fraction   // in force there
}

// Ranks of a place by what follows it.
const (
	noNote = iota
	otherStaff
	sameStaff
)

func (c candidate) rank(staff int) int {
	switch c.staff {
	case 0:
		return noNote
	case max(staff, 1):
		return sameStaff
	}
	return otherStaff
}

// locateIn picks the spot in one measure of the part, if it has any.
func (p *placer) locateIn(e Edit, measure, after int) (spot, bool) {
	cell := p.f.sheet.parts[e.Part].cells[measure].node
	if cell == nil || cell.child == nil || int(cell.shut) < after {
		return spot{}, false
	}
	list := p.placesIn(e.Part, measure)
	want := e.At - p.f.Score.Measures[measure].Start
	i := sort.Search(len(list), func(i int) bool { return list[i].pos > want })
	best := bestOf(list[:i], e.Staff, after, -1)
	if best < 0 {
		if best = bestOf(list[i:], e.Staff, after, 1); best < 0 {
			return spot{}, false
		}
		best += i
	}
	c := list[best]
	return spot{c.at, c.division.offset(want - c.pos)}, true
}

// bestOf is the index of the candidate, from the end or the beginning of a
// list, at whose time there is any from the offset on: one before a note of the
// staff if there is one, else before any note, else the first; -1 if there is none.
func bestOf(list []candidate, staff, after, step int) (best int) {
	best = -1
	i := 0
	if step < 0 {
		i = len(list) - 1
	}
	for ; i >= 0 && i < len(list) && (best < 0 || list[i].pos == list[best].pos); i += step {
		c := list[i]
		if c.at < after {
			continue
		}
		if best < 0 || c.rank(staff) > list[best].rank(staff) || c.rank(staff) == list[best].rank(staff) && i < best {
			best = i
		}
	}
	return best
}

// placesIn are the candidates of one measure of a part, in the order of time; at
// one time in that of the document. Those asked for last are kept.
func (p *placer) placesIn(part, measure int) []candidate {
	if p.measure == [2]int{part, measure} && p.places != nil {
		return p.places
	}
	c := p.cursorAt(part, measure)
	list := p.places[:0]
	add := func(at int32, staff int) {
		list = append(list, candidate{int(at), c.pos, staff, fraction{c.num, c.den}})
	}
	last := p.f.sheet.parts[part].cells[measure].node.child
	for n := last; n != nil; n = n.next {
		last = n
		switch n.name {
		case "note":
			if n.find("chord") == nil {
				staff, _ := integer(n.get("staff"), 1, 99)
				add(n.start, max(staff, 1))
			}
		case "backup", "forward":
			add(n.start, 0)
		case "barline":
			if n.attr("location") != "left" {
				add(n.start, 0)
			}
		}
		c.pass(n, p.f.limits.Divisions)
	}
	add(last.end, 0)
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.pos, b.pos) })
	p.measure, p.places = [2]int{part, measure}, list
	return list
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
func (f fraction) offset(t score.Tick) string {
	n, ok := scale(int64(t)*maxOffsetParts, f.den, f.num)
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
