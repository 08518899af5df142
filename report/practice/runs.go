package practice

import (
	"fmt"
	"slices"
	"strconv"
)

// written is the passage as it stands on the page.
func (p *passage) written() rung {
	g := rung{name: "as written", own: true}
	for _, b := range p.bars {
		s := sheetBar{number: b.Number, implicit: b.Pickup || b.Offset > 0, state: b.state, end: b.end}
		if b.source != nil {
			s.list = b.source.copied().list
		}
		if len(b.items) == 0 {
			s.list = append(s.list, fullRest(b.length(p.r.Score.Division)))
		}
		g.bars = append(g.bars, s)
	}
	return g
}

func fullRest(length int) *element {
	return el("note", el("rest").with("measure", "yes"), number("duration", length), number("voice", 1))
}

// runRungs are the rungs for scales and runs: in groups with rests added, in two
// rhythms, and each staff alone. Those that change nothing are left out.
func (p *passage) runRungs() []rung {
	list := []rung{p.groups(), p.rhythm("long–short", true), p.rhythm("short–long", false)}
	if p.staves == 2 {
		list = append(list, p.alone(1, "upper staff alone"), p.alone(2, "lower staff alone"))
	}
	return slices.DeleteFunc(list, func(g rung) bool { return len(g.bars) == 0 })
}

// timed is an element of a bar with its time and voice; what stands before a note
// goes with it.
type timed struct {
	at, until   int
	staff       int
	voice       int
	list        []*element
	held, grace bool
}

// voices lists a bar's notes voice by voice, each chord in one.
func (b bar) voices() (order [][2]int, notes map[[2]int][]timed) {
	notes = map[[2]int][]timed{}
	var before []*element
	i := 0
	for _, e := range b.source.list {
		if e.name != "note" {
			if e.name != "backup" && e.name != "forward" {
				before = append(before, e)
			}
			continue
		}
		n := b.items[i]
		i++
		key := [2]int{n.staff, n.voice}
		if k := len(notes[key]); n.chord && k > 0 {
			notes[key][k-1].list = append(notes[key][k-1].list, e)
			continue
		}
		if notes[key] == nil {
			order = append(order, key)
		}
		t := timed{at: n.at, until: n.at, staff: n.staff, voice: n.voice, list: append(before, e), held: startsTie(e), grace: n.grace}
		if !n.grace {
			t.until = n.at + n.length
		}
		notes[key] = append(notes[key], t)
		before = nil
	}
	return order, notes
}

func startsTie(e *element) bool {
	return slices.ContainsFunc(e.list, func(c *element) bool { return c.name == "tie" && c.attr("type") == "start" })
}

// groups plays the passage beat by beat with a beat's rest after each.
func (p *passage) groups() rung {
	g := rung{name: "in groups, a beat's rest after each"}
	for _, b := range p.bars {
		if len(b.items) == 0 {
			g.bars = append(g.bars, p.emptyBar(b))
			continue
		}
		g.bars = append(g.bars, p.grouped(b))
	}
	return g
}

func (p *passage) emptyBar(b bar) sheetBar {
	return sheetBar{number: b.Number, state: b.state, end: b.end, list: []*element{fullRest(b.length(p.r.Score.Division))}}
}

// cuts are the beats at which nothing sounds on and that end a group with notes in
// it, in divisions; the last is the bar's end.
func (p *passage) cuts(b bar, notes map[[2]int][]timed) (list []int) {
	division := p.r.Score.Division
	from := 0
	for _, t := range b.Every(b.Beat(division))[1:] {
		at := int(int64(t-b.Start) * int64(b.state.divisions) / int64(division))
		free, played := true, false
		for _, voice := range notes {
			for _, n := range voice {
				free = free && (n.at >= at || n.until < at || n.until == at && !n.held)
				played = played || n.at >= from && n.at < at && n.plays()
			}
		}
		if free && played {
			list, from = append(list, at), at
		}
	}
	return append(list, b.length(division))
}

// plays reports whether the notes are played.
func (t timed) plays() bool {
	return slices.ContainsFunc(t.list, func(e *element) bool { return e.name == "note" && e.find("rest") == nil && e.find("cue") == nil })
}

