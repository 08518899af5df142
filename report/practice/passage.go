package practice

import (
	"fmt"
	"slices"
	"strconv"

	"hairpin/report"
	"hairpin/score"
)

// passage is a stretch of one part's page, as it is written in the source.
type passage struct {
	r           *report.Reading
	part        int
	first, last int // measures, as indices
	bars        []bar
	staves      int
}

// bar is one measure of the part with what is in force at its start.
type bar struct {
	score.Measure
	state  state
	end    state // in force at its end
	items  []item
	source *element // the measure element without what state has of its start; nil: nothing there
}

// length is the bar's length in its divisions.
func (b bar) length(division score.Tick) int {
	return int(int64(b.Length) * int64(b.state.divisions) / int64(division))
}

// item is a note or rest of a bar. Times are divisions from the bar's start.
type item struct {
	at, length, staff, voice int
	el                       *element
	grace, chord, rest, cue  bool
}

// state is what attributes have put in force.
type state struct {
	divisions          int
	time, staves       *element
	keys, clefs        map[string]*element // by the number of the staff, "" for all
	details, transpose map[string]*element
	symbol, instrument *element
}

func (s state) copied() state {
	clone := func(m map[string]*element) map[string]*element {
		c := map[string]*element{}
		for k, v := range m {
			c[k] = v
		}
		return c
	}
	s.keys, s.clefs, s.details, s.transpose = clone(s.keys), clone(s.clefs), clone(s.details), clone(s.transpose)
	return s
}

// take puts attributes in force.
func (s *state) take(a *element) {
	for _, e := range a.list {
		switch e.name {
		case "divisions":
			s.divisions = max(a.whole("divisions", 1), 1)
		case "time":
			s.time = e
		case "staves":
			s.staves = e
		case "part-symbol":
			s.symbol = e
		case "instruments":
			s.instrument = e
		case "key":
			if e.attr("number") == "" {
				clear(s.keys)
			}
			s.keys[e.attr("number")] = e
		case "clef":
			s.clefs[staffNumber(e.attr("number"))] = e
		case "staff-details":
			s.details[staffNumber(e.attr("number"))] = e
		case "transpose":
			s.transpose[e.attr("number")] = e
		}
	}
}

func staffNumber(n string) string {
	if n == "" {
		return "1"
	}
	return n
}

// fifths is the key signature of a staff.
func (s state) fifths(staff int) int {
	for _, k := range []string{strconv.Itoa(staff), ""} {
		if e := s.keys[k]; e != nil {
			return e.whole("fifths", 0)
		}
	}
	return 0
}

// newPassage reads measures of a part from the source. An error names the measure.
func newPassage(r *report.Reading, part, first, last int) (*passage, error) {
	p := &passage{r: r, part: part, first: first, last: last, staves: max(r.Score.Parts[part].Staves, 1)}
	now := state{divisions: 1}.copied()
	for i := 0; i <= last; i++ {
		m := r.Score.Measures[i]
		b := bar{Measure: m}
		if text := r.File.MeasureText(part, i); text != "" {
			e, err := parsed(text)
			if err != nil {
				return nil, &report.ChoiceError{Text: fmt.Sprintf("measure %s cannot be copied: %v", m.Number, err), Hint: "choose other measures"}
			}
			b.source = e
		}
		b.read(&now)
		if i >= first {
			p.bars = append(p.bars, b)
		}
	}
	p.prune()
	if !slices.ContainsFunc(p.bars, func(b bar) bool { return slices.ContainsFunc(b.items, item.sounds) }) {
		return nil, &report.ChoiceError{Text: fmt.Sprintf("%s has no note of part %d to practise", r.Span(p.from(), p.to()), part+1), Hint: "choose other measures with --measures, or another part with --part"}
	}
	return p, nil
}

func (p *passage) from() score.Tick { return p.r.Score.Measures[p.first].Start }
func (p *passage) to() score.Tick   { return p.r.Score.Measures[p.last].End() }

// sounds reports whether the item is a note to be played.
func (i item) sounds() bool { return !i.rest && !i.cue }

// read walks through the measure: what its first attributes say goes into the
// bar's state, notes become items, and marks of the page's layout are dropped.
func (b *bar) read(now *state) {
	b.state = now.copied()
	if b.source == nil {
		b.end = now.copied()
		return
	}
	b.source.drop("print", "barline", "bookmark", "link", "listening")
	b.source.dropTempo()
	at, last, begun := 0, 0, false
	var list []*element
	for _, e := range b.source.list {
		keep := true
		switch e.name {
		case "attributes":
			now.take(e)
			if !begun {
				b.state, keep = now.copied(), false
			}
		case "backup":
			at, begun = at-e.whole("duration", 0), true
		case "forward":
			at, begun = at+e.whole("duration", 0), true
		case "note":
			begun = true
			at, last = b.note(e, at, last)
		}
		if keep {
			list = append(list, e)
		}
	}
	b.source.list, b.end = list, now.copied()
}

// note adds a note; it returns where the cursor and the last chord stand.
func (b *bar) note(e *element, at, last int) (int, int) {
	n := item{at: at, length: e.whole("duration", 0), staff: e.whole("staff", 1), voice: e.whole("voice", 1), el: e}
	n.grace, n.chord, n.rest = e.find("grace") != nil, e.find("chord") != nil, e.find("rest") != nil
	n.cue = e.find("cue") != nil
	if n.chord {
		n.at = last
	}
	b.items = append(b.items, n)
	switch {
	case n.chord:
		return at, last
	case n.grace:
		return at, at
	}
	return at + n.length, at
}

// pitched reports whether any note of the passage has pitch.
func (p *passage) pitched() bool {
	return slices.ContainsFunc(p.bars, func(b bar) bool {
		return slices.ContainsFunc(b.items, func(i item) bool { return i.sounds() && i.el.find("pitch") != nil })
	})
}

// dropTempo takes metronome marks and playback tempos out of a measure: every rung
// has a tempo of its own. Words of tempo stay.
func (e *element) dropTempo() {
	e.list = slices.DeleteFunc(e.list, func(c *element) bool {
		if c.name == "sound" && c.attr("tempo") != "" {
			return true
		}
		if c.name != "direction" {
			return false
		}
		c.list = slices.DeleteFunc(c.list, func(d *element) bool {
			d.drop("metronome")
			return d.name == "direction-type" && len(d.list) == 0 || d.name == "sound" && d.attr("tempo") != ""
		})
		return c.find("direction-type") == nil
	})
}
