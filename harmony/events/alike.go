package events

import (
	"hairpin/harmony"
	"hairpin/score"
)

// Alike reports whether two events of a piece are the same thing, on whatever degree or
// tone: what is said of one may be said of the other. The events are those of s and a.
func Alike(s *score.Score, a *harmony.Analysis, x, y Event) bool {
	if x.Kind != y.Kind {
		return false
	}
	switch x.Kind {
	case Appoggiatura, Suspension:
		return x.Step == y.Step && sameMoves(leaning(s, x), leaning(s, y))
	case Sequence:
		return x.Step == y.Step
	case Pedal:
		return x.Degree == y.Degree && x.Key.Minor == y.Key.Minor
	case FarKey:
		return x.Semitones == y.Semitones && x.From.Minor == y.From.Minor && x.To.Minor == y.To.Minor && x.Entry == y.Entry && x.Home == y.Home
	case BassLine:
		return x.Step == y.Step && x.Lament == y.Lament && sameMoves(keys(s, x.Notes), keys(s, y.Notes))
	case Neapolitan, AugmentedSixth, Borrowed, DeceptiveCadence, EvadedCadence:
		return a.Chords[x.Chord].Roman() == a.Chords[y.Chord].Roman()
	}
	return true
}

// leaning are the lean and its resolution.
func leaning(s *score.Score, e Event) []int { return keys(s, e.Notes[len(e.Notes)-2:]) }

// keys are the MIDI keys of notes.
func keys(s *score.Score, notes []int) []int {
	out := make([]int, len(notes))
	for i, n := range notes {
		out[i] = s.Notes[n].Pitch.Key()
	}
	return out
}

// sameMoves reports whether two lines go by the same intervals.
func sameMoves(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if i > 0 && a[i]-a[i-1] != b[i]-b[i-1] {
			return false
		}
	}
	return true
}
