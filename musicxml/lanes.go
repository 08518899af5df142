package musicxml

import (
	"cmp"
	"slices"

	"hairpin/score"
)

// lane is one voice of a staff as it will be written: chords and rests that
// do not overlap.
type lane struct {
	staff, voice int
	main         bool // the first of its staff: it is written even where it is silent
	chords       []chord
	graces       []score.Note
	next         int // the first chord that may reach into the measure at hand
}

type chord struct {
	start, end score.Tick
	notes      []score.Note
}

// lanes deals a part's notes out. A note's Source becomes its index in the score.
func (b *scoreWriter) lanes(part int) []lane {
	type key struct{ staff, voice int }
	voices := map[key][]score.Note{}
	staves := max(b.s.Parts[part].Staves, 1)
	for i, n := range b.s.Notes {
		if n.Part != part {
			continue
		}
		n.Staff = max(n.Staff, 1)
		n.Source = []int{i}
		staves = max(staves, n.Staff)
		k := key{n.Staff, n.Voice}
		voices[k] = append(voices[k], n)
	}
	for staff := 1; staff <= staves; staff++ {
		has := false
		for k := range voices {
			has = has || k.staff == staff
		}
		if !has {
			voices[key{staff, 1}] = nil
		}
	}
	keys := make([]key, 0, len(voices))
	for k := range voices {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b key) int { return cmp.Or(cmp.Compare(a.staff, b.staff), cmp.Compare(a.voice, b.voice)) })
	var list []lane
	for i, k := range keys {
		main := i == 0 || keys[i-1].staff != k.staff
		list = append(list, deal(voices[k], k.staff, main)...)
	}
	for i := range list {
		list[i].voice = i + 1
	}
	return list
}

// deal makes chords of the notes of one voice, in as many lanes as they need.
func deal(notes []score.Note, staff int, main bool) []lane {
	list := []lane{{staff: staff, main: main}}
	slices.SortStableFunc(notes, func(a, b score.Note) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(b.Duration, a.Duration))
	})
	for _, n := range notes {
		if n.Grace {
			list[0].graces = append(list[0].graces, n)
			continue
		}
		placed := false
		for i := 0; i < len(list) && !placed; i++ {
			placed = list[i].take(n)
		}
		if !placed {
			list = append(list, lane{staff: staff})
			list[len(list)-1].take(n)
		}
	}
	return list
}

// take adds a note if it fits.
func (l *lane) take(n score.Note) bool {
	if k := len(l.chords); k > 0 {
		c := &l.chords[k-1]
		if c.start == n.Onset && c.end == n.End() {
			c.notes = append(c.notes, n)
			return true
		}
		if c.end > n.Onset {
			return false
		}
	}
	l.chords = append(l.chords, chord{n.Onset, n.End(), []score.Note{n}})
	return true
}

// measure is what the lane has in a measure, rests included; nothing if it
// need not be written there. Measures are asked for in order.
func (l *lane) measure(m score.Measure) (list []segment) {
	for l.next < len(l.chords) && l.chords[l.next].end <= m.Start {
		l.next++
	}
	at := m.Start
	for i := l.next; i < len(l.chords) && l.chords[i].start < m.End(); i++ {
		c := l.chords[i]
		start, end := max(c.start, m.Start), min(c.end, m.End())
		if start > at {
			list = append(list, segment{start: at - m.Start, end: start - m.Start})
		}
		list = append(list, segment{start - m.Start, end - m.Start, c.notes, c.start < m.Start, c.end > m.End()})
		at = end
	}
	grace := slices.ContainsFunc(l.graces, func(n score.Note) bool { return n.Onset >= m.Start && n.Onset < m.End() })
	if len(list) == 0 && !l.main && !grace || m.Length == 0 {
		return nil
	}
	if at < m.End() {
		list = append(list, segment{start: at - m.Start, end: m.Length})
	}
	return list
}

// accidentals knows which signs the key and the measure so far have put on
// each line of the staff.
type accidentals struct {
	key  [7]int
	seen map[[2]int]float64 // by step and octave
}

func newAccidentals(fifths int) accidentals {
	a := accidentals{seen: map[[2]int]float64{}}
	for i := range 7 { // sharps come on F C G D A E B, flats the other way round
		sharp := [7]int{3, 0, 4, 1, 5, 2, 6}[i]
		flat := [7]int{6, 2, 5, 1, 4, 0, 3}[i]
		if fifths > i {
			a.key[sharp]++
		}
		if -fifths > i {
			a.key[flat]--
		}
	}
	return a
}

// need is the accidental to print before a note, "" for none.
func (a accidentals) need(p score.Pitch, tied bool) string {
	line := [2]int{p.Step, p.Octave}
	now, ok := a.seen[line]
	if !ok {
		now = float64(a.key[p.Step])
	}
	if now == p.Alter || tied {
		return ""
	}
	a.seen[line] = p.Alter
	switch p.Alter {
	case 0:
		return "natural"
	case 1:
		return "sharp"
	case -1:
		return "flat"
	case 2:
		return "double-sharp"
	case -2:
		return "flat-flat"
	case 0.5:
		return "quarter-sharp"
	case -0.5:
		return "quarter-flat"
	}
	return ""
}
