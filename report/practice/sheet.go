package practice

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hairpin/musicxml"
	"hairpin/report"
)

// sheet gathers the measures of a ladder as a document.
type sheet struct {
	r      *report.Reading
	plan   Plan
	part   int
	list   []*element // measures
	now    map[string]string
	begun  bool
	system bool // the next measure begins a system
	rests  int
}

// ladder appends a passage, rung by rung.
func (s *sheet) ladder(l ladder) {
	for i, g := range l.rungs {
		head := fmt.Sprintf("%d. %s", i+1, g.name)
		above := []*element{words(head, "bold"), l.tempo.mark(l.tempo.at(i, len(l.rungs)))}
		if i == 0 && (s.plan.Hardest > 0 || l.why != "") {
			text := l.passage.name()
			if l.why != "" {
				text += ": " + l.why
			}
			above = append([]*element{words(text, "normal")}, above...)
		}
		s.system = true
		first := len(s.list)
		s.rung(l, g)
		start := len(s.list[first].list)
		for k, e := range s.list[first].list {
			if e.name != "print" && e.name != "attributes" && e.name != "barline" {
				start = k
				break
			}
		}
		marks := []*element{}
		if len(above) > 2 {
			marks = append(marks, direction("above", above[0]))
			above = above[1:]
		}
		marks = append(marks, direction("above", above...))
		marks = append(marks, s.below(l, g, i)...)
		s.list[first].list = slices.Insert(s.list[first].list, start, marks...)
		s.repeat(first)
	}
}

// below says how often and how loud, and where to take care.
func (s *sheet) below(l ladder, g rung, i int) (list []*element) {
	levels := Levels()
	text := fmt.Sprintf("%d times: %s", len(levels), strings.Join(levels, ", "))
	if i == 0 && l.passage.loud() {
		text += "; loud: rest hands and ears between rungs"
	}
	list = append(list, onStaffOf(direction("below", words(text, "normal")), l.passage.staves))
	if mark, staff := l.passage.level(); mark != "" && g.own {
		list = append(list, l.passage.levelMark(mark, staff))
	}
	return list
}

func (p *passage) levelMark(mark string, staff int) *element {
	name := leaf(mark, "")
	if !slices.Contains(schemaMarks[:], mark) {
		name = leaf("other-dynamics", mark)
	}
	d := direction("below", el("dynamics", name))
	if staff > 0 && p.staves > 1 {
		onStaffOf(d, staff)
	}
	return d
}

