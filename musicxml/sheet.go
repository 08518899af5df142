package musicxml

import "fmt"

// sheet is the document's parts and measures, however it nests them.
type sheet struct {
	parts    []sheetPart
	measures []*node // for each measure, the first element that stands for it
	notes    int     // note elements
}

type sheetPart struct {
	id    string
	cells []cell // one for each measure of the part, in order
}

// cell is one measure of one part.
type cell struct {
	node      *node // nil where the part has nothing
	firstNote int   // index of its first note element in document order
}

func newSheet(root *node, limits Limits) (*sheet, error) {
	s := &sheet{}
	var err error
	switch root.name {
	case "score-partwise":
		err = s.partwise(root, limits)
	case "score-timewise":
		err = s.timewise(root, limits)
	case "opus":
		err = &UnsupportedError{Text: "this is an opus, a list of scores; open one of the scores it names"}
	default:
		err = &UnsupportedError{Text: "this is no MusicXML score: its root element is " + short(root.name), Hint: "export MusicXML from the program the score was written in"}
	}
	if err == nil && (len(s.parts) == 0 || len(s.measures) == 0) {
		err = &MalformedError{Text: "the score has no part with a measure"}
	}
	return s, err
}

func (s *sheet) partwise(root *node, limits Limits) error {
	for p := root.child; p != nil; p = p.next {
		if p.name != "part" {
			continue
		}
		part := sheetPart{id: p.attr("id")}
		for m := p.child; m != nil; m = m.next {
			if m.name != "measure" {
				continue
			}
			if len(part.cells) == len(s.measures) {
				s.measures = append(s.measures, m)
			}
			part.cells = append(part.cells, cell{m, s.notes})
			s.notes += countNotes(m)
		}
		s.parts = append(s.parts, part)
		if err := s.check(limits); err != nil {
			return err
		}
	}
	return nil
}

func (s *sheet) timewise(root *node, limits Limits) error {
	index := map[string]int{}
	for m := root.child; m != nil; m = m.next {
		if m.name != "measure" {
			continue
		}
		s.measures = append(s.measures, m)
		for p := m.child; p != nil; p = p.next {
			if p.name != "part" {
				continue
			}
			id := p.attr("id")
			i, known := index[id]
			if !known {
				i = len(s.parts)
				index[id] = i
				s.parts = append(s.parts, sheetPart{id: id})
			}
			part := &s.parts[i]
			for len(part.cells) < len(s.measures) {
				part.cells = append(part.cells, cell{})
			}
			part.cells[len(s.measures)-1] = cell{p, s.notes}
			s.notes += countNotes(p)
		}
		if err := s.check(limits); err != nil {
			return err
		}
	}
	return nil
}

func countNotes(measure *node) (n int) {
	for c := measure.child; c != nil; c = c.next {
		if c.name == "note" {
			n++
		}
	}
	return n
}

func (s *sheet) check(limits Limits) error {
	var what string
	var most int
	switch {
	case len(s.parts) > limits.Parts:
		what, most = "parts", limits.Parts
	case len(s.measures) > limits.Measures:
		what, most = "measures", limits.Measures
	case s.notes > limits.Notes:
		what, most = "notes", limits.Notes
	default:
		return nil
	}
	return &UnsupportedError{Text: fmt.Sprintf("the score has more than %d %s", most, what), Limit: what}
}
