package musicxml

import (
	"slices"

	"hairpin/score"
)

// spanMark is one end of a hairpin, a dashed line or a slur.
type spanMark struct {
	place
	measure int // in whose text it stands
	number  string
	start   bool
	voice   int
	until   score.Tick        // of slurs: where the note ends
	kind    score.HairpinKind // of hairpins
	niente  bool
	hidden  bool
}

// span is two marks that belong together; without stop the source left it open.
type span struct {
	from, to spanMark
	open     bool
}

// addSpan keeps an end of a span. Its number tells overlapping spans apart.
func (r *partReader) addSpan(list []spanMark, n *node, p place, m spanMark) []spanMark {
	m.place, m.measure, m.number = p, r.measure, n.attr("number")
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

// pair finds the ends that belong together, in the order of the document. A
// stop closes the latest start of its number before it, on its own staff if
// there is one. A stop that finds none waits for a start that stands behind it
// in the same measure's text, but before it in time: in another voice, after a
// backup.
func pair(marks []spanMark) (spans []span, lost []spanMark) {
	p := pairing{marks: marks}
	for k, m := range marks {
		if k > 0 && marks[k-1].measure != m.measure {
			p.lost = append(p.lost, p.waiting...)
			p.waiting = p.waiting[:0]
		}
		if m.start {
			p.start(k)
		} else {
			p.stop(k)
		}
	}
	p.lost = append(p.lost, p.waiting...)
	p.misnumbered()
	for _, i := range p.open {
		p.spans = append(p.spans, span{from: marks[i], open: true})
	}
	for _, k := range p.lost {
		lost = append(lost, marks[k])
	}
	return p.spans, lost
}

// pairing goes over the marks of a part; its lists are indices of marks.
type pairing struct {
	marks   []spanMark
	open    []int // starts without a stop so far
	waiting []int // stops of this measure without a start so far
	lost    []int // stops without a start
	spans   []span
}

func (p *pairing) start(k int) {
	best := -1
	for j, i := range p.waiting {
		m := p.marks[i]
		if m.number != p.marks[k].number || m.written <= p.marks[k].written {
			continue
		}
		if best < 0 || m.staff == p.marks[k].staff && p.marks[p.waiting[best]].staff != m.staff {
			best = j
		}
	}
	if best >= 0 {
		p.spans = append(p.spans, span{p.marks[k], p.marks[p.waiting[best]], false})
		p.waiting = slices.Delete(p.waiting, best, best+1)
		return
	}
	if p.open = append(p.open, k); len(p.open) > maxOpen {
		p.spans = append(p.spans, span{from: p.marks[p.open[0]], open: true})
		p.open = p.open[1:]
	}
}

func (p *pairing) stop(k int) {
	number := func(m spanMark) bool { return m.number == p.marks[k].number }
	if p.close(k, number) {
		return
	}
	if p.waiting = append(p.waiting, k); len(p.waiting) > maxOpen {
		p.lost = append(p.lost, p.waiting[0])
		p.waiting = p.waiting[1:]
	}
}

// close pairs a stop with the open start that suits it best: on its staff
// rather than on another, before it rather than at the same moment, late
// rather than early.
func (p *pairing) close(k int, fits func(spanMark) bool) bool {
	best, rank := -1, -1
	for j, i := range p.open {
		m := p.marks[i]
		if !fits(m) || m.written > p.marks[k].written {
			continue
		}
		r := 0
		if m.staff == p.marks[k].staff {
			r += 2
		}
		if m.written < p.marks[k].written {
			r++
		}
		if r >= rank {
			best, rank = j, r
		}
	}
	if best < 0 {
		return false
	}
	p.spans = append(p.spans, span{p.marks[p.open[best]], p.marks[k], false})
	p.open = slices.Delete(p.open, best, best+1)
	return true
}

// misnumbered lets stops without a start close starts without a stop that only
// have another number.
func (p *pairing) misnumbered() {
	left := p.lost[:0]
	for _, k := range p.lost {
		if !p.close(k, func(m spanMark) bool { return m.staff == p.marks[k].staff && m.written < p.marks[k].written }) {
			left = append(left, k)
		}
	}
	p.lost = left
}

func (s span) at(part int) score.Span {
	return score.Span{Start: s.from.at, End: s.to.at, Part: part, Staff: s.from.staff}
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
	r.dashes, r.pedal = nil, nil
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
