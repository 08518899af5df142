package practice

import "slices"

// drumRungs are the rungs for what has no pitch: the rhythm in groups with rests
// added, hand to hand from the right and from the left, and each voice alone. The
// page's own sticking is kept; where there are rolls, chords or more voices than
// one, none is proposed.
func (p *passage) drumRungs() (list []rung) {
	if voices := p.voiceKeys(); len(voices) > 1 {
		list = append(list, p.groups())
		names := [...]string{"first voice alone", "second voice alone", "third voice alone"}
		for i, key := range voices[:min(len(voices), len(names))] {
			list = append(list, p.voiceAlone(key, names[i]))
		}
		return list
	}
	if !p.handToHand() {
		return []rung{p.groups()}
	}
	for _, hands := range [2]string{"RL", "LR"} {
		g := p.groups()
		g.lead = hands[:1]
		g.name = "in groups, right hand first, a beat's rest after each"
		if hands == "LR" {
			g.name = "in groups, left hand first, a beat's rest after each"
		}
		g.stick(hands)
		list = append(list, g)
	}
	return list
}

// voiceKeys are the staves and voices that have notes, in order of the page.
func (p *passage) voiceKeys() (list [][2]int) {
	for _, b := range p.bars {
		for _, i := range b.items {
			if key := [2]int{i.staff, i.voice}; i.sounds() && !slices.Contains(list, key) {
				list = append(list, key)
			}
		}
	}
	slices.SortFunc(list, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return list
}

// handToHand reports whether one note follows the other, so that two hands can
// take turns, and the page does not say which.
func (p *passage) handToHand() bool {
	for _, b := range p.bars {
		for _, i := range b.items {
			if i.sounds() && (i.chord || i.el.has("tremolo")) {
				return false
			}
		}
	}
	return !p.hasFingering()
}

// has reports whether there is an element of that name anywhere below.
func (e *element) has(name string) bool {
	return slices.ContainsFunc(e.list, func(c *element) bool { return c.name == name || c.has(name) })
}

// stick proposes the hands in turn, in brackets. A tied note is not struck again.
func (g rung) stick(hands string) {
	turn := 0
	for _, b := range g.bars {
		for _, n := range b.list {
			if n.name != "note" || n.find("rest") != nil || n.find("grace") != nil || n.find("cue") != nil || stopsTie(n) {
				continue
			}
			n.addNotation(el("technical", leaf("fingering", "["+hands[turn%2:turn%2+1]+"]")))
			turn++
		}
	}
}

func stopsTie(e *element) bool {
	return slices.ContainsFunc(e.list, func(c *element) bool { return c.name == "tie" && c.attr("type") == "stop" })
}

// addNotation adds a mark to a note, in the schema's place.
func (e *element) addNotation(mark *element) {
	if n := e.find("notations"); n != nil {
		n.list = append(n.list, mark)
		return
	}
	k := slices.IndexFunc(e.list, func(c *element) bool { return c.name == "lyric" || c.name == "play" || c.name == "listen" })
	if k < 0 {
		k = len(e.list)
	}
	e.list = slices.Insert(e.list, k, el("notations", mark))
}

// voiceAlone is the passage with the notes of one voice.
func (p *passage) voiceAlone(key [2]int, name string) rung {
	g := rung{name: name, own: true}
	for _, b := range p.bars {
		s := sheetBar{number: b.Number, implicit: b.Pickup || b.Offset > 0, state: b.state, end: b.end}
		if b.source != nil {
			s.list = b.only(func(k [2]int) bool { return k == key })
		}
		if !slices.ContainsFunc(b.items, func(i item) bool { return i.staff == key[0] && i.voice == key[1] }) {
			s.list = append(s.list, onStaffOf(fullRest(b.length(p.r.Score.Division)), key[0]))
		}
		g.bars = append(g.bars, s)
	}
	return g
}
