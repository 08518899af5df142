package events

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// farFifths is how many signs of the signature a far key lies away: keys up to one sign
// away are closely related (common practice, no source), those two away near enough to
// pass through. The parallel key is three away.
const farFifths = 3

// The least a far key must last: measures, and chords. Choices of ours; what is
// shorter is a chord's colour.
const (
	farMeasures = 2
	farChords   = 3
)

// farKeys are the changes to a key that lies far from the one before.
func (f *finder) farKeys() []Event {
	var out []Event
	from := -1 // the last span that counts as a key
	for i := range f.a.Keys {
		k := &f.a.Keys[i]
		first, last := f.chordsIn(k.Start, k.End)
		if f.measuresOf(k.Start, k.End) < farMeasures || last-first < farChords {
			continue
		}
		if from >= 0 && f.a.Keys[from].Key.SignsFrom(k.Key) >= farFifths {
			out = append(out, f.farKey(from, i, first))
		}
		from = i
	}
	return out
}

func (f *finder) farKey(from, to, first int) Event {
	old, k := f.a.Keys[from], f.a.Keys[to]
	e := Event{Kind: FarKey, Start: k.Entered, End: k.End, Part: -1, Chord: first, Key: k.Key, From: old.Key, To: k.Key}
	e.Semitones = tonal.Mod(k.Key.Tonic.PC()-old.Key.Tonic.PC(), 12)
	e.Confidence = k.Confidence * min(1, 0.5+f.measuresOf(k.Start, k.End)/8)
	e.Entry, e.Reasons = f.entry(old.Key, k, first)
	e.Home = k.Key.Tonic.PC() == f.a.Home.Tonic.PC() && k.Key.Minor == f.a.Home.Minor
	return e
}

// entry says how the key is entered at its first chord.
func (f *finder) entry(old tonal.Key, k tonal.KeySpan, c int) (Entry, []Reason) {
	if c < 1 {
		return Direct, nil
	}
	x, before := &f.a.Chords[c], &f.a.Chords[c-1]
	tonic := isDegree(k.Key, x.Root, 1)
	leads := isDegree(k.Key, x.Root, 5) && !x.Quality.Small() || x.Root.PC() == tonal.Mod(k.Key.Tonic.PC()+11, 12) && x.Quality.Small()
	switch {
	case old.Tonic.PC() == k.Key.Tonic.PC():
		return Mode, []Reason{"the tonic stays"}
	case f.lonelyTone(x.Start, c):
		return CommonTone, []Reason{"one tone alone leads over"}
	case f.respelled(c):
		return Enharmonic, []Reason{Reason(before.Name() + " turns into " + x.Name())}
	case tonic && f.breaksOff(x.Start):
		return Direct, []Reason{"after a close"}
	case !tonic && !leads && ofKey(x, old):
		return Pivot, []Reason{Reason(x.Name() + " is of both keys")}
	case leads:
		return Applied, []Reason{Reason("through " + x.Name())}
	case tonic && triad(before) && (f.tones[c]&f.tones[c-1]).Size() == 1:
		return CommonTone, []Reason{"one tone stays"}
	case f.slides(c) >= 2:
		return Chromatic, []Reason{Reason(plural(f.slides(c), "tone") + " moved by a semitone")}
	case ofKey(before, k.Key):
		return Pivot, []Reason{Reason(before.Name() + " is of both keys")}
	case f.slides(c) == 1:
		return Chromatic, []Reason{"1 tone moved by a semitone"}
	}
	return Direct, nil
}

// triad reports whether the chord is a major or minor triad.
func triad(x *tonal.Chord) bool { return x.Quality == tonal.Major || x.Quality == tonal.Minor }

// ofKey reports whether the chord belongs to the key, as it is or by mixture with the
// parallel minor: far keys share no chord otherwise.
func ofKey(x *tonal.Chord, k tonal.Key) bool {
	tones := tonal.SetOf(x.Tones)
	tonic := k.Tonic.PC()
	natural := tones.Within(tonal.NaturalMinor.Up(tonic))
	return len(x.Tones) > 0 && (natural || !k.Minor && tones.Within(tonal.MajorScale.Up(tonic)))
}

// lonelyTone reports whether right before t one pitch class of the chord sounds alone for a
// beat.
func (f *finder) lonelyTone(t score.Tick, c int) bool {
	only, alone := -1, score.Tick(0)
	for i := f.sliceAt(t - 1); i >= 0 && alone <= f.s.BeatAt(t-1); i-- {
		sl := &f.a.Slices[i]
		if len(sl.Notes) == 0 {
			return false
		}
		for _, n := range sl.Notes {
			if only >= 0 && f.pc(n) != only {
				return alone >= f.s.BeatAt(t-1) && f.tones[c].Has(only)
			}
			only = f.pc(n)
		}
		alone += sl.End - sl.Start
	}
	return only >= 0 && alone >= f.s.BeatAt(t-1) && f.tones[c].Has(only)
}

// respelled reports whether the chord sounds like the one before it but is spelled as another:
// a dominant seventh as an augmented sixth, a diminished seventh on another root.
func (f *finder) respelled(c int) bool {
	x, b := &f.a.Chords[c], &f.a.Chords[c-1]
	if f.tones[c] != f.tones[c-1] || f.tones[c].Size() < 4 {
		return false
	}
	return x.Quality != b.Quality || x.Quality == tonal.DiminishedSeventh && x.Root.PC() != b.Root.PC()
}

// breaksOff reports whether a phrase ends at t.
func (f *finder) breaksOff(t score.Tick) bool {
	for _, p := range f.a.Phrases {
		if p.Start == t && t > 0 {
			return true
		}
	}
	return false
}

// slides counts the tones of chord c that lie a semitone from a tone of the chord before that it leaves.
func (f *finder) slides(c int) int {
	count := 0
	left := f.tones[c-1] &^ f.tones[c]
	for _, t := range f.a.Chords[c].Tones {
		if pc := t.PC(); !f.tones[c-1].Has(pc) && (left.Has(tonal.Mod(pc+1, 12)) || left.Has(tonal.Mod(pc-1, 12))) {
			count++
		}
	}
	return count
}
