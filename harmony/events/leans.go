package events

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// leans are the appoggiaturas and suspensions: tones foreign to the chord under them
// that lean on the beat and give way by step. Names as in Aldwell & Schachter, Harmony
// and Voice Leading, chapters on figuration and suspensions, from memory.
func (f *finder) leans() []Event {
	var out []Event
	for n := range f.s.Notes {
		x := &f.s.Notes[n]
		if !x.Pitched() || x.Cue {
			continue
		}
		e, ok := f.suspension(n)
		if !ok {
			e, ok = f.appoggiatura(n)
		}
		if ok {
			out = f.addLean(out, e)
		}
	}
	return out
}

// addLean adds a lean; several that start together are one event, told of the
// surest.
func (f *finder) addLean(out []Event, e Event) []Event {
	for i := len(out) - 1; i >= 0 && i >= len(out)-4; i-- {
		if out[i].Start != e.Start {
			continue
		}
		if out[i].Confidence < e.Confidence || out[i].Confidence-e.Confidence < 1e-9 && f.higher(e, out[i]) {
			out[i] = e
		}
		return out
	}
	return append(out, e)
}

// higher reports whether a's last note lies above b's.
func (f *finder) higher(a, b Event) bool {
	return f.s.Notes[a.Notes[len(a.Notes)-1]].Pitch.Key() > f.s.Notes[b.Notes[len(b.Notes)-1]].Pitch.Key()
}

// suspension tries the note as one that is prepared in the chord before, held or
// struck again over the next, clashes there and goes down a step.
func (f *finder) suspension(n int) (Event, bool) {
	x, prep := &f.s.Notes[n], n
	at := x.Onset
	again := f.lines.before[n]
	if again >= 0 && gap(f.s, again, n) == 0 {
		prep = again
	} else if at = f.heldOver(n); at < 0 {
		return Event{}, false
	}
	c, next := f.chordAt(at), f.lines.after[n]
	if c < 1 || next < 0 || f.has(c, n) || !f.has(f.chordAt(at-1), n) || f.chordAt(at-1) == c {
		return Event{}, false
	}
	if f.a.Chords[c].Start != at || step(f.s, n, next) != -1 || !f.releases(at, n, next, c) {
		return Event{}, false
	}
	figure, ok := f.figure(at, n)
	if !ok {
		return Event{}, false
	}
	e := f.lean(Suspension, c, at, prep, n, next)
	e.Step = -1
	e.Reasons = []Reason{Reason(figure), "prepared, held over the chord, resolved down by step"}
	switch {
	case prep == n:
		e.Confidence *= 0.95
	case f.s.Notes[prep].End() == x.Onset:
		e.Confidence *= 0.9
		e.Reasons[1] = "prepared, struck again over the chord, resolved down by step"
	default:
		e.Confidence *= 0.75
		e.Reasons[1] = "prepared, struck again after a breath, resolved down by step"
	}
	return e, true
}

// heldOver is the beat on which a chord changes under the held note, -1 if none does.
func (f *finder) heldOver(n int) score.Tick {
	x := &f.s.Notes[n]
	for c := f.chordAt(x.Onset) + 1; c > 0 && c < len(f.a.Chords) && f.a.Chords[c].Start < x.End(); c++ {
		if t := f.a.Chords[c].Start; t > x.Onset && !f.has(c, n) {
			return t
		}
	}
	return -1
}

// releases reports whether the lean on at gives way in time, on a weaker moment, to a
// tone of the chord under it, or of the next.
func (f *finder) releases(at score.Tick, n, next, c int) bool {
	x, y := &f.s.Notes[n], &f.s.Notes[next]
	if y.Onset != x.End() || f.s.Weight(at) < strong || f.s.Weight(at) <= f.s.Weight(y.Onset) {
		return false
	}
	if x.End()-at < f.s.BeatAt(at)/2 || y.Duration < f.s.BeatAt(at)/4 {
		return false
	}
	return y.Onset < f.a.Chords[c].End && f.has(c, next)
}

// strong is the least [score.Score.Weight] of a beat.
const strong = 0.4

// figures are the suspensions of strict writing above the bass, by the interval's
// steps: 4–3, 7–6, 9–8.
var figures = map[int]string{3: "4–3", 6: "7–6", 1: "9–8"}

