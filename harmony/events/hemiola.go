package events

import (
	"slices"

	"hairpin/score"
)

// hemiolas are the pairs of triple measures, or the single measures of six, that are
// heard as three groups of two. Signs as in any textbook of metre (common practice, no
// source): the bass, the harmony, accents and ties move by twos across the bar line.
func (f *finder) hemiolas() []Event {
	var out []Event
	for i, m := range f.s.Measures {
		unit := m.Unit(f.s.Division)
		if m.Offset != 0 || m.Nominal != m.Length || m.Length%unit != 0 {
			continue
		}
		double := m.Beats == 3 && m.BeatUnit >= 2 && m.BeatUnit <= 8 && i+1 < len(f.s.Measures) && f.s.Measures[i+1].Beats == 3 && f.s.Measures[i+1].Length == m.Length
		six := m.Beats == 6 && m.BeatUnit >= 4 && m.BeatUnit <= 8
		if !double && !six || len(out) > 0 && out[len(out)-1].End > m.Start {
			continue
		}
		if e, ok := f.hemiola(m.Start, unit); ok && !f.plain(m.Start, unit, double) {
			out = append(out, e)
		}
	}
	return out
}

// hemiola weighs the signs over six units from t: two of them make it.
func (f *finder) hemiola(t, unit score.Tick) (Event, bool) {
	twos := []score.Tick{t, t + 2*unit, t + 4*unit}
	bar, end := t+3*unit, t+6*unit
	var why []Reason
	harmony := f.changes(twos[1]) && f.changes(twos[2]) && !f.changes(bar) && f.steps(t, end, twos)
	bass := f.bassMoves(t, end, twos)
	if harmony {
		why = append(why, "the chords change by twos")
	}
	if bass {
		why = append(why, "the bass moves by twos")
	}
	if !f.struckAt(bar) {
		why = append(why, "nothing is struck on the bar line")
	}
	if f.accented(twos[1]) && f.accented(twos[2]) && !f.accented(bar) {
		why = append(why, "accents by twos")
	}
	repeats := f.rhythmRepeats(t, unit)
	if repeats {
		why = append(why, "a rhythm of two comes three times")
	}
	// a bass that strikes the bar line keeps the metre, whatever the chords do over it
	metre := !bass && !repeats && f.bassStrikes(bar)
	if len(why) < 2 || !bass && !harmony || metre {
		return Event{}, false
	}
	c := f.chordAt(t)
	e := Event{Kind: Hemiola, Start: t, End: end, Part: -1, Chord: -1, Key: f.a.Home, Reasons: why}
	if c >= 0 {
		e.Key = f.a.Chords[c].Key
	}
	e.Confidence = []float64{0, 0, 0.65, 0.8, 0.9, 0.95}[len(why)]
	return e, true
}

// bassStrikes reports whether the lowest note of a moment is struck there.
func (f *finder) bassStrikes(t score.Tick) bool {
	notes := f.sounding(t)
	return len(notes) > 0 && f.s.Notes[notes[0]].Onset == t
}

// changes reports whether a chord begins at t with another root or bass.
func (f *finder) changes(t score.Tick) bool {
	c := f.chordAt(t)
	if c < 1 || f.a.Chords[c].Start != t {
		return false
	}
	a, b := &f.a.Chords[c-1], &f.a.Chords[c]
	return a.Root.PC() != b.Root.PC() || a.Bass.PC() != b.Bass.PC()
}

// steps reports whether no chord changes in a stretch but at the moments given.
func (f *finder) steps(from, to score.Tick, at []score.Tick) bool {
	first, last := f.chordsIn(from, to)
	for c := first; c < last; c++ {
		if t := f.a.Chords[c].Start; t > from && f.changes(t) && !slices.Contains(at, t) {
			return false
		}
	}
	return true
}

// bassMoves reports whether the lowest voice strikes new notes at the moments given and
// at no other.
func (f *finder) bassMoves(from, to score.Tick, at []score.Tick) bool {
	var moves []score.Tick
	last := -1
	for i := f.sliceAt(from); i >= 0 && i < len(f.a.Slices) && f.a.Slices[i].Start < to; i++ {
		notes := f.a.Slices[i].Notes
		if len(notes) < 2 {
			return false
		}
		if notes[0] != last {
			moves = append(moves, f.a.Slices[i].Start)
		}
		last = notes[0]
	}
	return slices.Equal(moves, at)
}

func (f *finder) struckAt(t score.Tick) bool {
	for i := f.s.FirstNote(t); i < len(f.s.Notes) && f.s.Notes[i].Onset == t; i++ {
		if f.s.Notes[i].Pitched() {
			return true
		}
	}
	return f.sounding(t) == nil
}

func (f *finder) accented(t score.Tick) bool {
	for i := f.s.FirstNote(t); i < len(f.s.Notes) && f.s.Notes[i].Onset == t; i++ {
		if f.s.Notes[i].Signs&(score.Accent|score.StrongAccent|score.Stress) != 0 {
			return true
		}
	}
	for _, d := range f.s.Dynamics {
		if d.At == t && !score.IsLevel(d.Mark) {
			return true
		}
	}
	return false
}

// rhythmRepeats reports whether the upper line has one rhythm, not even, in each of three
// groups of two.
func (f *finder) rhythmRepeats(t, unit score.Tick) bool {
	var groups [3][]score.Tick
	for i := f.s.FirstNote(t); i < len(f.s.Notes) && f.s.Notes[i].Onset < t+6*unit; i++ {
		n := &f.s.Notes[i]
		if g := (n.Onset - t) / (2 * unit); n.Pitched() && f.highest(i) {
			if into := (n.Onset - t) % (2 * unit); !slices.Contains(groups[g], into) {
				groups[g] = append(groups[g], into)
			}
		}
	}
	first := groups[0]
	even := len(first) == 2 && first[1] == unit || len(first) == 4
	return len(first) > 0 && !even && slices.Equal(first, groups[1]) && slices.Equal(first, groups[2])
}

// highest reports whether nothing sounds above the note at its onset.
func (f *finder) highest(n int) bool {
	notes := f.sounding(f.s.Notes[n].Onset)
	return len(notes) > 0 && notes[len(notes)-1] == n
}

// plain reports whether the measures around move in the same way, three times or more in a
// row (in measures of six, twice), so that the twos are the metre, not against it.
func (f *finder) plain(t, unit score.Tick, double bool) bool {
	span := 6 * unit
	row := 1
	for _, way := range [2]score.Tick{-span, span} {
		for at := t + way; row < 3; at += way {
			if _, ok := f.hemiola(at, unit); !ok {
				break
			}
			row++
		}
	}
	return row >= 3 || !double && row >= 2
}
