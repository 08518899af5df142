package analyses

import (
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Heard rates the analyst's chords; home is the key they stay in longest.
func Heard(s *score.Score, rows []Chord) *harmony.Analysis {
	a := &harmony.Analysis{Slices: tonal.Slices(s, 0)}
	inKey := map[tonal.Key]float64{}
	for _, r := range rows {
		c := r.Chord
		c.Start, c.End = Tick(s, r.Onset), Tick(s, r.End)
		a.Chords = append(a.Chords, c)
		inKey[c.Key] += r.End - r.Onset
		if n := c.Numeral; r.PhraseEnd && n.Degree == 5 && n.Target == 0 && n.Quality == tonal.Major && n.Inversion == 0 {
			a.Cadences = append(a.Cadences, phrasing.Cadence{At: c.Start, Chord: len(a.Chords) - 1, Kind: phrasing.Half})
		}
	}
	for _, r := range rows {
		if k := r.Key; inKey[k] > inKey[a.Home] || inKey[a.Home] == 0 {
			a.Home = k
		}
	}
	a.Rate(s, tension.Weights{Dissonance: 1, Distance: 1, Pull: 1})
	return a
}

// Tick is a moment of the score that a table counts in quarters.
func Tick(s *score.Score, quarters float64) score.Tick {
	return score.Tick(quarters*float64(s.Division) + 0.5)
}
