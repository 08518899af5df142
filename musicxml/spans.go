package musicxml

import (
	"cmp"
	"slices"

	"hairpin/score"
)

// spanMark is one end of a hairpin, a dashed line or a slur.
type spanMark struct {
	place
	order  int // in the document
	number string
	start  bool
	voice  int
	until  score.Tick        // of slurs: where the note ends
	kind   score.HairpinKind // of hairpins
	niente bool
	hidden bool
}

// span is two marks that belong together; without stop the source left it open.
type span struct {
	from, to spanMark
	open     bool
}

// addSpan keeps an end of a span. Its number tells overlapping spans apart.
func (r *partReader) addSpan(list []spanMark, n *node, p place, m spanMark) []spanMark {
	m.place, m.order, m.number = p, len(list), n.attr("number")
	if m.number == "" {
		m.number = "1"
	}
	m.hidden = n.attr("print-object") == "no"
	switch n.attr("type") {
	case "stop":
	case "continue":
		return list
	default:
		m.start = true
	}
	return append(list, m)
}

// pair finds the ends that belong together. It goes by time, not by the
// document's order, in which a stop may stand before its start; a stop closes
// the latest start of its number before it, on its own staff if there is one.
func pair(marks []spanMark) (spans []span, lost []spanMark) {
	slices.SortStableFunc(marks, func(a, b spanMark) int { return cmp.Compare(a.at, b.at) })
	p := pairing{marks: marks}
	for i := 0; i < len(marks); {
		end := i + 1
		for end < len(marks) && marks[end].at == marks[i].at {
			end++
		}
		p.moment(i, end)
		i = end
	}
	for _, j := range p.open {
		p.spans = append(p.spans, span{from: marks[j], open: true})
	}
	return p.spans, p.lost
}

// pairing goes over the marks of a part.
type pairing struct {
	marks []spanMark
	open  []int // starts without a stop so far, as indices of marks
	spans []span
	lost  []spanMark // stops without a start
}

// moment takes the marks from i to end, which stand at one moment. Stops close
// what was open before, then what opens at the moment itself.
func (p *pairing) moment(i, end int) {
	var late []int
	for k := i; k < end; k++ {
		if !p.marks[k].start && !p.closes(k, true) {
			late = append(late, k)
		}
	}
	for k := i; k < end; k++ {
		if p.marks[k].start {
			p.open = append(p.open, k)
		}
	}
	for len(p.open) > maxOpen {
		p.spans = append(p.spans, span{from: p.marks[p.open[0]], open: true})
		p.open = p.open[1:]
	}
	for _, k := range late {
		if !p.closes(k, true) && !p.closes(k, false) {
			p.lost = append(p.lost, p.marks[k])
		}
	}
}

// closes pairs a stop with an open start, of its number or of any, if there is one.
func (p *pairing) closes(k int, sameNumber bool) bool {
	j := choose(p.marks, p.open, p.marks[k], sameNumber)
	if j < 0 {
		return false
	}
	p.spans = append(p.spans, span{p.marks[p.open[j]], p.marks[k], false})
	p.open = slices.Delete(p.open, j, j+1)
	return true
}

// choose is the place in open of the start that stop closes, or -1.
func choose(marks []spanMark, open []int, stop spanMark, sameNumber bool) int {
	best := -1
	for j, i := range open {
		m := marks[i]
		if sameNumber && m.number != stop.number {
			continue
		}
		if best < 0 || m.staff == stop.staff || marks[open[best]].staff != stop.staff {
			best = j
		}
	}
	return best
}

func (s span) at(part int) score.Span {
	return score.Span{Start: s.from.at, End: s.to.at, Part: part, Staff: s.from.staff}
}

func (r *partReader) pairHairpins() {
	spans, lost := pair(r.wedges)
	for _, m := range lost {
		r.warnAt(m.written, "a hairpin stops that never started; it was passed over")
	}
	for _, s := range spans {
		if s.open {
			s.to = r.openEnd(s.from)
			r.warnAt(s.from.written, "a hairpin never stops; it was read as far as %s", r.until(s.to.written))
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
	r.wedges = nil
}

func (r *partReader) pairDashes() {
	spans, lost := pair(r.dashes)
	for _, m := range lost {
		r.warnAt(m.written, "a dashed line stops that never started; it was passed over")
	}
	for _, s := range spans {
		if s.open {
			s.to = r.openEnd(s.from)
			r.warnAt(s.from.written, "a dashed line never stops; it was read as far as %s", r.until(s.to.written))
		}
		d := score.Dashes{Span: s.at(r.part), WrittenStart: s.from.written, WrittenEnd: s.to.written, Open: s.open}
		d.End = max(d.End, d.Start)
		r.s.Dashes = append(r.s.Dashes, d)
	}
	r.dashes = nil
}

func (r *partReader) pairSlurs() {
	spans, lost := pair(r.slurs)
	for _, m := range lost {
		r.warnAt(m.written, "a slur stops that never started; it was passed over")
	}
	for _, s := range spans {
		if s.open {
			r.warnAt(s.from.written, "a slur never stops; it was passed over")
			continue
		}
		l := score.Slur{Span: s.at(r.part), Voice: s.from.voice}
		l.End = max(s.to.until, s.from.until)
		r.s.Slurs = append(r.s.Slurs, l)
	}
	r.slurs = nil
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

func (r *partReader) until(t score.Tick) string {
	p := r.s.At(t)
	return "measure " + p.Number + " beat " + score.FormatBeat(p.Beat)
}