// figure names the suspended interval over the bass, or 2–3 in the bass itself.
func (f *finder) figure(at score.Tick, n int) (string, bool) {
	notes := f.sounding(at)
	if len(notes) < 2 {
		return "", false
	}
	if notes[0] == n {
		for _, m := range notes[1:] {
			if d := staffStep(f.s.Notes[m].Pitch) - staffStep(f.s.Notes[n].Pitch); d%7 == 1 && f.s.Notes[m].Onset == at {
				return "2–3 in the bass", true
			}
		}
		return "", false
	}
	d := staffStep(f.s.Notes[n].Pitch) - staffStep(f.s.Notes[notes[0]].Pitch)
	name, ok := figures[d%7]
	return name, ok && f.clashes(at, n) && f.s.Notes[notes[0]].Onset <= at
}

// clashes reports whether the note makes a second, a seventh or a tritone with another
// that sounds at the moment, or a fourth with the lowest.
func (f *finder) clashes(at score.Tick, n int) bool {
	for i, m := range f.sounding(at) {
		switch d := gap(f.s, m, n) % 12; {
		case m == n || d == 0:
		case d <= 2 || d >= 10 || d == 6 || i == 0 && d == 5:
			return true
		}
	}
	return false
}

// appoggiatura tries the note as one that is struck on the beat, foreign to the chord,
// reached by a leap or out of a rest, and resolved by step.
func (f *finder) appoggiatura(n int) (Event, bool) {
	x, next, before := &f.s.Notes[n], f.lines.after[n], f.lines.before[n]
	c := f.chordAt(x.Onset)
	if c < 0 || next < 0 || f.has(c, n) || f.s.Notes[next].Onset != x.End() {
		return Event{}, false
	}
	d := step(f.s, n, next)
	if d == 0 || !f.releases(x.Onset, n, next, c) || !f.clashes(x.Onset, n) || !f.stands(x.Onset, f.s.Notes[next].End(), n, c) {
		return Event{}, false
	}
	e := f.lean(Appoggiatura, c, x.Onset, n, next)
	e.Step = d
	switch {
	case before < 0:
		e.Confidence *= 0.75
		e.Reasons = []Reason{"out of a rest"}
	case gap(f.s, before, n) == 0 || f.s.Notes[before].End() < x.Onset:
		return Event{}, false
	case gap(f.s, before, n) > 2:
		e.Confidence *= 0.9
		e.Reasons = []Reason{"reached by leap"}
	case step(f.s, before, n) == -d && f.s.Weight(x.Onset) == 1 && x.Duration >= f.s.BeatAt(x.Onset):
		e.Confidence *= 0.65
		e.Reasons = []Reason{"long, on the downbeat"}
	default:
		return Event{}, false // it passes
	}
	if d > 0 && gap(f.s, n, next) == 2 {
		e.Confidence *= 0.7 // a lean upward by a whole tone is rare
	}
	return e, true
}

// stands reports whether the chord stands under the note: the lowest note at its onset is
// one of the chord's, and two more of its tones, the resolution with them, come before the
// resolution ends. A whole chord may lean over its own bass.
func (f *finder) stands(at, until score.Tick, n, c int) bool {
	notes := f.sounding(at)
	if len(notes) < 2 || notes[0] == n || !f.has(c, notes[0]) {
		return false
	}
	var tones tonal.Set
	for i := f.sliceAt(at); i >= 0 && i < len(f.a.Slices) && f.a.Slices[i].Start < until; i++ {
		for _, m := range f.a.Slices[i].Notes {
			if m != n && f.has(c, m) {
				tones |= 1 << f.pc(m)
			}
		}
	}
	return tones.Size() >= 2
}

// lean is an event from the moment at which the foreign tone presses to the end of its
// resolution, or of its beat.
func (f *finder) lean(kind Kind, c int, at score.Tick, notes ...int) Event {
	if len(notes) == 3 && notes[0] == notes[1] {
		notes = notes[1:]
	}
	e := f.atChord(kind, c, f.a.Chords[c].Confidence)
	last := &f.s.Notes[notes[len(notes)-1]]
	e.Start, e.End = at, min(last.End(), last.Onset+f.s.BeatAt(last.Onset))
	e.Part, e.Notes = last.Part, notes
	return e
}
