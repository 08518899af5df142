package practice

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// rung is one step of the ladder: bars of the sheet that are repeated.
type rung struct {
	name string
	bars []sheetBar
	own  bool   // the page's own bars, with its own marks
	lead string // the hand that begins, where that makes a rung of its own
}

// sheetBar is one measure of the sheet.
type sheetBar struct {
	number     string
	implicit   bool
	state, end state // what has to be in force at its start, and what is at its end
	list       []*element
}

// wide reports whether a chord of the rung is flagged.
func (g rung) wide() bool {
	return slices.ContainsFunc(g.bars, func(b sheetBar) bool {
		return slices.ContainsFunc(b.list, func(e *element) bool { return e.name == "direction" && e.get("direction-type", "words") == "wide" })
	})
}

// value is a note value that a block lasts.
type value struct {
	kind     string
	dots     int
	quarters float64
}

const grid = 8 // divisions of a quarter note in the bars of our own

func (v value) length() int { return int(v.quarters * grid) }

// blockValues are the values of the first three rungs: a half, a quarter, and the
// eighths; dotted where the metre counts in threes.
func (p *passage) blockValues() [3]value {
	if p.bars[0].Compound() {
		return [3]value{{"half", 1, 3}, {"quarter", 1, 1.5}, {"eighth", 0, 0.5}}
	}
	return [3]value{{"half", 0, 2}, {"quarter", 0, 1}, {"eighth", 0, 0.5}}
}

// chordRungs are the passage's hand positions as block chords, in shorter and
// shorter values, and then with the hands in turn.
func (p *passage) chordRungs(h Hands) []rung {
	values := p.blockValues()
	names := [3]string{"block chords in half notes", "in quarter notes", "eighths, left–right"}
	if values[0].dots > 0 {
		names[0], names[1] = "block chords in dotted halves", "in dotted quarters"
	}
	if h == OneHand {
		names[2] = "eighths, low–high"
	}
	var list []rung
	for i, v := range values {
		g := rung{name: names[i]}
		for _, b := range p.bars {
			g.bars = append(g.bars, p.blockBar(b, h, v, i == 2))
		}
		list = append(list, g)
	}
	return list
}

// blockBar writes a bar's positions, each as often as fills the bar's own length,
// and once at least. Where the hands take turns, each plays as often.
func (p *passage) blockBar(b bar, h Hands, v value, inTurn bool) sheetBar {
	list := positions(b, grips[h], p.staves)
	full := p.r.Score.Quarters(b.Length)
	times := max(int(full/(v.quarters*float64(max(len(list), 1)))), 1)
	if inTurn {
		times = max(times/2*2, 2)
	}
	w := &noteWriter{state: b.state, hands: h, kept: p.hasFingering(), sounding: map[string]int{}}
	units := max(len(list), 1) * times
	for staff := 1; staff <= p.staves; staff++ {
		if staff > 1 {
			w.list = append(w.list, el("backup", number("duration", units*v.length())))
		}
		for _, x := range list {
			for turn := range times {
				tones, beam := x.tones(), ""
				if inTurn {
					tones = x.hand(turn)
				}
				if inTurn && p.staves == 1 {
					beam = beamOf(turn, times)
				}
				if v.kind != "half" {
					x.wide = 0 // said in the first rung
				}
				w.chord(onStaff(tones, staff), x, staff, v, beam)
				x.wide = 0 // and once
			}
		}
		for range times {
			if len(list) == 0 {
				w.chord(nil, position{}, staff, v, "")
			}
		}
	}
	s := b.state.copied()
	s.divisions = grid
	if total := float64(units) * v.quarters; math.Abs(total-full) > 0.01 || s.time == nil {
		s.time = metre(total, v, p.bars[0].Compound())
	}
	return sheetBar{number: b.Number, state: s, end: s, list: w.list}
}

// hand is what a turn plays: the lower notes first, then the upper ones. A chord
// that one hand holds is divided in the middle.
func (x position) hand(turn int) []tone {
	low, high := x.left, x.right
	if all := x.tones(); len(low) == 0 || len(high) == 0 {
		k := len(all) / 2
		if low, high = all[:k], all[k:]; k == 0 {
			low = high
		}
	}
	if turn%2 == 0 {
		return low
	}
	return high
}

func onStaff(list []tone, staff int) []tone {
	return slices.DeleteFunc(slices.Clone(list), func(t tone) bool { return t.staff != staff })
}

// beamOf groups eighths by fours, by threes or by twos.
func beamOf(turn, times int) string {
	group := 2
	for _, n := range []int{4, 3} {
		if group == 2 && times%n == 0 {
			group = n
		}
	}
	switch turn % group {
	case 0:
		return "begin"
	case group - 1:
		return "end"
	}
	return "continue"
}

