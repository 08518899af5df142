package events

import (
	"slices"
	"sort"

	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// finder is a score and what is heard in it.
type finder struct {
	s      *score.Score
	a      *harmony.Analysis
	lines  lines
	tones  []tonal.Set // chord tones by chord
	bass   []footing   // the bass, beat by beat
	struck []struck    // every note, as it is struck
}

// Find lists the events of a score, in order of time. The analysis must be of the
// same score.
func Find(s *score.Score, a *harmony.Analysis) []Event {
	if len(a.Slices) == 0 || len(s.Measures) == 0 {
		return nil
	}
	f := newFinder(s, a)
	var out []Event
	for _, find := range []func() []Event{f.leans, f.sequences, f.pedals, f.colours, f.farKeys, f.withheld,
		f.elisions, f.hemiolas, f.bassLines, f.quickenings, f.picardies} {
		out = append(out, find()...)
	}
	out = slices.DeleteFunc(out, func(e Event) bool { return e.Confidence < doubtful })
	sort.SliceStable(out, func(i, j int) bool { return out[i].Start < out[j].Start })
	for i := range out {
		out[i].Measures = f.measuresOf(out[i].Start, out[i].End)
	}
	weigh(s, a, out)
	return out
}

func newFinder(s *score.Score, a *harmony.Analysis) *finder {
	f := keyFinder(s, a)
	f.lines, f.struck = linkLines(s), strikes(s)
	f.bass = f.footings()
	return f
}

// keyFinder is a finder for keys alone, which hang on the chords and what sounds.
func keyFinder(s *score.Score, a *harmony.Analysis) *finder {
	f := &finder{s: s, a: a, tones: make([]tonal.Set, len(a.Chords))}
	for i := range a.Chords {
		f.tones[i] = tonal.SetOf(a.Chords[i].Tones)
	}
	return f
}

// doubtful is the confidence below which an event is not told: under it more than half of
// those that analyses tell of were wrong (tools/fit/events -check).
const doubtful = 0.4

// atChord is an event that is one chord.
func (f *finder) atChord(kind Kind, chord int, confidence float64) Event {
	c := &f.a.Chords[chord]
	return Event{Kind: kind, Start: c.Start, End: c.End, Part: -1, Chord: chord, Key: c.Key, Confidence: confidence}
}

// chordAt is the index of the chord that governs t, -1 if none does.
func (f *finder) chordAt(t score.Tick) int {
	i := sort.Search(len(f.a.Chords), func(i int) bool { return f.a.Chords[i].Start > t }) - 1
	if i < 0 || f.a.Chords[i].End <= t {
		return -1
	}
	return i
}

// sliceAt is the index of the slice at t, -1 outside.
func (f *finder) sliceAt(t score.Tick) int {
	i := sort.Search(len(f.a.Slices), func(i int) bool { return f.a.Slices[i].Start > t }) - 1
	if i < 0 || f.a.Slices[i].End <= t {
		return -1
	}
	return i
}

// sounding are the notes at t, lowest first.
func (f *finder) sounding(t score.Tick) []int {
	if i := f.sliceAt(t); i >= 0 {
		return f.a.Slices[i].Notes
	}
	return nil
}

// has reports whether a chord has the note's pitch class.
func (f *finder) has(chord, note int) bool {
	return chord >= 0 && f.tones[chord].Has(f.pc(note))
}

func (f *finder) pc(note int) int { return f.s.Notes[note].Pitch.Class().PC() }

// staffStep counts the steps of the staff: an octave is seven.
func staffStep(p score.Pitch) int { return 7*p.Octave + p.Step }

// isDegree reports whether a tone sounds as a degree of the key, however it is spelled.
func isDegree(k tonal.Key, c score.Class, degree int) bool { return k.Degree(degree).PC() == c.PC() }
