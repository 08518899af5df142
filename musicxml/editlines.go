package musicxml

import (
	"fmt"
	"slices"
)

// numbering is the number that a line's element gets; the zero value gives none.
type numbering struct {
	element string
	number  int
}

// slot is the text offset behind the name of the line's element in a
// direction, 0 if it has none.
func (n numbering) slot(direction *node) int {
	if n.number == 0 {
		return 0
	}
	for t := direction.child; t != nil; t = t.next {
		if e := t.find(n.element); e != nil {
			return int(e.start) + len("<") + len(e.name)
		}
	}
	return 0
}

// lines are the lines of one kind that a part gets in one Apply.
type lines struct {
	free  []int  // numbers that the document does not use
	drawn []line // in the order of the edits
	next  int    // in free: the number whose turn it is
}

// line is where a line stands in the document's text.
type line struct{ number, start, stop int }

type lineKind struct {
	part    int
	element string
}

func (p *placer) linesOf(part int, element string) *lines {
	k := lineKind{part, element}
	if p.lines[k] == nil {
		p.lines[k] = &lines{free: p.f.FreeNumbers(part, element)}
	}
	return p.lines[k]
}

// line places a line's start, and its stop behind it. Numbers take turns, since
// two lines may overlap in the document that do not overlap in time: where
// voices are written one after the other. If all are in use there, the line is
// begun behind those that use them.
func (p *placer) line(e Edit) ([]splice, error) {
	all := p.linesOf(e.Part, e.Line.Element)
	if len(all.free) == 0 {
		return nil, fmt.Errorf("every number of a %s is in use in part %s", e.Line.Element, p.f.Score.Parts[e.Part].ID)
	}
	end := e
	end.At, end.End, end.XML = e.Line.Until, true, e.Line.Stop
	for after := 0; ; {
		start, ok := p.locate(e, after)
		stop, ok2 := p.locate(end, start.at)
		if !ok || !ok2 {
			return nil, p.noMeasure(e)
		}
		l := line{start: start.at, stop: stop.at}
		if last := all.number(&l); last > after {
			after = last
			continue
		}
		all.drawn = append(all.drawn, l)
		return p.ends(e, end, start, stop, numbering{e.Line.Element, l.number})
	}
}

// ends are the splices of a line's two ends.
func (p *placer) ends(from, to Edit, start, stop spot, n numbering) ([]splice, error) {
	first, err := p.splice(from, start, n)
	if err != nil {
		return nil, err
	}
	second, err := p.splice(to, stop, n)
	return []splice{first, second}, err
}

// number gives the line the next number that no line between its start and its
// stop has, one beyond oldNumbers only where those are in use. If there is none it
// says behind which offset there is one.
func (all *lines) number(l *line) (last int) {
	old := 0
	for old < len(all.free) && all.free[old] <= oldNumbers {
		old++
	}
	for k := range all.free {
		if k < old {
			l.number = all.free[all.next]
			all.next = (all.next + 1) % old
		} else {
			l.number = all.free[k]
		}
		meets := func(d line) bool { return d.number == l.number && d.start < l.stop && l.start < d.stop }
		i := slices.IndexFunc(all.drawn, meets)
		if i < 0 {
			return 0
		}
		last = max(last, all.drawn[i].stop)
	}
	return last
}

// oldNumbers is how far the numbers of lines went before MusicXML 4.0; programs
// that know no others leave out lines with higher ones.
const oldNumbers = 6

// FreeNumbers are the numbers that no element of that name ("wedge", "dashes",
// "bracket", "octave-shift") uses in the part, so that a new one cannot be paired
// with one of the document's: from 6 down to 1, then from 16 down to 7.
func (f *File) FreeNumbers(part int, element string) (list []int) {
	var used [17]bool
	for _, c := range f.sheet.parts[part].cells {
		if c.node == nil {
			continue
		}
		for d := c.node.child; d != nil; d = d.next {
			if d.name == "direction" {
				markUsed(d, element, &used)
			}
		}
	}
	for i := 16; i > 0; i-- {
		if n := (i+oldNumbers-1)%16 + 1; !used[n] {
			list = append(list, n)
		}
	}
	return list
}

func markUsed(direction *node, element string, used *[17]bool) {
	for t := direction.child; t != nil; t = t.next {
		for e := t.child; e != nil; e = e.next {
			if e.name != element {
				continue
			}
			if i, ok := integer(e.attr("number"), 1, 16); ok {
				used[i] = true
			} else {
				used[1] = true
			}
		}
	}
}
