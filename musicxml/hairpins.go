package musicxml

import (
	"slices"

	"hairpin/score"
)

// joinHairpins pairs the ends of all hairpins, first within each part.
func (b *builder) joinHairpins(readers []*partReader) {
	for _, r := range readers {
		r.hairpins, r.stray = pair(r.wedges)
	}
	for _, r := range readers {
		for _, s := range r.hairpins {
			r.addHairpin(s, readers)
		}
	}
	for _, r := range readers {
		for _, m := range r.stray {
			r.warnAt(m.written, "a hairpin stops that never started; it was passed over")
		}
		r.wedges, r.hairpins, r.stray = nil, nil, nil
	}
}

func (r *partReader) addHairpin(s span, readers []*partReader) {
	if s.open {
		s.to = r.hairpinEnd(s.from, readers)
	}
	h := score.Hairpin{
		Span: s.at(r.part), WrittenStart: s.from.written, WrittenEnd: s.to.written,
		Kind: s.from.kind, Niente: s.from.niente || s.to.niente, Open: s.open, Hidden: s.from.hidden,
	}
	if h.End < h.Start {
		h.Start, h.End = h.WrittenStart, max(h.WrittenEnd, h.WrittenStart)
		r.warnAt(s.from.written, "a hairpin's offsets turn it round; they were passed over")
	}
	r.s.Hairpins = append(r.s.Hairpins, h)
}

// hairpinEnd is the end of a hairpin that its part never stops: in another
// part, where the page draws it across staves, or else where a player would end it.
func (r *partReader) hairpinEnd(from spanMark, readers []*partReader) spanMark {
	if r.openEnds < maxOpenEnds {
		for _, o := range readers {
			i := slices.IndexFunc(o.stray, func(m spanMark) bool { return m.number == from.number && m.written > from.written })
			if i < 0 {
				continue
			}
			to := o.stray[i]
			o.stray = slices.Delete(o.stray, i, i+1)
			r.openEnds++
			r.warnAt(from.written, "a hairpin stops in another part (%s); it was read as far as %s", o.where.Part, r.until(to.written))
			return to
		}
	}
	to := r.openEnd(from)
	r.warnAt(from.written, "a hairpin never stops; it was read as far as %s", r.until(to.written))
	return to
}

// openEnd is where a player would end a line that the source never stops: at
// the next mark that makes it pointless, or failing that with the measure. That
// mark is looked for only as long as a file has few such lines.
func (r *partReader) openEnd(from spanMark) spanMark {
	m := r.s.Measures[r.s.MeasureAt(from.written)]
	end := max(m.End(), from.at)
	if r.openEnds++; r.openEnds <= maxOpenEnds {
		for _, d := range r.s.Dynamics {
			if d.Part == r.part && d.Written > from.written && d.Written < end {
				end = d.Written
			}
		}
		for _, w := range r.wedges {
			if w.start && w.written > from.written && w.written < end {
				end = w.written
			}
		}
	}
	to := from
	to.at, to.written = max(end, from.at), end
	return to
}

const (
	maxOpenEnds = 200
	maxOpen     = 64 // lines of one kind that run at once in a part; older ones are taken for forgotten
)