// metre is a time signature for so many quarters: in eighths where the page counts
// in threes or no quarter fits.
func metre(quarters float64, v value, compound bool) *element {
	beats, unit := quarters, 4
	switch {
	case compound || math.Abs(quarters-math.Round(quarters)) > 0.01:
		beats, unit = quarters*2, 8
	case v.kind == "half":
		beats, unit = quarters/2, 2
	}
	return el("time", leaf("beats", strconv.Itoa(int(beats))), number("beat-type", unit))
}

// hasFingering reports whether the page says how the passage is to be struck or fingered.
func (p *passage) hasFingering() bool {
	for _, b := range p.bars {
		for _, i := range b.items {
			if sourceFingering(i.el) != nil {
				return true
			}
		}
	}
	return false
}

func sourceFingering(note *element) *element {
	for _, n := range note.list {
		if n.name == "notations" {
			if f := n.find("technical", "fingering"); f != nil {
				return f
			}
		}
	}
	return nil
}

// noteWriter writes notes of our own in a bar.
type noteWriter struct {
	state    state
	hands    Hands
	kept     bool           // the page has its own fingerings
	sounding map[string]int // alterations in force, by staff, step and octave
	list     []*element
}

// chord writes the tones of one staff, or a rest.
func (w *noteWriter) chord(list []tone, x position, staff int, v value, beam string) {
	if len(list) == 0 {
		w.list = append(w.list, rest(staff, v))
		return
	}
	if mine := onStaff(x.furthest(), staff); x.wide > octave && w.hands.flagged() && len(mine) > 0 {
		w.list = append(w.list, onStaffOf(direction("above", words("wide", "normal")), staff))
	}
	for i, t := range list {
		n := el("note")
		if i > 0 {
			n.list = append(n.list, el("chord"))
		}
		for _, name := range []string{"pitch", "unpitched"} {
			if e := t.from.find(name); e != nil {
				n.list = append(n.list, e.copied())
			}
		}
		n.list = append(n.list, number("duration", v.length()))
		if e := t.from.find("instrument"); e != nil {
			n.list = append(n.list, e.copied())
		}
		n.list = append(n.list, number("voice", 4*staff-3), leaf("type", v.kind))
		for range v.dots {
			n.list = append(n.list, el("dot"))
		}
		if e := w.accidental(t); e != nil {
			n.list = append(n.list, e)
		}
		if e := t.from.find("notehead"); e != nil {
			n.list = append(n.list, e.copied())
		}
		n.list = append(n.list, number("staff", staff))
		if beam != "" && i == 0 {
			n.list = append(n.list, leaf("beam", beam).with("number", "1"))
		}
		if f := w.fingering(t, x); f != nil {
			n.list = append(n.list, el("notations", el("technical", f)))
		}
		w.list = append(w.list, n)
	}
}

func onStaffOf(d *element, staff int) *element {
	d.list = append(d.list, number("staff", staff))
	return d
}

func rest(staff int, v value) *element {
	n := el("note", el("rest"), number("duration", v.length()), number("voice", 4*staff-3), leaf("type", v.kind))
	for range v.dots {
		n.list = append(n.list, el("dot"))
	}
	n.list = append(n.list, number("staff", staff))
	return n
}

// fingering is the page's own, or a proposal in brackets: mallets 1 to 4 from low
// to high, the inner ones where a hand has one note (common practice, no source).
func (w *noteWriter) fingering(t tone, x position) *element {
	if f := sourceFingering(t.from); f != nil {
		return f.copied()
	}
	if w.kept || !w.hands.mallets() {
		return nil
	}
	at := func(l []tone) int {
		return slices.IndexFunc(l, func(y tone) bool { return y.name == t.name && y.staff == t.staff })
	}
	l, r := at(x.left), at(x.right)
	switch {
	case w.hands == TwoMallets && l >= 0:
		return leaf("fingering", "[L]")
	case w.hands == TwoMallets:
		return leaf("fingering", "[R]")
	case l >= 0 && len(x.left) == 1:
		l = 1
	}
	if l >= 0 {
		return leaf("fingering", fmt.Sprintf("[%d]", min(l, 1)+1))
	}
	return leaf("fingering", fmt.Sprintf("[%d]", min(r, 1)+3))
}

var accidentals = map[int]string{-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}

// sharps in the order of key signatures.
const sharps = "FCGDAEB"

// accidental is the sign the tone needs there, nil if none.
func (w *noteWriter) accidental(t tone) *element {
	p := t.from.find("pitch")
	if p == nil {
		return nil
	}
	step, alter := p.get("step"), p.whole("alter", 0)
	place := fmt.Sprint(t.staff, step, p.get("octave"))
	before, ok := w.sounding[place]
	if !ok {
		before = keyAlter(step, w.state.fifths(t.staff))
	}
	w.sounding[place] = alter
	if name, known := accidentals[alter]; known && before != alter {
		return leaf("accidental", name)
	}
	return nil
}

// keyAlter is the alteration that a key signature puts on a step.
func keyAlter(step string, fifths int) int {
	i := strings.Index(sharps, step)
	switch {
	case step == "" || i < 0:
		return 0
	case fifths > i:
		return 1
	case -fifths > 6-i:
		return -1
	}
	return 0
}
