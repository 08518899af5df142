package tension

import "hairpin/score"

// ForeignKind says how a tone that does not belong to the chord is reached and
// left: the usual names of any harmony textbook (common practice, no source).
type ForeignKind string

// The kinds of non-chord tone.
const (
	Suspension      ForeignKind = "suspension"
	Appoggiatura    ForeignKind = "appoggiatura"
	AccentedPassing ForeignKind = "accented passing tone"
	Passing         ForeignKind = "passing tone"
	Neighbour       ForeignKind = "neighbour tone"
	Anticipation    ForeignKind = "anticipation"
	Escape          ForeignKind = "escape tone"
	PedalTone       ForeignKind = "pedal tone"
	HeldTone        ForeignKind = "held tone"
	FreeTone        ForeignKind = "free tone"
)

// Foreign is a sounding tone that does not belong to the chord.
type Foreign struct {
	Note int // index into Score.Notes
	Kind ForeignKind
	Next int // index of the note it moves to by step, -1 if it does not
}

// waiting is how far a non-chord tone asks to be resolved, from 0 to 1. Tones
// that fall on the beat lean; tones between beats pass (common practice; the
// numbers are ours).
var waiting = map[ForeignKind]float64{
	Suspension: 1, Appoggiatura: 1, AccentedPassing: 0.7, HeldTone: 0.5, FreeTone: 0.5,
	Passing: 0.3, Neighbour: 0.3, Escape: 0.3, Anticipation: 0.3, PedalTone: 0.2,
}

// opensExpectation reports whether the tone's resolution is awaited.
func (k ForeignKind) opensExpectation() bool { return k == Suspension || k == Appoggiatura }

// melodies links every note with its neighbours in the same voice.
type melodies struct{ before, after []int }

// voiceKey names a voice of a staff of a part.
type voiceKey struct{ part, staff, voice int }

func linkMelodies(s *score.Score) melodies {
	m := melodies{make([]int, len(s.Notes)), make([]int, len(s.Notes))}
	last := map[voiceKey]*struct{ now, before []int }{}
	for i := range s.Notes {
		m.before[i], m.after[i] = -1, -1
		n := &s.Notes[i]
		if !n.Pitched() {
			continue
		}
		k := voiceKey{n.Part, n.Staff, n.Voice}
		v := last[k]
		if v == nil {
			v = &struct{ now, before []int }{}
			last[k] = v
		}
		if len(v.now) > 0 && s.Notes[v.now[0]].Onset < n.Onset {
			v.before, v.now = v.now, v.before[:0]
		}
		v.now = append(v.now, i)
		m.link(s, v.before, i)
	}
	return m
}

// link joins a note to the nearest of the notes before it in its voice, unless
// a rest of more than a quarter lies between.
func (m *melodies) link(s *score.Score, before []int, i int) {
	n := &s.Notes[i]
	for _, b := range before {
		if s.Notes[b].End()+s.Division < n.Onset {
			continue
		}
		if o := m.before[i]; o < 0 || gap(s, b, i) < gap(s, o, i) {
			m.before[i] = b
		}
		if o := m.after[b]; o < 0 || gap(s, b, i) < gap(s, b, o) {
			m.after[b] = i
		}
	}
}

// gap is the distance between two notes in semitones.
func gap(s *score.Score, a, b int) int {
	d := s.Notes[a].Pitch.Key() - s.Notes[b].Pitch.Key()
	return max(d, -d)
}

// stepwise reports whether two notes, both present, lie a step apart.
func stepwise(s *score.Score, a, b int) bool {
	if a < 0 || b < 0 {
		return false
	}
	d := gap(s, a, b)
	return d == 1 || d == 2
}

// foreign names what a note that is not in the chord does there. lowest tells
// that nothing sounds below it.
func (r *rater) foreign(note, chord int, lowest bool) Foreign {
	s, c := r.s, &r.a.Chords[chord]
	n := &s.Notes[note]
	before, after := r.lines.before[note], r.lines.after[note]
	f := Foreign{Note: note, Kind: FreeTone, Next: -1}
	if c.Pedal && lowest {
		f.Kind = PedalTone
		return f
	}
	resolves := stepwise(s, note, after) && r.fits(after, chord)
	if resolves {
		f.Next = after
	}
	held := n.Onset < c.Start
	repeated := before >= 0 && gap(s, before, note) == 0 && s.Notes[before].Onset < c.Start
	f.Kind = r.kindOf(note, chord, held, held || repeated, resolves)
	return f
}

func (r *rater) kindOf(note, chord int, held, prepared, resolves bool) ForeignKind {
	s := r.s
	n := &s.Notes[note]
	before, after := r.lines.before[note], r.lines.after[note]
	accented := held || s.Weight(n.Onset) >= 0.4
	stepIn, stepOut := stepwise(s, before, note), stepwise(s, note, after)
	switch {
	case prepared && resolves && accented:
		return Suspension
	case held:
		return HeldTone
	case r.anticipates(note, chord):
		return Anticipation
	case stepIn && stepOut && gap(s, before, after) > 2:
		if accented {
			return AccentedPassing
		}
		return Passing
	case stepIn && stepOut && !accented:
		return Neighbour
	case resolves && (accented || before >= 0):
		return Appoggiatura
	case stepIn && after >= 0:
		return Escape
	}
	return FreeTone
}

// fits reports whether the note belongs to the chord that governs its onset,
// looking no further than the next chord.
func (r *rater) fits(note, chord int) bool {
	n := &r.s.Notes[note]
	if n.Onset >= r.a.Chords[chord].End && chord+1 < len(r.a.Chords) {
		chord++
	}
	return r.tones[chord].Has(n.Pitch.Class().PC())
}

// anticipates reports whether the note is an early tone of the next chord.
func (r *rater) anticipates(note, chord int) bool {
	n, c := &r.s.Notes[note], &r.a.Chords[chord]
	after := r.lines.after[note]
	return chord+1 < len(r.a.Chords) && n.Onset > c.Start && n.End() >= c.End &&
		after >= 0 && gap(r.s, note, after) == 0 && r.tones[chord+1].Has(n.Pitch.Class().PC())
}
