package events

import (
	"fmt"
	"slices"

	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// withheld are the cadences that do not come to rest.
func (f *finder) withheld() []Event {
	var out []Event
	for _, c := range f.a.Cadences {
		kind := DeceptiveCadence
		switch c.Kind {
		case phrasing.Deceptive:
		case phrasing.Evaded:
			kind = EvadedCadence
		default:
			continue
		}
		if f.heldBefore(c.Chord) {
			continue
		}
		e := f.atChord(kind, c.Chord, c.Confidence)
		e.Key = c.Key
		e.Reasons = []Reason{Reason(c.Why)}
		out = append(out, e)
	}
	return out
}

// heldBefore reports whether the chord before stands under a fermata: what follows begins
// anew, and refuses nothing (common practice, no source).
func (f *finder) heldBefore(chord int) bool {
	if chord < 1 {
		return false
	}
	x := &f.a.Chords[chord-1]
	return f.rests(footing{start: x.Start, end: x.End})
}

// elisions are the closes on which the next phrase begins: the tonic that ends is the
// first chord of a passage that, elsewhere, begins a phrase.
func (f *finder) elisions() []Event {
	var out []Event
	for _, c := range f.a.Cadences {
		if c.Kind != phrasing.PerfectAuthentic && c.Kind != phrasing.ImperfectAuthentic {
			continue
		}
		if !f.running(c.At) {
			continue
		}
		start, ok := f.beginsLike(c.At)
		if !ok {
			continue
		}
		e := f.atChord(Elision, c.Chord, 0.8*c.Confidence)
		e.Key = c.Key
		e.Reasons = []Reason{Reason("what begins here begins a phrase at " + f.s.At(start).String()), "no rest between"}
		out = append(out, e)
	}
	return out
}

// elisionMeasures is how long the music after an elision must be that of a beginning.
const elisionMeasures = 2

// beginsLike is the start of a phrase, not itself a close, whose music sounds again at t.
func (f *finder) beginsLike(t score.Tick) (score.Tick, bool) {
	m := f.s.Measures[f.s.MeasureAt(t)]
	length := elisionMeasures * m.Length
	here := f.passage(t, t+length)
	if len(here.notes) < 8 || m.Start != t {
		return 0, false
	}
	for i, p := range f.a.Phrases {
		if i > 0 && f.a.Phrases[i-1].Cadence >= 0 && f.a.Cadences[f.a.Phrases[i-1].Cadence].At == p.Start {
			continue
		}
		if p.Start != t && alike(here, f.passage(p.Start, p.Start+length)) {
			return p.Start, true
		}
	}
	return 0, false
}

// alike reports whether nine in ten notes of two passages are the same. On the first
// beat the end of the phrase before may sound as well.
func alike(a, b passage) bool {
	most := max(len(a.notes), len(b.notes))
	return 10*min(len(a.notes), len(b.notes)) >= 9*most && 10*a.matched(b, 0) >= 9*most
}

// running reports whether some voice strikes within the beat before t and at t: the
// music does not stop.
func (f *finder) running(t score.Tick) bool {
	beat := f.s.BeatAt(t)
	for i := f.s.FirstNote(t - beat); i < len(f.s.Notes) && f.s.Notes[i].Onset < t; i++ {
		if n := &f.s.Notes[i]; n.Pitched() && n.End() >= t {
			return true
		}
	}
	return false
}

// The least by which the chords must come faster to be told: twice as many a measure, and
// at least two. Choices of ours.
const (
	quickFactor  = 2
	quickLeast   = 2
	quickBefore  = 2 // measures of the slower pace, at least
	quickMeasure = 2 // measures before the close at the quicker pace, at most
)

// quickenings are the phrases in which the chords come faster towards the close.
func (f *finder) quickenings() []Event {
	var out []Event
	for _, p := range f.a.Phrases {
		if p.Cadence < 0 {
			continue
		}
		if e, ok := f.quickening(p, f.a.Cadences[p.Cadence]); ok {
			out = append(out, e)
		}
	}
	return out
}

func (f *finder) quickening(p phrasing.Phrase, c phrasing.Cadence) (Event, bool) {
	first, last := f.s.MeasureAt(p.Start), f.s.MeasureAt(c.At)
	if f.s.Measures[first].Start < p.Start {
		first++
	}
	var counts []int // chords that start in each measure, up to the close
	for m := first; m <= last; m++ {
		if n := f.chordStarts(f.s.Measures[m].Start, min(f.s.Measures[m].End(), c.At)); m < last || f.s.Measures[m].Start < c.At {
			counts = append(counts, n)
		}
	}
	for quick := 1; quick <= quickMeasure && len(counts)-quick >= quickBefore; quick++ {
		slow, fast := counts[:len(counts)-quick], counts[len(counts)-quick:]
		before, after := mean(slow), mean(fast)
		if slices.Max(slow) >= slices.Min(fast) || slices.Min(fast) < quickLeast || after < quickFactor*before {
			continue
		}
		e := f.atChord(Quickening, c.Chord, 0.8*f.sureness(p.Start, c.At))
		e.Start, e.End, e.Key = max(f.s.Measures[first+len(slow)].Start, p.Start), c.At, c.Key
		e.Before, e.After = before, after
		e.Reasons = []Reason{Reason(fmt.Sprintf("%.1f chords a measure since %s, then %.1f", before, f.s.At(p.Start), after))}
		return e, true
	}
	return Event{}, false
}

// chordStarts counts the chords that sound new in a stretch: another root or bass.
func (f *finder) chordStarts(start, end score.Tick) int {
	from, to := f.chordsIn(start, end)
	count := 0
	for c := from; c < to; c++ {
		x := &f.a.Chords[c]
		if x.Start >= start && (c == 0 || x.Root.PC() != f.a.Chords[c-1].Root.PC()) {
			count++
		}
	}
	return count
}

// sureness is the mean confidence of the chords in a stretch.
func (f *finder) sureness(start, end score.Tick) float64 {
	from, to := f.chordsIn(start, end)
	sum := 0.0
	for _, c := range f.a.Chords[from:to] {
		sum += c.Confidence
	}
	return sum / float64(max(to-from, 1))
}

func mean(x []int) float64 {
	sum := 0
	for _, v := range x {
		sum += v
	}
	return float64(sum) / float64(len(x))
}
