package musicxml

import (
	"fmt"

	"hairpin/score"
)

// partReader walks through one part.
type partReader struct {
	cursor
	b              *builder
	s              *score.Score
	part           int
	measure        int
	start          score.Tick // of the measure
	staves         int
	transpose      map[int]transposition // in force at the start of the measure, by staff, 0 for all
	keys           map[int]score.KeyMark // in force, by staff
	transpositions map[int][]transposing // within the measure, by staff
	pitched        bool
	unpitched      bool

	notes  []tiedNote
	small  smallPrint                // of the measure
	over   map[score.Tick]score.Tick // from where the part ends within a measure to that measure's end
	tied   bool                      // some note carries a tie
	wedges []spanMark
	dashes []spanMark
	slurs  []spanMark
	pedal  *place // where it went down, nil while it is up

	hairpins []span     // paired within the part
	stray    []spanMark // stops of hairpins that the part does not start

	jumps  []jumpMark
	ending *endingMark // the one that is open

	endings  int // closed so far
	openEnds int // lines that never stop
}

// readPart walks through a part; what hangs together over measures is left for resolve.
func (b *builder) readPart(i int) (*partReader, error) {
	r := &partReader{
		cursor: newCursor(b.s.Division, b.limits), b: b, s: b.s, part: i, staves: 1,
		transpose: map[int]transposition{}, transpositions: map[int][]transposing{}, keys: map[int]score.KeyMark{},
	}
	p := b.sheet.parts[i]
	r.where.Part = p.id
	r.odd = func(text string) { b.warn(r.where, "%s", text) }
	for k, c := range p.cells {
		if c.node == nil {
			continue
		}
		r.measure, r.start = k, b.s.Measures[k].Start
		r.where.Measure = c.node.attr("number")
		if r.where.Measure == "" {
			r.where.Measure = b.sheet.measures[k].attr("number")
		}
		r.enter()
		r.readMeasure(c)
		if r.err != nil {
			return nil, r.err
		}
		r.shortPart(b.s.Measures[k])
		r.smallPrint(b.s.Measures[k])
	}
	r.where.Measure = ""
	if n := len(p.cells); n < len(b.s.Measures) {
		r.warn("the part ends before measure %s of the score; it was read as silent from there", b.s.Measures[n].Number)
	}
	return r, nil
}

func (r *partReader) readMeasure(c cell) {
	r.readTranspositions(c.node)
	index := c.firstNote
	for e := c.node.child; e != nil && r.err == nil; e = e.next {
		switch e.name {
		case "note":
			r.readNote(e, index)
			index++
		case "backup":
			r.backup(e)
		case "forward":
			r.forward(e)
		case "attributes":
			r.readAttributes(e)
		case "direction":
			r.readDirection(e)
		case "harmony":
			r.readHarmony(e)
		case "sound":
			r.readSound(e, r.place(e))
		case "barline":
			r.readBarline(e)
		}
	}
}

// resolve joins what could only be joined once the whole part was read.
func (r *partReader) resolve() error {
	p := &r.s.Parts[r.part]
	p.Staves = r.staves
	p.Percussion = r.unpitched && !r.pitched
	r.joinTies()
	r.pairDashes()
	r.pairSlurs()
	r.b.jumps.add(r.jumps)
	return r.err
}

// now is the time of the cursor from the start of the piece.
func (r *partReader) now() score.Tick { return r.start + r.pos }

// place is where a direction, harmony or sound stands. Between the notes of a
// chord that is behind the chord, where the cursor already is.
func (r *partReader) place(n *node) place {
	p := place{written: r.now(), at: r.now(), staff: r.staff(n)}
	if o := n.find("offset"); o != nil && trim(o.text) != "" {
		p.at = max(p.written+r.ticks("an offset", o.text), 0)
	}
	return p
}

// place is a moment on a staff, with and without its offset.
type place struct {
	at, written score.Tick
	staff       int
}

// staff is the staff that an element names. Where it names none, a part on one
// staff has staff 1, and on more staves the mark holds for all of them: 0.
func (r *partReader) staff(n *node) int {
	if s := n.get("staff"); s != "" {
		if i, ok := integer(s, 1, 99); ok {
			r.staves = max(r.staves, i)
			return i
		}
		r.warn("staff %s was read as the first", short(s))
	}
	if r.staves > 1 {
		return 0
	}
	return 1
}

func (r *partReader) mark(p place) score.Place {
	return score.Place{At: p.at, Part: r.part, Staff: p.staff}
}

// until names the moment that something was read to last to.
func (r *partReader) until(t score.Tick) string {
	if m := r.s.Measures[r.s.MeasureAt(t-1)]; m.End() == t {
		return "the end of measure " + m.Number
	}
	p := r.s.At(t)
	return "measure " + p.Number + " beat " + score.FormatBeat(p.Beat)
}

func (r *partReader) printed(at score.Tick) string {
	if len(r.s.Measures) == 0 {
		return ""
	}
	return r.s.Measures[r.s.MeasureAt(at)].Number
}

func (r *partReader) warnAt(at score.Tick, format string, args ...any) {
	r.b.warn(Where{Part: r.where.Part, Measure: r.printed(at)}, "%s", fmt.Sprintf(format, args...))
}