var schemaMarks = [...]string{"pppppp", "ppppp", "pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "fffff", "ffffff"}

// mark is a metronome mark.
func (t tempo) mark(perMin float64) *element {
	m := el("metronome", leaf("beat-unit", t.unit.kind))
	for range t.unit.dots {
		m.list = append(m.list, el("beat-unit-dot"))
	}
	m.list = append(m.list, leaf("per-minute", strconv.FormatFloat(perMin, 'f', -1, 64)))
	return m
}

// rung appends the bars of a rung and its rest.
func (s *sheet) rung(l ladder, g rung) {
	for _, b := range g.bars {
		s.bar(b, l.passage.staves)
	}
	if s.plan.Rest > 0 {
		s.bar(l.passage.restBar(s.plan.Rest, g.bars[len(g.bars)-1].end), l.passage.staves)
	}
}

// restBar is so many beats of rest, without a number of its own.
func (p *passage) restBar(beats int, in state) sheetBar {
	last := p.bars[len(p.bars)-1]
	unit, compound := max(last.BeatUnit, 1), last.Compound()
	v := value{kinds[unit], 0, 4 / float64(unit)}
	if compound {
		v = value{kinds[unit/2], 1, 12 / float64(unit)}
	}
	if v.kind == "" || unit > 8*grid/2 {
		unit, v = 4, value{"quarter", 0, 1}
	}
	s := in.copied()
	s.divisions = grid
	count := beats
	if v.dots > 0 {
		count = 3 * beats
	}
	s.time = el("time", number("beats", count), number("beat-type", unit)).with("print-object", "no")
	var list []*element
	for staff := 1; staff <= p.staves; staff++ {
		if staff > 1 {
			list = append(list, el("backup", number("duration", beats*v.length())))
		}
		for range beats {
			list = append(list, rest(staff, v))
		}
	}
	return sheetBar{implicit: true, state: s, end: s, list: list}
}

// bar appends a measure, with what has to be stated at its start.
func (s *sheet) bar(b sheetBar, staves int) {
	n := b.number
	if n == "" {
		s.rests++
		n = "X" + strconv.Itoa(s.rests)
	}
	m := el("measure").with("number", n)
	if b.implicit {
		m.with("implicit", "yes")
	}
	if s.system && s.begun {
		m.list = append(m.list, el("print").with("new-system", "yes"))
	}
	if a := s.attributes(b.state, staves); len(a.list) > 0 {
		m.list = append(m.list, a)
	}
	s.now = b.end.texts()
	m.list = append(m.list, b.list...)
	s.list, s.begun, s.system = append(s.list, m), true, false
}

// stated are the attributes in force as texts, and in the order of the schema.
func (s state) stated() (order []string, list map[string]*element) {
	list = map[string]*element{}
	add := func(key string, e *element) {
		if e != nil {
			order, list[key] = append(order, key), e
		}
	}
	each := func(kind string, m map[string]*element) {
		var keys []string
		for k := range m {
			keys = append(keys, k)
		}
		slices.Sort(keys)
		for _, k := range keys {
			add(kind+k, m[k])
		}
	}
	add("divisions", number("divisions", s.divisions))
	each("key", s.keys)
	add("time", s.time)
	add("staves", s.staves)
	add("part-symbol", s.symbol)
	add("instruments", s.instrument)
	each("clef", s.clefs)
	each("details", s.details)
	each("transpose", s.transpose)
	return order, list
}

func (s state) texts() map[string]string {
	out := map[string]string{}
	_, list := s.stated()
	for k, e := range list {
		out[k] = e.String()
	}
	return out
}

// attributes states what is not in force yet.
func (s *sheet) attributes(want state, staves int) *element {
	a := el("attributes")
	order, list := want.stated()
	for _, k := range order {
		if text := list[k].String(); s.now[k] != text {
			a.list = append(a.list, list[k].copied())
		}
	}
	if want.staves == nil && staves > 1 && !s.begun {
		k := slices.IndexFunc(a.list, func(e *element) bool { return e.name == "clef" })
		a.list = slices.Insert(a.list, max(k, 0), number("staves", staves))
	}
	return a
}

// repeat puts repeat signs around the measures from first on.
func (s *sheet) repeat(first int) {
	m := s.list[first]
	left := el("barline", leaf("bar-style", "heavy-light"), el("repeat").with("direction", "forward")).with("location", "left")
	k := slices.IndexFunc(m.list, func(e *element) bool { return e.name != "print" && e.name != "attributes" })
	m.list = slices.Insert(m.list, max(k, 0), left)
	last := s.list[len(s.list)-1]
	last.list = append(last.list, el("barline", leaf("bar-style", "light-heavy"),
		el("repeat").with("direction", "backward").with("times", strconv.Itoa(len(Levels())))).with("location", "right"))
}

// file is the document, read again.
func (s *sheet) file(title string) (*musicxml.File, error) {
	part, err := parsed(s.r.File.PartText(s.part))
	if err != nil {
		part = el("score-part", leaf("part-name", s.r.Score.Parts[s.part].Name)).with("id", "P1")
	}
	part.drop("identification", "part-link")
	root := el("score-partwise", el("work", leaf("work-title", title))).with("version", "4.0")
	id := el("identification")
	if s.r.Score.Composer != "" {
		id.list = append(id.list, leaf("creator", s.r.Score.Composer).with("type", "composer"))
	}
	id.list = append(id.list, el("encoding", leaf("software", "hairpin")))
	body := el("part", s.list...).with("id", part.attr("id"))
	root.list = append(root.list, id, el("part-list", part), body)
	head := `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
`
	return musicxml.Read(strings.NewReader(head+root.String()), "", musicxml.Limits{})
}
