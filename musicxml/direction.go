package musicxml

import (
	"strings"

	"hairpin/score"
)

func (r *partReader) readDirection(n *node) {
	p := r.place(n)
	hidden := n.attr("print-object") == "no"
	var voice int
	if v, ok := integer(n.get("voice"), 1, 999); ok {
		voice = v
	}
	var jumps []jumpMark
	for t := n.child; t != nil; t = t.next {
		if t.name != "direction-type" {
			continue
		}
		for e := t.child; e != nil; e = e.next {
			jumps = append(jumps, r.readDirectionType(e, p, voice, hidden)...)
		}
	}
	if s := n.find("sound"); s != nil {
		jumps = mergeJumps(jumps, r.readSoundAt(s, p))
	}
	r.jumps = append(r.jumps, jumps...)
}

func (r *partReader) readDirectionType(e *node, p place, voice int, hidden bool) []jumpMark {
	hidden = hidden || e.attr("print-object") == "no"
	switch e.name {
	case "dynamics":
		r.readDynamics(e, p, score.Dynamic{Voice: voice, Hidden: hidden})
	case "wedge":
		r.readWedge(e, p, hidden)
	case "dashes":
		r.dashes = r.addSpan(r.dashes, e, p, spanMark{})
	case "words":
		text := collapse(e.text)
		r.s.Words = append(r.s.Words, score.Words{Place: r.mark(p), Written: p.written, Text: text, Hidden: hidden})
		if kind := jumpWords(text); kind != "" {
			return []jumpMark{{p.written, r.measure, kind, text}}
		}
	case "pedal":
		r.readPedal(e.attr("type"), p)
	case "metronome":
		r.readMetronome(e, p)
	case "segno", "coda":
		return []jumpMark{{p.written, r.measure, e.name, ""}}
	}
	return nil
}

// readPedal keeps a stretch of the pedal once it is let up.
func (r *partReader) readPedal(kind string, p place) {
	if kind == "stop" || kind == "change" || kind == "discontinue" {
		if r.pedal != nil && p.at > r.pedal.at {
			r.s.Pedals = append(r.s.Pedals, score.Span{Start: r.pedal.at, End: p.at, Part: r.mark(p).Part})
		}
		r.pedal = nil
	}
	if kind == "start" || kind == "change" || kind == "resume" {
		r.pedal = &p
	}
}

func (r *partReader) readDynamics(n *node, p place, d score.Dynamic) {
	mark := markText(n)
	if mark == "" {
		r.warn("a dynamics mark without content was passed over")
		return
	}
	d.Place, d.Written, d.Mark = r.mark(p), p.written, mark
	d.Hidden = d.Hidden || n.attr("print-object") == "no"
	r.s.Dynamics = append(r.s.Dynamics, d)
}

// markText joins the signs of one dynamics element, "sf" and "mp" to "sfmp". Words
// among them ("più", "espr.") keep their distance.
func markText(n *node) string {
	text, word := "", false
	for e := n.child; e != nil; e = e.next {
		piece, isWord := oneLine(e.name), false
		if e.name == "other-dynamics" {
			piece = collapse(e.text)
			isWord = strings.Trim(piece, "pfmszrn") != ""
		}
		if text != "" && piece != "" && (word || isWord) {
			text += " "
		}
		text, word = text+piece, isWord
	}
	return text
}

func (r *partReader) readWedge(n *node, p place, hidden bool) {
	m := spanMark{niente: n.attr("niente") == "yes"}
	switch kind := n.attr("type"); kind {
	case "crescendo", "stop", "continue":
	case "diminuendo":
		m.kind = score.Diminuendo
	default:
		r.warn("a hairpin of type %s was passed over", short(kind))
		return
	}
	before := len(r.wedges)
	r.wedges = r.addSpan(r.wedges, n, p, m)
	if len(r.wedges) > before && hidden {
		r.wedges[before].hidden = true
	}
}

// readMetronome reads a mark such as "quarter = 96".
func (r *partReader) readMetronome(n *node, p place) {
	unit := n.find("beat-unit")
	rate, ok := firstNumber(n.get("per-minute"))
	if unit == nil || !ok {
		return
	}
	num, den, known := noteType(trim(unit.text))
	if !known {
		r.warn("a metronome mark for %s was passed over", short(unit.text))
		return
	}
	length := float64(num) / float64(den)
	for e, dot := unit.next, length/2; e != nil && e.name == "beat-unit-dot"; e, dot = e.next, dot/2 {
		length += dot
	}
	r.addTempo(p.at, rate*length, true)
}

func (r *partReader) addTempo(at score.Tick, perMin float64, printed bool) {
	if perMin <= 0 || perMin > 10000 {
		r.warn("a tempo of %g quarter notes a minute was passed over", perMin)
		return
	}
	r.s.Tempos = append(r.s.Tempos, score.Tempo{At: at, PerMin: perMin, Printed: printed})
}

// readSound reads a sound element that stands in a measure by itself.
func (r *partReader) readSound(n *node, p place) {
	r.jumps = append(r.jumps, r.readSoundAt(n, p)...)
}

// readSoundAt reads playback values; one within a direction may have an offset of its own.
func (r *partReader) readSoundAt(n *node, p place) []jumpMark {
	if o := n.find("offset"); o != nil && trim(o.text) != "" {
		p.at = max(p.written+r.ticks("an offset", o.text), 0)
	}
	if s := n.attr("dynamics"); s != "" {
		if percent, ok := number(s); ok && percent >= 0 {
			r.s.Sounds = append(r.s.Sounds, score.SoundLevel{Place: r.mark(p), Percent: percent})
		} else {
			r.warn("a playback level of %s was passed over", short(s))
		}
	}
	if s := n.attr("tempo"); s != "" {
		if rate, ok := number(s); ok {
			r.addTempo(p.at, rate, false)
		} else {
			r.warn("a tempo of %s was passed over", short(s))
		}
	}
	return soundJumps(n, jumpMark{at: p.written, measure: r.measure})
}
