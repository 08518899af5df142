package musicxml

import (
	"cmp"
	"slices"
	"strings"

	"hairpin/score"
)

// finish puts what the parts gave into the order that score promises, and
// completes the measures.
func (b *builder) finish() {
	s := b.s
	slices.SortStableFunc(s.Notes, compareNotes)
	sortPlaces(s.Keys, func(k score.KeyMark) score.Place { return k.Place })
	sortPlaces(s.Dynamics, func(d score.Dynamic) score.Place { return d.Place })
	sortPlaces(s.Words, func(w score.Words) score.Place { return w.Place })
	sortPlaces(s.Sounds, func(l score.SoundLevel) score.Place { return l.Place })
	sortPlaces(s.Fermatas, func(f score.Fermata) score.Place { return f.Place })
	sortPlaces(s.Syllables, func(y score.Syllable) score.Place { return y.Place })
	sortPlaces(s.Symbols, func(c score.ChordSymbol) score.Place { return c.Place })
	sortPlaces(s.Hairpins, func(h score.Hairpin) score.Place { return spanPlace(h.Span) })
	sortPlaces(s.Dashes, func(d score.Dashes) score.Place { return spanPlace(d.Span) })
	sortPlaces(s.Slurs, func(l score.Slur) score.Place { return spanPlace(l.Span) })
	b.oneForAllParts()
	b.pickup()
	b.oddMeasures()
	b.sortWarnings()
}

// sortWarnings puts the warnings into the order of parts and measures.
func (b *builder) sortWarnings() {
	parts, measures := map[string]int{}, map[string]int{}
	for i := len(b.s.Parts) - 1; i >= 0; i-- {
		parts[b.s.Parts[i].ID] = i + 1
	}
	for i := len(b.s.Measures) - 1; i >= 0; i-- {
		measures[b.s.Measures[i].Number] = i + 1
	}
	slices.SortStableFunc(b.s.Warnings, func(x, y score.Warning) int {
		return cmp.Or(cmp.Compare(parts[x.Part], parts[y.Part]), cmp.Compare(measures[x.Measure], measures[y.Measure]))
	})
}

func compareNotes(a, b score.Note) int {
	if c := cmp.Compare(a.Onset, b.Onset); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Part, b.Part); c != 0 {
		return c
	}
	return cmp.Compare(a.Pitch.MIDI(), b.Pitch.MIDI())
}

func spanPlace(s score.Span) score.Place {
	return score.Place{At: s.Start, Part: s.Part, Staff: s.Staff}
}

func sortPlaces[T any](list []T, at func(T) score.Place) {
	slices.SortStableFunc(list, func(x, y T) int {
		a, b := at(x), at(y)
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Staff, b.Staff))
	})
}

// oneForAllParts keeps one of each mark that every part repeats.
func (b *builder) oneForAllParts() {
	s := b.s
	slices.Sort(s.DoubleBar)
	s.DoubleBar = slices.Compact(s.DoubleBar)
	slices.SortStableFunc(s.Tempos, func(x, y score.Tempo) int { return cmp.Compare(x.At, y.At) })
	s.Tempos = slices.Compact(s.Tempos)
	slices.SortStableFunc(s.Repeats, func(x, y score.Repeat) int {
		return cmp.Or(cmp.Compare(x.At, y.At), order(y.Forward, x.Forward), cmp.Compare(y.Times, x.Times))
	})
	s.Repeats = slices.CompactFunc(s.Repeats, func(x, y score.Repeat) bool { return x.At == y.At && x.Forward == y.Forward })
	slices.SortStableFunc(s.Endings, func(x, y score.Ending) int {
		return cmp.Or(cmp.Compare(x.Start, y.Start), cmp.Compare(y.End, x.End))
	})
	s.Endings = slices.CompactFunc(s.Endings, func(x, y score.Ending) bool { return x.First == y.First })
	slices.SortStableFunc(b.jumps.list, func(x, y jumpMark) int { return cmp.Compare(x.at, y.at) })
	for _, j := range b.jumps.list {
		s.Jumps = append(s.Jumps, score.Jump{At: j.at, Measure: j.measure, Kind: j.kind, Label: j.label})
	}
}

// order puts true before false.
func order(x, y bool) int {
	switch {
	case x == y:
		return 0
	case x:
		return -1
	}
	return 1
}

// metres gives every measure the time signature in force: that of the first
// part that has one there.
func (b *builder) metres() {
	s := b.s
	sortPlaces(s.Times, func(t score.TimeMark) score.Place { return t.Place })
	next := 0
	var now score.TimeMark
	for i := range s.Measures {
		m := &s.Measures[i]
		for ; next < len(s.Times) && s.Times[next].At <= m.Start; next++ {
			t := s.Times[next]
			if now.Text == "" || t.At > now.At {
				now = t
			}
		}
		b.metre(m, now)
	}
	if len(s.Times) == 0 && len(s.Measures) > 0 {
		b.warn(Where{}, "no time signature; beats are counted in quarter notes")
	}
}

func (b *builder) metre(m *score.Measure, t score.TimeMark) {
	m.Beats, m.BeatUnit = t.Beats, t.Unit
	if t.Unit > 0 && t.Beats > 0 {
		m.Nominal = score.Tick(t.Beats) * 4 * b.s.Division / score.Tick(t.Unit)
		return
	}
	m.BeatUnit = 4
	if t.Text == "" {
		m.Beats = int((m.Length + b.s.Division - 1) / b.s.Division)
	}
}

// pickup marks a first measure that is shorter than its time signature, and
// the measures that complete one a repeat sign splits. Those have no printed
// number; exporters call them X1, X2 …
func (b *builder) pickup() {
	if len(b.s.Measures) < 2 {
		return
	}
	m := &b.s.Measures[0]
	implicit := func(i int) bool { return b.sheet.measures[i].attr("implicit") == "yes" }
	m.Pickup = m.Length > 0 && (m.Length < m.Nominal || implicit(0) && m.Nominal == 0)
	for i := 1; i < len(b.s.Measures); i++ {
		before, m := b.s.Measures[i-1], &b.s.Measures[i]
		done := before.Offset + before.Length
		if before.Pickup || !implicit(i) || done == 0 || done+m.Length > before.Nominal || m.Nominal != before.Nominal {
			continue
		}
		m.Offset = done
		if strings.HasPrefix(m.Number, "X") {
			m.Number = before.Number
		}
	}
}
