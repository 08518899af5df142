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
func (s *sheet) ladder(l ladder) Exercise {
	p := l.passage
	x := Exercise{First: p.first, Last: p.last, Run: p.isRun(), Pitched: p.pitched(), Levels: p.levels()}
	for i, g := range l.rungs {
		perMin := l.tempo.at(i, len(l.rungs))
		step := Step{Name: g.name, First: len(s.list), Tempo: perMin * l.tempo.unit.quarters, Own: g.own, Follows: len(g.bars) == len(p.bars)}
		step.Rest = step.First + len(g.bars)
		s.system = true
		s.rung(l, g)
		step.End = len(s.list)
		s.head(step.First, l, i, perMin)
		s.repeat(step.First, len(x.Levels))
		x.Steps = append(x.Steps, step)
	}
	return x
}

// head puts a rung's name, tempo, levels and number of times over and under the
// measure of the sheet where it begins, and over a ladder's first why it was chosen.
func (s *sheet) head(at int, l ladder, i int, perMin float64) {
	g := l.rungs[i]
	var marks []*element
	if i == 0 && (s.plan.Hardest > 0 || l.why != "") {
		text := l.passage.name()
		if l.why != "" {
			text += ": " + l.why
		}
		marks = append(marks, direction("above", words(text, "normal")))
	}
	const apart = "\u00a0\u00a0\u00a0" // else the tempo stands at the words
	name := words(fmt.Sprintf("%d. %s%s", i+1, g.name, apart), "bold")
	marks = append(marks, direction("above", name, l.tempo.mark(perMin)))
	marks = append(marks, s.below(l, g, i)...)
	first := s.list[at]
	k := slices.IndexFunc(first.list, func(e *element) bool { return e.name != "print" && e.name != "attributes" && e.name != "barline" })
	first.list = slices.Insert(first.list, max(k, 0), marks...)
}

// below says how often and how loud, and where to take care.
func (s *sheet) below(l ladder, g rung, i int) (list []*element) {
	p := l.passage
	levels, mark := p.levels(), ""
	if x := p.opening(); x != "" && !g.own && len(levels) > len(softToLoud) {
		mark = " (" + x + ")"
	}
	last := len(levels) - 1
	text := fmt.Sprintf("%d times: %s, then %s%s", len(levels), strings.Join(levels[:last], ", "), levels[last], mark)
	if i == 0 && p.loud() {
		text += "; loud: rest hands and ears between rungs"
	}
	if i == 0 && g.wide() {
		text += "; wide: more than an octave in one hand"
	}
	list = append(list, onStaffOf(direction("below", words(text, "normal")), p.staves))
	if mark, staff := p.level(); mark != "" && g.own {
		list = append(list, p.levelMark(mark, staff))
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
	for _, b := range l.passage.restBars(s.plan.Rest, g.bars[len(g.bars)-1].end) {
		s.bar(b, l.passage.staves)
	}
}

// restBars are so many beats of rest, in short measures without numbers of their
// own: the time signature stays, so that no other one is announced.
func (p *passage) restBars(beats int, in state) (list []sheetBar) {
	v := p.restValue()
	in = in.copied()
	in.divisions = grid
	full := max(int(quartersOf(in.time)/v.quarters), 1)
	for ; beats > 0; beats -= full {
		b, count := sheetBar{implicit: true, state: in, end: in}, min(beats, full)
		for staff := 1; staff <= p.staves; staff++ {
			if staff > 1 {
				b.list = append(b.list, el("backup", number("duration", count*v.length())))
			}
			for range count {
				b.list = append(b.list, rest(staff, v))
			}
		}
		list = append(list, b)
	}
	return list
}

// restValue is the beat that is rested: that of the passage's last measure.
func (p *passage) restValue() value {
	last := p.bars[len(p.bars)-1]
	unit := max(last.BeatUnit, 1)
	v := value{kinds[unit], 0, 4 / float64(unit)}
	if last.Compound() {
		v = value{kinds[unit/2], 1, 12 / float64(unit)}
	}
	if v.kind == "" || v.length() == 0 {
		v = value{"quarter", 0, 1}
	}
	return v
}

// quartersOf is the length of a full measure of a time signature, 4 without one.
func quartersOf(time *element) float64 {
	if time == nil {
		return 4
	}
	sum, unit := 0.0, 0
	for _, e := range time.list {
		if e.name == "beats" {
			for _, n := range strings.Split(e.text, "+") {
				beats, _ := strconv.Atoi(strings.TrimSpace(n))
				sum += float64(beats)
			}
		}
		if e.name == "beat-type" && unit == 0 {
			unit, _ = strconv.Atoi(strings.TrimSpace(e.text))
		}
	}
	if sum <= 0 || unit <= 0 {
		return 4
	}
	return 4 * sum / float64(unit)
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

// repeat puts repeat signs around the measures from first on, to be played so many times.
func (s *sheet) repeat(first, times int) {
	m := s.list[first]
	left := el("barline", leaf("bar-style", "heavy-light"), el("repeat").with("direction", "forward")).with("location", "left")
	k := slices.IndexFunc(m.list, func(e *element) bool { return e.name != "print" && e.name != "attributes" })
	m.list = slices.Insert(m.list, max(k, 0), left)
	last := s.list[len(s.list)-1]
	last.list = append(last.list, el("barline", leaf("bar-style", "light-heavy"),
		el("repeat").with("direction", "backward").with("times", strconv.Itoa(times))).with("location", "right"))
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
