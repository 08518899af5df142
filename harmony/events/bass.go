package events

import (
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// footing is the lowest note that sounds in a stretch of beats.
type footing struct {
	start, end score.Tick
	note       int
	key        int // MIDI key
}

// footings are the lowest notes beat by beat; beats with the same tone below are one.
// A silent beat has no footing.
func (f *finder) footings() []footing {
	var out []footing
	for _, m := range f.s.Measures {
		beat := m.Beat(f.s.Division)
		for _, t := range m.Every(beat) {
			end := min(t+beat, m.End())
			if m.Into(t)%beat != 0 {
				end = t + beat - m.Into(t)%beat
			}
			n := f.lowest(t, end)
			if n < 0 {
				continue
			}
			key := f.s.Notes[n].Pitch.Key()
			if last := len(out) - 1; last >= 0 && out[last].key == key && out[last].end == t {
				out[last].end = end
				continue
			}
			out = append(out, footing{t, end, n, key})
		}
	}
	return out
}

// lowest is the lowest note in a stretch, -1 in silence.
func (f *finder) lowest(from, to score.Tick) int {
	best := -1
	i := f.sliceAt(from)
	for ; i >= 0 && i < len(f.a.Slices) && f.a.Slices[i].Start < to; i++ {
		if notes := f.a.Slices[i].Notes; len(notes) > 0 && (best < 0 || f.s.Notes[notes[0]].Pitch.Key() < f.s.Notes[best].Pitch.Key()) {
			best = notes[0]
		}
	}
	return best
}

// The least length of a bass that walks, in notes: on the scale, by semitones, and
// from the tonic to the dominant. Five and four are choices of ours.
const (
	walkScale     = 5
	walkChromatic = 4
	walkLament    = 4
)

// bassLines are the stretches in which the bass goes one way step by step, at a
// steady pace, with a chord of its own on most of its notes.
func (f *finder) bassLines() []Event {
	var out []Event
	for i := 0; i < len(f.bass); {
		j := f.walk(i)
		if e, ok := f.bassLine(f.bass[i:j]); ok {
			out = append(out, e)
			i = j - 1
			continue
		}
		i++
	}
	return out
}

// walk is the end of the walk that starts at footing i.
func (f *finder) walk(i int) int {
	j := i + 1
	dir := 0
	for ; j < len(f.bass); j++ {
		a, b := f.bass[j-1], f.bass[j]
		d := f.move(a.note, b.note)
		if d == 0 || dir != 0 && d != dir || a.end != b.start || f.rests(a) {
			break
		}
		dir = d
	}
	return j
}

// rests reports whether the music stops on a footing, under a fermata: what comes after
// goes on from there no more.
func (f *finder) rests(x footing) bool {
	for _, m := range f.s.Fermatas {
		if m.At >= x.start && m.At < x.end {
			return true
		}
	}
	for i := f.s.FirstNote(x.start); i < len(f.s.Notes) && f.s.Notes[i].Onset < x.end; i++ {
		if f.s.Notes[i].Signs.Has(score.FermataSign) {
			return true
		}
	}
	return false
}

// move is the direction from one bass note to the next if it goes by step or by
// chromatic semitone, otherwise 0.
func (f *finder) move(a, b int) int {
	p, q := f.s.Notes[a].Pitch, f.s.Notes[b].Pitch
	steps, keys := staffStep(q)-staffStep(p), q.Key()-p.Key()
	if keys == 0 || keys > 2 || keys < -2 || steps > 1 || steps < -1 || steps*keys < 0 {
		return 0
	}
	if keys > 0 {
		return 1
	}
	return -1
}

func (f *finder) bassLine(w []footing) (Event, bool) {
	if len(w) < walkChromatic || !steady(w) {
		return Event{}, false
	}
	c := f.chordAt(w[0].start)
	if c < 0 {
		return Event{}, false
	}
	e := Event{Kind: BassLine, Start: w[0].start, End: w[len(w)-1].end, Chord: -1, Key: f.a.Chords[c].Key, Step: 1}
	if w[1].key < w[0].key {
		e.Step = -1
	}
	semitones := 0
	for i, x := range w {
		e.Notes = append(e.Notes, x.note)
		e.Tones = append(e.Tones, f.s.Notes[x.note].Pitch.Class())
		if i > 0 && (x.key-w[i-1].key)*e.Step == 1 {
			semitones++
		}
	}
	e.Part = f.s.Notes[e.Notes[0]].Part
	slides := semitones == len(w)-1
	e.Chromatic = 3*semitones >= 2*(len(w)-1)
	last := f.chordAt(w[len(w)-1].start)
	e.Lament = lament(&e) && last >= 0 && f.a.Chords[last].Key.Tonic == e.Key.Tonic // what has left the key does not lament in it
	e.Confidence = 0.6 + 0.35*f.sureness(e.Start, e.End)
	chords := f.chordsUnder(w)
	if !e.Lament && !slides && len(w) < walkScale || chords < (len(w)+1)/2 || !f.accompanied(w[0]) {
		return Event{}, false
	}
	e.Reasons = []Reason{Reason(plural(len(w), "note")), Reason(plural(chords, "chord") + " over it")}
	return e, true
}

// accompanied reports whether anything else is struck or sounds over a footing: a broken
// chord has its bass alone on the beat.
func (f *finder) accompanied(x footing) bool {
	for i := f.sliceAt(x.start); i >= 0 && i < len(f.a.Slices) && f.a.Slices[i].Start < x.end; i++ {
		for _, n := range f.a.Slices[i].Notes {
			if f.s.Notes[n].Pitch.Key() != x.key {
				return true
			}
		}
	}
	return false
}

// steady reports whether the notes go at a pace: none lasts over twice the shortest,
// the last excepted.
func steady(w []footing) bool {
	least, most := w[0].end-w[0].start, score.Tick(0)
	for _, x := range w[:len(w)-1] {
		least, most = min(least, x.end-x.start), max(most, x.end-x.start)
	}
	return most <= 2*least
}

// lament reports whether the line comes down from the tonic of a minor key to its
// dominant, diatonic or by semitones: the emblem of lament (Rosand, The Descending
// Tetrachord, 1979, from memory).
func lament(e *Event) bool {
	if e.Step > 0 || !e.Key.Minor {
		return false
	}
	for i, t := range e.Tones {
		if !isDegree(e.Key, t, 1) {
			continue
		}
		for _, u := range e.Tones[i:] {
			if isDegree(e.Key, u, 5) {
				return true
			}
		}
	}
	return false
}

// chordsUnder counts the different chords that stand on the footings.
func (f *finder) chordsUnder(w []footing) int {
	count, last := 0, -1
	for _, x := range w {
		c := f.chordAt(x.start)
		if c >= 0 && c != last {
			count++
		}
		last = c
	}
	return count
}

// pedals are the stretches in which the bass stays on the tonic or the dominant while
// the chords above it change.
func (f *finder) pedals() []Event {
	var out []Event
	for i := 0; i < len(f.bass); {
		j := i + 1
		for j < len(f.bass) && tonal.Mod(f.bass[j].key-f.bass[i].key, 12) == 0 && f.bass[j].start-f.bass[j-1].end <= f.s.BeatAt(f.bass[j].start) {
			j++
		}
		for _, w := range f.held(f.bass[i:j]) {
			if e, ok := f.pedal(w); ok {
				out = append(out, e)
			}
		}
		i = j
	}
	return out
}

// held cuts a pedal at the beats that begin over another bass tone, even if the old one
// comes back within the beat.
func (f *finder) held(w []footing) [][]footing {
	tone := f.pc(w[0].note)
	var out [][]footing
	var now []footing
	for _, x := range w {
		for t := x.start; t < x.end; t += f.s.BeatAt(t) {
			if low := f.sounding(t); len(low) > 0 && f.pc(low[0]) != tone {
				out, now = append(out, now), nil
				continue
			}
			now = append(now, footing{t, min(t+f.s.BeatAt(t), x.end), x.note, x.key})
		}
	}
	return append(out, now)
}

// settled is a pedal without what stands before the start of a phrase within its first
// measure: the tone that ends one phrase is no pedal yet.
func (f *finder) settled(w []footing) []footing {
	m := f.s.Measures[f.s.MeasureAt(w[0].start)]
	from := w[0].start
	next := sort.Search(len(f.a.Phrases), func(i int) bool { return f.a.Phrases[i].Start > m.End() })
	if next > 0 {
		from = max(from, f.a.Phrases[next-1].Start)
	}
	return startingAt(w, from)
}

// startingAt is a pedal from a moment on, or its last beat.
func startingAt(w []footing, from score.Tick) []footing {
	i := 0
	for i < len(w)-1 && w[i].start < from {
		i++
	}
	return w[i:]
}

// pedalMeasures is the least length of a pedal point in measures: a choice of ours.
const pedalMeasures = 2

func (f *finder) pedal(w []footing) (Event, bool) {
	if len(w) == 0 {
		return Event{}, false
	}
	w = f.settled(w)
	e := Event{Kind: Pedal, Start: w[0].start, End: w[len(w)-1].end, Part: f.s.Notes[w[0].note].Part, Chord: -1}
	if f.measuresOf(e.Start, e.End) < pedalMeasures-1e-9 {
		return Event{}, false
	}
	if m := f.s.Measures[f.s.MeasureAt(e.Start)]; 2*m.Into(e.Start) > m.Length { // told from its first downbeat
		w = startingAt(w, m.End())
		e.Start = w[0].start
	}
	tone := f.s.Notes[w[0].note].Pitch.Class()
	from, to := f.chordsIn(e.Start, e.End)
	changes, foreign, roots := 0, 0, tonal.Set(0)
	for c := from; c < to; c++ {
		if roots |= 1 << f.a.Chords[c].Root.PC(); c > from && f.a.Chords[c].Root.PC() != f.a.Chords[c-1].Root.PC() {
			changes++
		}
		if !f.tones[c].Has(tone.PC()) {
			foreign++
		}
	}
	e.Key = f.keyOf(from, to)
	switch {
	case isDegree(e.Key, tone, 5):
		e.Degree = 5
	case isDegree(e.Key, tone, 1):
		e.Degree = 1
	}
	if e.Degree == 0 || foreign == 0 || changes < 2 || roots.Size() < 2 {
		return Event{}, false
	}
	for _, x := range w {
		e.Notes = append(e.Notes, x.note)
	}
	e.Notes = slices.Compact(e.Notes)
	e.Tones = []score.Class{tone}
	e.Confidence = 0.6 + 0.1*float64(min(foreign, 3))
	e.Reasons = []Reason{Reason(plural(foreign, "chord") + " foreign to it above"), Reason(plural(changes, "change") + " of chord")}
	return e, true
}

// chordsIn are the chords that sound in a stretch: the first, and the one after the last.
func (f *finder) chordsIn(start, end score.Tick) (from, to int) {
	from = sort.Search(len(f.a.Chords), func(i int) bool { return f.a.Chords[i].End > start })
	to = sort.Search(len(f.a.Chords), func(i int) bool { return f.a.Chords[i].Start >= end })
	return from, max(from, to)
}

// keyOf is the key in which the chords from … to-1 stay longest.
func (f *finder) keyOf(from, to int) tonal.Key {
	time := map[tonal.Key]score.Tick{}
	best := f.a.Home
	for c := from; c < to; c++ {
		k := f.a.Chords[c].Key
		if time[k] += f.a.Chords[c].Duration(); time[k] > time[best] {
			best = k
		}
	}
	return best
}

// measuresOf is the length of a stretch in measures, a part of one by its share: an upbeat
// or half of a measure that a repeat sign splits is no whole one.
func (f *finder) measuresOf(start, end score.Tick) float64 {
	sum := 0.0
	for i := f.s.MeasureAt(start); i < len(f.s.Measures) && f.s.Measures[i].Start < end; i++ {
		m := f.s.Measures[i]
		sum += float64(min(end, m.End())-max(start, m.Start)) / float64(max(m.Nominal, m.Length, 1))
	}
	return sum
}
