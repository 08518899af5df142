package practice

import (
	"slices"

	"hairpin/score"
)

// A line of the page that leaves the passage, or comes into it, has only one end
// there: it would hang in the air.

// ends of a line, by the element's name: values of its type attribute.
var lineEnds = map[string][2][]string{
	"wedge": {{"crescendo", "diminuendo"}, {"stop"}}, "octave-shift": {{"up", "down"}, {"stop"}},
	"pedal": {{"start", "sostenuto"}, {"stop", "discontinue"}}, "bracket": {{"start"}, {"stop"}}, "dashes": {{"start"}, {"stop"}},
	"slur": {{"start"}, {"stop"}}, "tied": {{"start"}, {"stop"}}, "tie": {{"start"}, {"stop"}}, "tuplet": {{"start"}, {"stop"}},
	"glissando": {{"start"}, {"stop"}}, "slide": {{"start"}, {"stop"}}, "wavy-line": {{"start"}, {"stop"}},
	"tremolo": {{"start"}, {"stop"}}, "hammer-on": {{"start"}, {"stop"}}, "pull-off": {{"start"}, {"stop"}},
}

// prune takes the ends of lines out that lack their other end in the passage. A
// hairpin that comes into the passage begins with it.
func (p *passage) prune() {
	var measures []*element
	for _, b := range p.bars {
		if b.source != nil {
			measures = append(measures, b.source)
		}
	}
	lost, cut := unpaired(measures)
	for _, e := range cut {
		if e.name == "wedge" && p.beginsHairpin(e) {
			delete(lost, e)
			break
		}
	}
	for _, m := range measures {
		m.without(lost)
	}
}

// prune does so for a rung with a part of the page's notes.
func (g rung) prune() {
	measures := make([]*element, len(g.bars))
	for i, b := range g.bars {
		measures[i] = el("measure", b.list...)
	}
	lost, _ := unpaired(measures)
	for i, m := range measures {
		m.without(lost)
		g.bars[i].list = m.list
	}
}

// unpaired are the ends of lines that lack their other end, and those among them
// that end a line.
func unpaired(measures []*element) (lost map[*element]bool, cut []*element) {
	open := map[string][]*element{}
	lost = map[*element]bool{}
	for _, m := range measures {
		m.lines("", func(key string, e *element) {
			kind, ends := e.attr("type"), lineEnds[e.name]
			if slices.Contains(ends[0], kind) {
				open[key] = append(open[key], e)
			} else if !slices.Contains(ends[1], kind) {
			} else if k := len(open[key]); k > 0 {
				open[key] = open[key][:k-1]
			} else {
				lost[e], cut = true, append(cut, e)
			}
		})
	}
	for _, list := range open {
		for _, e := range list {
			lost[e] = true
		}
	}
	return lost, cut
}

// lines visits every end of a line; the key says which line it belongs to.
func (e *element) lines(note string, visit func(string, *element)) {
	for _, c := range e.list {
		if c.name == "note" {
			note = e.get("staff") + c.find("pitch").flat() + c.find("unpitched").flat()
		}
		if _, ok := lineEnds[c.name]; ok {
			key := c.name + c.attr("number")
			if c.name == "tie" || c.name == "tied" {
				key = c.name + note
			}
			visit(key, c)
		}
		c.lines(note, visit)
	}
}

// flat is the text of an element's children in a row.
func (e *element) flat() (text string) {
	if e == nil {
		return ""
	}
	for _, c := range e.list {
		text += c.name[:1] + c.text
	}
	return text
}

// without takes elements out, and those that become empty by it.
func (e *element) without(lost map[*element]bool) {
	e.list = slices.DeleteFunc(e.list, func(c *element) bool {
		had := len(c.list)
		c.without(lost)
		return lost[c] || had > 0 && len(c.list) == 0 || had > 0 && c.name == "direction" && c.find("direction-type") == nil
	})
}

// beginsHairpin puts the start of a hairpin before the first note, for one that
// stops in the passage and began before it.
func (p *passage) beginsHairpin(stop *element) bool {
	for _, h := range p.r.Score.Hairpins {
		if h.Part != p.part || h.Start >= p.from() || h.End <= p.from() || p.bars[0].source == nil {
			continue
		}
		kind := "crescendo"
		if h.Kind == score.Diminuendo {
			kind = "diminuendo"
		}
		start := el("wedge").with("type", kind)
		if n := stop.attr("number"); n != "" {
			start.with("number", n)
		}
		d := direction("below", start)
		if p.staves > 1 && h.Staff > 0 {
			d.list = append(d.list, number("staff", h.Staff))
		}
		p.bars[0].source.list = slices.Insert(p.bars[0].source.list, 0, d)
		return true
	}
	return false
}

// direction is a direction with the given types.
func direction(placement string, types ...*element) *element {
	d := el("direction").with("placement", placement)
	for _, t := range types {
		d.list = append(d.list, el("direction-type", t))
	}
	return d
}

func words(text, weight string) *element {
	return leaf("words", text).with("font-size", "9").with("font-style", "normal").with("font-weight", weight)
}
