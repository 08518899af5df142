package hearing

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Enter finds where each key is entered, the place to name: its first measure that lies in
// it for more than half and in which its own harmony stands, that is its tonic, its dominant
// or a chord foreign to the key before. An upbeat that leads into it, and chords of both
// keys, come before. Common practice, no source. A key without such a measure is entered
// with its first chord. chords and keys are those of s.
func Enter(s *score.Score, chords []tonal.Chord, keys []tonal.KeySpan) {
	for i := range keys {
		k := &keys[i]
		k.Entered = k.Start
		if i == 0 {
			continue
		}
		first := endsAfter(chords, k.Start)
		for c := first; c < len(chords) && chords[c].Start < k.End; c++ {
			if x := &chords[c]; ownHarmony(x, k.Key, keys[i-1].Key) {
				if t := measureIn(s, *k, x.Start); t >= 0 {
					k.Entered = t
					break
				}
			}
		}
	}
}

// measureIn is where the key begins in the measure of moment t, or in the first one after
// it that lies in the key for more than half; -1 if none does.
func measureIn(s *score.Score, k tonal.KeySpan, t score.Tick) score.Tick {
	for i := s.MeasureAt(t); i < len(s.Measures) && s.Measures[i].Start < k.End; i++ {
		m := s.Measures[i]
		from, to := max(m.Start, k.Start), min(m.End(), k.End)
		if 2*(to-from) > m.Length {
			return from
		}
	}
	return -1
}

// ownHarmony reports whether a chord speaks for a key after another one.
func ownHarmony(c *tonal.Chord, k, before tonal.Key) bool {
	if c.Numeral.Target == 0 && (c.Numeral.Degree == 1 || c.Numeral.Degree == 5 || c.Numeral.Degree == 7 && c.Quality.Small()) {
		return true
	}
	scale := tonal.MajorScale
	if before.Minor {
		scale = tonal.NaturalMinor
	}
	return !tonal.SetOf(c.Tones).Within(scale.Up(before.Tonic.PC()))
}
