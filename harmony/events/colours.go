package events

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// colours are the chords from outside the key: Neapolitans, augmented sixths, and those
// borrowed from the parallel minor. Neighbours of one kind in one key are one event.
func (f *finder) colours() []Event {
	var out []Event
	for c := range f.a.Chords {
		e, ok := f.colour(c)
		if !ok {
			continue
		}
		if last := len(out) - 1; last >= 0 && out[last].Kind == e.Kind && out[last].End == e.Start && out[last].Key == e.Key {
			out[last].End = e.End
			out[last].Confidence = max(out[last].Confidence, e.Confidence)
			continue
		}
		out = append(out, e)
	}
	return out
}

func (f *finder) colour(c int) (Event, bool) {
	x := &f.a.Chords[c]
	n := x.Numeral
	if n.Degree == 0 || x.Duration() < f.s.BeatAt(x.Start)/2 {
		return Event{}, false
	}
	switch {
	case n.Quality.AugmentedSixth():
		return f.augmentedSixth(c)
	case n.Target != 0:
		return Event{}, false
	case n.Degree == 2 && n.Alter == -1 && (n.Quality == tonal.Major || n.Quality == tonal.MajorSeventh):
		return f.neapolitan(c)
	}
	return f.borrowed(c)
}

// doubted is what is left of the probability that a chord from outside the key is
// one, if nothing around it says so: a choice of ours, checked on the analyses.
const doubted = 0.5

func (f *finder) neapolitan(c int) (Event, bool) {
	x := &f.a.Chords[c]
	e := f.atChord(Neapolitan, c, x.Confidence*x.KeyConfidence)
	if x.Inversion == 2 {
		e.Confidence *= doubted // as a six-four it is mostly another chord's bass
	}
	if !f.spelled(c, x.Root) {
		e.Confidence *= doubted // a raised tonic on its way up sounds like the lowered second degree
	}
	if x.Inversion == 1 {
		e.Reasons = append(e.Reasons, "as a sixth chord")
	}
	if f.goesTo(c, x.Key) {
		e.Reasons = append(e.Reasons, "goes on to the dominant")
	} else {
		e.Confidence *= doubted
	}
	return e, true
}

// augmentedSixth takes the chord if its two altered tones sound as they are spelled.
func (f *finder) augmentedSixth(c int) (Event, bool) {
	x := &f.a.Chords[c]
	region := x.Numeral.Region(x.Key)
	e := f.atChord(AugmentedSixth, c, x.Confidence*x.KeyConfidence)
	e.Reasons = append(e.Reasons, Reason(x.Name()))
	if !f.spelled(c, score.Class(region.Tonic+6)) {
		e.Confidence *= doubted // heard as one, spelled as a dominant seventh
	}
	if f.goesTo(c, region) {
		e.Reasons = append(e.Reasons, "opens to the dominant")
	} else {
		e.Confidence *= doubted
	}
	return e, true
}

// spelled reports whether a tone sounds within the chord as it is spelled.
func (f *finder) spelled(c int, tone score.Class) bool {
	x := &f.a.Chords[c]
	for i := f.sliceAt(x.Start); i >= 0 && i < len(f.a.Slices) && f.a.Slices[i].Start < x.End; i++ {
		for _, n := range f.a.Slices[i].Notes {
			if f.s.Notes[n].Pitch.Class() == tone {
				return true
			}
		}
	}
	return false
}

// goesTo reports whether one of the next two chords is a dominant of the key, or the
// six-four that decorates it.
func (f *finder) goesTo(c int, k tonal.Key) bool {
	for i := c + 1; i < len(f.a.Chords) && i <= c+2; i++ {
		x := &f.a.Chords[i]
		leading := x.Root.PC() == tonal.Mod(k.Tonic.PC()+11, 12) && x.Quality.Small()
		sixFour := x.Root.PC() == k.Tonic.PC() && x.Inversion == 2
		if isDegree(k, x.Root, 5) && !x.Quality.Small() || leading || sixFour {
			return true
		}
	}
	return false
}

// borrowed takes a chord of a major key that belongs to its parallel minor. The
// diminished seventh of a major key borrows as well, but it is everyday (Aldwell &
// Schachter, chapter on mixture, from memory) and left out.
func (f *finder) borrowed(c int) (Event, bool) {
	x := &f.a.Chords[c]
	if x.Key.Minor || !mixes(x.Numeral) || f.turnsMinor(c) {
		return Event{}, false
	}
	e := f.atChord(Borrowed, c, x.Confidence*x.KeyConfidence)
	e.From = tonal.Key{Tonic: x.Key.Tonic, Minor: true}
	e.Reasons = []Reason{Reason(x.Roman() + " of the parallel minor")}
	if x.Numeral.Degree == 2 {
		e.Confidence *= 0.8 // a leading-tone chord of another degree may have the same tones
	}
	if !f.spelled(c, x.Key.Tonic-4) && !f.spelled(c, x.Key.Tonic-3) {
		e.Confidence *= doubted
	}
	return e, true
}

// mixes reports whether the numeral of a major key is one of the parallel minor:
// i, ii°, iiø7, bIII, iv, bVI, bVII.
func mixes(n tonal.Numeral) bool {
	small := n.Quality == tonal.Minor || n.Quality == tonal.MinorSeventh
	large := n.Quality == tonal.Major || n.Quality == tonal.MajorSeventh
	switch n.Degree {
	case 1, 4:
		return n.Alter == 0 && small && !n.Cadential
	case 2:
		return n.Alter == 0 && (n.Quality == tonal.Diminished || n.Quality == tonal.HalfDiminished)
	case 3, 6:
		return n.Alter == -1 && large
	}
	return false
}

// turnsMinor reports whether the chord stands beside a stretch in the parallel minor: the
// mode has changed then, nothing is borrowed.
func (f *finder) turnsMinor(c int) bool {
	minor := tonal.Key{Tonic: f.a.Chords[c].Key.Tonic, Minor: true}
	for _, i := range []int{c - 1, c + 1} {
		if i >= 0 && i < len(f.a.Chords) && f.a.Chords[i].Key == minor {
			return true
		}
	}
	return false
}

// picardies are the ends in a minor key on a major tonic.
func (f *finder) picardies() []Event {
	var out []Event
	for _, p := range f.a.Phrases {
		c := f.chordAt(p.End - 1)
		if c < 1 {
			continue
		}
		x := &f.a.Chords[c]
		closes := p.Cadence >= 0 && f.a.Cadences[p.Cadence].Chord == c
		if !x.Key.Minor || x.Numeral.Degree != 1 || x.Numeral.Target != 0 || x.Numeral.Alter != 0 || x.Quality != tonal.Major || x.Inversion != 0 {
			continue
		}
		last := p.End >= f.a.Slices[len(f.a.Slices)-1].End
		if !closes && !last {
			continue
		}
		e := f.atChord(PicardyThird, c, x.Confidence*x.KeyConfidence)
		e.Reasons = []Reason{"the tonic of a minor key with a major third, at the close"}
		out = append(out, e)
	}
	return out
}