func (p *passage) grouped(b bar) sheetBar {
	b.source = b.source.copied()
	order, notes := b.voices()
	division := p.r.Score.Division
	cuts := p.cuts(b, notes)
	beat := int(int64(b.Beat(division)) * int64(b.state.divisions) / int64(division))
	s := b.state.copied()
	var out []*element
	total := b.length(division) + beat*len(cuts)
	for k, key := range order {
		if k > 0 {
			out = append(out, el("backup", number("duration", total)))
		}
		from, cursor := 0, 0
		for _, cut := range cuts {
			for _, n := range notes[key] {
				last := cut == cuts[len(cuts)-1]
				if n.at < from || n.at >= cut && !(last && n.grace) {
					continue
				}
				out, cursor = forward(out, cursor, n.at), max(n.until, n.at)
				out = append(out, n.list...)
			}
			out = forward(out, cursor, cut)
			out = append(out, p.beatRest(b, key, beat))
			from, cursor = cut, cut
		}
	}
	unit := 4
	if b.BeatUnit > 0 {
		unit = b.BeatUnit
	}
	s.time = el("time", number("beats", max(total*unit/(4*b.state.divisions), 1)), number("beat-type", unit))
	end := b.end.copied()
	end.time = s.time
	return sheetBar{number: b.Number, state: s, end: end, list: out}
}

func forward(out []*element, from, to int) []*element {
	if to > from {
		return append(out, el("forward", number("duration", to-from)))
	}
	return out
}

