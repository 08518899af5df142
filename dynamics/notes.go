package dynamics

import (
	"hairpin/harmony"
	"hairpin/score"
)

// Voicing of single notes, in steps. Melody over accompaniment: Goebl 2001,
// "Melody lead in piano performance: expressive device or artifact?" (JASA
// 110), measured the melody louder than the rest (citation from memory); the
// sizes are common practice, no source.
const (
	melodyLift   = 0.4
	innerDip     = 0.3
	leanLift     = 0.3 // an appoggiatura
	resolveDip   = 0.4 // its resolution
	longestStack = 3   // notes above which the lowest is a bass, not inner
)

// noteLevels gives each note its own level: the shaped level of its moment in
// its part, the melody above its accompaniment, an appoggiatura above its
// resolution, printed accents added.
func noteLevels(s *score.Score, a *harmony.Analysis, sh *Shaping) []float64 {
	out := make([]float64, len(s.Notes))
	top := topNotes(s)
	lean := leaning(s, a)
	for i, n := range s.Notes {
		v := sh.At(n.Onset)
		if top[i] {
			v += melodyLift
		} else {
			v -= innerDip
		}
		if size, _ := noteAccent(n.Signs); size > 0 {
			v += size
		}
		out[i] = clampLevel(v + lean[i])
	}
	return out
}

// topNotes marks the notes that nothing sounds above in their part at their
// onset, in parts that sound more than one note; a single line is its own melody.
func topNotes(s *score.Score) []bool {
	out := make([]bool, len(s.Notes))
	var sounding []int
	for i, n := range s.Notes {
		keep := sounding[:0]
		for _, k := range sounding {
			if s.Notes[k].End() > n.Onset {
				keep = append(keep, k)
			}
		}
		sounding = append(keep, i)
		out[i] = true
		for _, k := range sounding {
			o := s.Notes[k]
			if k != i && o.Pitch.MIDI() > n.Pitch.MIDI() {
				out[i] = false
			} else if o.Onset == n.Onset && o.Pitch.MIDI() < n.Pitch.MIDI() {
				out[k] = false
			}
		}
	}
	return out
}

// leaning finds appoggiaturas: a note on a beat that is foreign to its chord
// and moves on by step in its voice to a chord tone. It is played above its
// resolution (common practice: C. P. E. Bach 1753, Versuch, ch. 2, on
// appoggiaturas; citation from memory).
func leaning(s *score.Score, a *harmony.Analysis) []float64 {
	out := make([]float64, len(s.Notes))
	if a == nil {
		return out
	}
	last := map[[3]int]int{}
	for i, n := range s.Notes {
		if !n.Pitched() {
			continue
		}
		v := [3]int{n.Part, n.Staff, n.Voice}
		if k, ok := last[v]; ok && resolves(s, a, s.Notes[k], n) {
			out[k] += leanLift
			out[i] -= resolveDip
		}
		last[v] = i
	}
	return out
}

func resolves(s *score.Score, a *harmony.Analysis, from, to score.Note) bool {
	step := from.Pitch.MIDI() - to.Pitch.MIDI()
	if step < 0 {
		step = -step
	}
	return step >= 1 && step <= 2 && from.End() == to.Onset && s.Weight(from.Onset) >= s.Weight(to.Onset) &&
		s.Weight(from.Onset) >= 0.4 && foreign(a, from) && !foreign(a, to)
}

// foreign reports whether a note is no tone of the chord that sounds when it begins.
func foreign(a *harmony.Analysis, n score.Note) bool {
	c := chordAt(a, n.Onset)
	if c == nil || c.Certainty == harmony.Unsure {
		return false
	}
	for _, t := range c.Tones {
		if t.PC() == n.Pitch.Class().PC() {
			return false
		}
	}
	return true
}

// chordAt is the chord that sounds at t, nil if none.
func chordAt(a *harmony.Analysis, t score.Tick) *harmony.Chord {
	lo, hi := 0, len(a.Chords)
	for lo < hi {
		if m := (lo + hi) / 2; a.Chords[m].End <= t {
			lo = m + 1
		} else {
			hi = m
		}
	}
	if lo < len(a.Chords) && a.Chords[lo].Start <= t {
		return &a.Chords[lo]
	}
	return nil
}
