package musicxml

import (
	"slices"
	"strings"

	"hairpin/score"
)

// endingMark is an ending whose right edge is not yet known.
type endingMark struct {
	start   score.Tick
	first   int
	numbers []int
}

func (r *partReader) readBarline(n *node) {
	at := r.now()
	m := r.s.Measures[r.measure]
	switch n.attr("location") {
	case "left":
		at = m.Start
	case "right", "":
		at = m.End()
	}
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "bar-style":
			switch trim(e.text) {
			case "light-light", "light-heavy", "heavy-light", "heavy-heavy", "heavy":
				r.s.DoubleBar = append(r.s.DoubleBar, at)
			}
		case "repeat":
			r.readRepeat(e, at)
		case "ending":
			r.readEnding(e, at)
		case "fermata":
			r.addFermata(at, 0)
		case "segno", "coda":
			r.jumps = append(r.jumps, jumpMark{at, r.measure, e.name, ""})
		}
	}
	if n.attr("segno") != "" {
		r.jumps = append(r.jumps, jumpMark{at, r.measure, "segno", n.attr("segno")})
	}
	if n.attr("coda") != "" {
		r.jumps = append(r.jumps, jumpMark{at, r.measure, "coda", n.attr("coda")})
	}
}

func (r *partReader) readRepeat(n *node, at score.Tick) {
	p := score.Repeat{At: at, Measure: r.measure, Forward: n.attr("direction") == "forward"}
	if s := n.attr("times"); s != "" {
		var ok bool
		if p.Times, ok = integer(s, 0, 100); !ok {
			r.warn("a repeat played %s times was read as played twice", short(s))
		}
	}
	r.s.Repeats = append(r.s.Repeats, p)
}

func (r *partReader) readEnding(n *node, at score.Tick) {
	numbers := endingNumbers(n.attr("number"))
	if n.attr("type") == "start" {
		if r.ending != nil {
			r.closeEnding(at, r.measure-1, true)
			r.warn("an ending starts before the one before it stopped")
		}
		r.ending = &endingMark{at, r.measure, numbers}
		return
	}
	discontinue := n.attr("type") == "discontinue"
	switch last := len(r.s.Endings) - 1; {
	case r.ending != nil:
		r.closeEnding(at, r.measure, discontinue)
	case r.endings > 0 && r.s.Endings[last].Last == r.measure-1 && slices.Equal(r.s.Endings[last].Numbers, numbers):
		e := &r.s.Endings[last]
		e.End, e.Last, e.Discontinue = at, r.measure, discontinue
		r.warn("an ending stops twice; it was read as lasting until here")
	default:
		r.warn("an ending stops that never started; it was passed over")
	}
}

func (r *partReader) closeEnding(at score.Tick, last int, discontinue bool) {
	e := r.ending
	r.ending = nil
	r.endings++
	r.s.Endings = append(r.s.Endings, score.Ending{
		Start: e.start, End: max(at, e.start), First: e.first, Last: max(last, e.first), Numbers: e.numbers, Discontinue: discontinue,
	})
}

// endingNumbers reads "1", "1, 2" or "1,3".
func endingNumbers(s string) (list []int) {
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' || r == '.' }) {
		if i, ok := integer(f, 1, 100); ok {
			list = append(list, i)
		}
	}
	return list
}