var kinds = map[int]string{1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th", 32: "32nd", 64: "64th"}

// beatRest is a rest of a beat.
func (p *passage) beatRest(b bar, key [2]int, length int) *element {
	unit, dotted := b.BeatUnit, b.Compound()
	if dotted {
		unit /= 2
	}
	n := el("note", el("rest"), number("duration", length), number("voice", key[1]))
	if kind := kinds[unit]; kind != "" {
		n.list = append(n.list, leaf("type", kind))
		if dotted {
			n.list = append(n.list, el("dot"))
		}
	}
	n.list = append(n.list, number("staff", key[0]))
	return n
}

// rhythm plays pairs of equal notes unequal; no rung where there are none.
func (p *passage) rhythm(name string, longFirst bool) rung {
	g, changed := rung{name: "in rhythm, " + name}, 0
	for _, b := range p.bars {
		if len(b.items) == 0 {
			g.bars = append(g.bars, p.emptyBar(b))
			continue
		}
		b.source = b.source.copied()
		order, notes := b.voices()
		const finer = 2
		b.source.scale(finer)
		for _, key := range order {
			changed += unequal(notes[key], longFirst)
		}
		s := b.state.copied()
		s.divisions *= finer
		end := b.end.copied()
		end.divisions *= finer
		g.bars = append(g.bars, sheetBar{number: b.Number, implicit: b.Pickup || b.Offset > 0, state: s, end: end, list: b.source.list})
	}
	if changed == 0 {
		return rung{}
	}
	return g
}

// scale makes divisions and durations so many times as many.
func (e *element) scale(times int) {
	for _, c := range e.list {
		switch c.name {
		case "divisions", "duration", "offset":
			if n, err := strconv.ParseFloat(c.text, 64); err == nil {
				c.text = strconv.FormatFloat(n*float64(times), 'f', -1, 64)
			}
		}
		c.scale(times)
	}
}

// unequal changes pairs of eighths or sixteenths that begin on their common beat.
func unequal(list []timed, longFirst bool) (changed int) {
	for i := 0; i+1 < len(list); i++ {
		a, b := list[i], list[i+1]
		length := a.until - a.at
		kind := a.plainKind()
		if kind == "" || kind != b.plainKind() || b.at != a.until || b.until-b.at != length || length <= 0 || a.at%(2*length) != 0 {
			continue
		}
		long, short, hook := a, b, "backward hook"
		if !longFirst {
			long, short, hook = b, a, "forward hook"
		}
		long.lengthen()
		short.halve(hook)
		changed++
		i++
	}
	return changed
}

// plainKind is the value of an eighth or a sixteenth without dots, tuplets or ties.
func (t timed) plainKind() string {
	kind := ""
	for _, e := range t.list {
		if e.name != "note" {
			continue
		}
		kind = e.get("type")
		if e.find("dot") != nil || e.find("time-modification") != nil || e.find("tie") != nil || e.find("grace") != nil || e.find("rest") != nil {
			return ""
		}
	}
	if kind == "eighth" || kind == "16th" {
		return kind
	}
	return ""
}

// lengthen makes a note half as long again.
func (t timed) lengthen() {
	for _, e := range t.list {
		if e.name == "note" {
			d := e.find("duration")
			d.text = strconv.Itoa(e.whole("duration", 0) * 3 / 2)
			k := slices.Index(e.list, e.find("type"))
			e.list = slices.Insert(e.list, k+1, el("dot"))
		}
	}
}

// halve makes a note half as long; its new beam hangs on the note before or after.
func (t timed) halve(hook string) {
	for _, e := range t.list {
		if e.name != "note" {
			continue
		}
		d, kind := e.find("duration"), e.find("type")
		d.text = strconv.Itoa(e.whole("duration", 0) / 2)
		beams, last := 0, -1
		for k, c := range e.list {
			if c.name == "beam" {
				beams, last = beams+1, k
			}
		}
		if beams > 0 {
			e.list = slices.Insert(e.list, last+1, leaf("beam", hook).with("number", fmt.Sprint(beams+1)))
		}
		kind.text = map[string]string{"eighth": "16th", "16th": "32nd"}[kind.text]
	}
}

// alone plays one staff; none where another has nothing to play.
func (p *passage) alone(staff int, name string) rung {
	g := rung{name: name, own: true}
	mine, other := 0, 0
	for _, b := range p.bars {
		for _, i := range b.items {
			if i.sounds() && i.staff == staff {
				mine++
			} else if i.sounds() {
				other++
			}
		}
		s := sheetBar{number: b.Number, implicit: b.Pickup || b.Offset > 0, state: b.state, end: b.end}
		if b.source != nil {
			s.list = b.only(func(key [2]int) bool { return key[0] == staff })
		}
		length := b.length(p.r.Score.Division)
		for other := 1; other <= p.staves; other++ {
			if !slices.ContainsFunc(b.items, func(i item) bool { return i.staff == other && other == staff }) {
				if len(s.list) > 0 {
					s.list = append(s.list, el("backup", number("duration", length)))
				}
				r := fullRest(length)
				r.find("voice").text = strconv.Itoa(4*other - 3)
				s.list = append(s.list, onStaffOf(r, other))
			}
		}
		g.bars = append(g.bars, s)
	}
	if mine == 0 || other == 0 {
		return rung{}
	}
	return g
}

// only is the bar with the notes of some staves and voices, up to its end.
func (b bar) only(chosen func([2]int) bool) (out []*element) {
	b.source = b.source.copied()
	order, notes := b.voices()
	at := 0
	for _, key := range order {
		if !chosen(key) {
			continue
		}
		if at > 0 {
			out, at = append(out, el("backup", number("duration", at))), 0
		}
		for _, n := range notes[key] {
			out = forward(out, at, n.at)
			for _, e := range n.list {
				if s := e.whole("staff", key[0]); s == key[0] || e.name != "direction" {
					out = append(out, e)
				}
			}
			at = n.until
		}
	}
	full := 0
	for _, i := range b.items {
		full = max(full, i.at+i.length)
	}
	return forward(out, at, full)
}

// alternation is the drill for evenness: the passage's notes one after the other
// in eighths, once from each hand, the accent a note later the second time.
func (p *passage) alternation() rung {
	v := p.blockValues()[2]
	var tones []tone
	for _, b := range p.bars {
		for _, m := range byMoment(b.items) {
			tones = append(tones, m.tones...)
		}
	}
	const most = 8
	group := 4
	if p.bars[0].Compound() {
		group = 3
	}
	tones = tones[:min(len(tones), most)]
	if len(tones) < 2 {
		return rung{}
	}
	for k := 0; len(tones) < group || len(tones)%group != 0; k++ {
		tones = append(tones, tones[k])
	}
	g := rung{name: "alternation: both starting hands, accent moved by one"}
	for turn, hands := range [2]string{"RL", "LR"} {
		g.bars = append(g.bars, p.drillBar(tones, hands, turn, group, v))
	}
	return g
}

func (p *passage) drillBar(tones []tone, hands string, accent, group int, v value) sheetBar {
	b := p.bars[0]
	w := &noteWriter{state: b.state, hands: OneHand, kept: true, sounding: map[string]int{}}
	for staff := 1; staff <= p.staves; staff++ {
		if staff > 1 {
			w.list = append(w.list, el("backup", number("duration", len(tones)*v.length())))
		}
		for i, t := range tones {
			beam := ""
			if p.staves == 1 {
				beam = beamOf(i%group, group)
			}
			w.chord(onStaff([]tone{t}, staff), position{}, staff, v, beam)
			n := w.list[len(w.list)-1]
			if n.find("rest") != nil {
				continue
			}
			n.drop("notations")
			marks := el("notations", el("technical", leaf("fingering", "["+hands[i%2:i%2+1]+"]")))
			if i%group == accent {
				marks.list = append(marks.list, el("articulations", el("accent")))
			}
			n.list = append(n.list, marks)
		}
	}
	s := b.state.copied()
	s.divisions = grid
	s.time = metre(float64(len(tones))*v.quarters, v, group == 3)
	return sheetBar{number: b.Number, state: s, end: s, list: w.list}
}
