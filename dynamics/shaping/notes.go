package shaping

import (
	"math"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
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
		if size, _ := page.NoteAccent(n.Signs); size > 0 {
			v += size
		}
		out[i] = page.Clamp(v + lean[i])
	}
	return out
}

// topNotes marks the notes that nothing sounds above at their onset; a single
// line is its own melody.
func topNotes(s *score.Score) []bool {
	out := make([]bool, len(s.Notes))
	sounds := map[float64]score.Tick{} // by pitch: until when
	for i, n := range s.Notes {
		key := n.Pitch.MIDI()
		out[i] = true
		for k, end := range sounds {
			if end <= n.Onset {
				delete(sounds, k)
			} else if k > key {
				out[i] = false
			}
		}
		sounds[key] = max(sounds[key], n.End())
	}
	highest := math.Inf(-1) // of the notes struck with note i that stand after it
	for i := len(s.Notes) - 1; i >= 0; i-- {
		n := s.Notes[i]
		if i+1 < len(s.Notes) && s.Notes[i+1].Onset > n.Onset {
			highest = math.Inf(-1)
		}
		out[i] = out[i] && (n.Duration == 0 || n.Pitch.MIDI() >= highest)
		highest = max(highest, n.Pitch.MIDI())
	}
	return out
}

// leaning lifts the appoggiaturas and dips their resolutions (common practice:
// C. P. E. Bach 1753, Versuch, ch. 2, on appoggiaturas; citation from memory).
func leaning(s *score.Score, a *harmony.Analysis) []float64 {
	out := make([]float64, len(s.Notes))
	for _, l := range Leans(s, a) {
		out[l.note] += leanLift
		out[l.resolution] -= resolveDip
	}
	return out
}

// Lean is a note on a beat that is foreign to its chord and moves on by step in
// its voice to a chord tone: an appoggiatura, or a suspension struck again.
type Lean struct {
	At, Release      score.Tick
	note, resolution int // indices into Score.Notes
}

// Leans lists them in the order of their resolutions; none without an analysis.
func Leans(s *score.Score, a *harmony.Analysis) (out []Lean) {
	if a == nil {
		return nil
	}
	last := map[[3]int]int{}
	for i, n := range s.Notes {
		if !n.Pitched() {
			continue
		}
		v := [3]int{n.Part, n.Staff, n.Voice}
		if k, ok := last[v]; ok && resolves(s, a, s.Notes[k], n) {
			out = append(out, Lean{s.Notes[k].Onset, n.Onset, k, i})
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
	if c == nil || c.Certainty == tonal.Unsure {
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
func chordAt(a *harmony.Analysis, t score.Tick) *tonal.Chord {
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
