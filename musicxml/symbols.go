package musicxml

import (
	"hairpin/score"
)

// readHarmony reads a printed chord; an element with several roots is several chords.
func (r *partReader) readHarmony(n *node) {
	p := r.place(n)
	var all []score.ChordSymbol
	last := func() *score.ChordSymbol { return &all[len(all)-1] }
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "root", "function", "numeral":
			all = append(all, r.newSymbol(e, p))
			continue
		}
		if len(all) == 0 {
			continue
		}
		switch e.name {
		case "kind":
			last().Kind, last().Text = trim(e.text), collapse(e.attr("text"))
		case "inversion":
			if i, ok := integer(e.text, 0, 20); ok {
				last().Inversion = i
			}
		case "bass":
			last().WrittenBass, last().Bass = r.chordTone(e, "bass-step", "bass-alter", p.staff)
		case "degree":
			last().Degrees = append(last().Degrees, r.readDegree(e))
		}
	}
	if len(all) == 0 {
		r.warn("a chord symbol without a root was passed over")
	}
	r.s.Symbols = append(r.s.Symbols, all...)
}

func (r *partReader) newSymbol(e *node, p place) score.ChordSymbol {
	s := score.ChordSymbol{Place: r.mark(p), Inversion: -1}
	switch e.name {
	case "root":
		s.WrittenRoot, s.Root = r.chordTone(e, "root-step", "root-alter", p.staff)
	case "function":
		s.Root = "function:" + collapse(e.text)
		s.WrittenRoot = s.Root
	case "numeral":
		s.Root = "numeral:" + collapse(e.get("numeral-root"))
		s.WrittenRoot = s.Root
	}
	return s
}

// chordTone is a root or bass as written and at concert pitch.
func (r *partReader) chordTone(n *node, step, alter string, staff int) (written, sounding string) {
	name := n.get(step)
	c, ok := score.ParseClass(name)
	if !ok || len(name) != 1 {
		r.warn("a chord on %s was kept as it is", short(name))
		return oneLine(name), oneLine(name)
	}
	if s := n.get(alter); s != "" {
		a := r.alter(s)
		if a != float64(int(a)) {
			r.warn("a chord on a microtone was read as on its neighbour")
		}
		c += score.Class(7 * int(a))
	}
	return c.String(), (c + score.Class(r.transposed(staff, r.pos).fifths())).String()
}

func (r *partReader) readDegree(n *node) score.Degree {
	d := score.Degree{Type: n.get("degree-type")}
	var ok bool
	if d.Value, ok = integer(n.get("degree-value"), 1, 99); !ok {
		r.warn("a chord degree of %s was read as none", short(n.get("degree-value")))
	}
	if s := n.get("degree-alter"); s != "" {
		d.Alter = r.alter(s)
	}
	return d
}
