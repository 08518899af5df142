package hearing

import (
	"fmt"

	"hairpin/harmony/decode"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Label prepares a root-position numeral of the major or minor mode for the
// decoder: "V7/ii", "vii°7", "Cad64".
func Label(text string, minor bool) (decode.Label, error) {
	k := tonal.Key{Tonic: 0, Minor: minor}
	n, ok := tonal.ParseNumeral(text, k)
	if !ok {
		return decode.Label{}, fmt.Errorf("numeral %q is not understood", text)
	}
	return decode.Label{
		Text: text, Minor: minor, Root: int(n.Root(k)), Tones: n.Quality.Above(),
		Quality: int(n.Quality), Family: int(family(n.Quality)), Cadence: n.Cadential,
	}, nil
}

// family groups the qualities: major, minor, other triads, dominant sevenths,
// other sevenths, leading-tone sevenths with augmented sixths.
func family(q tonal.Quality) int {
	switch q {
	case tonal.Minor:
		return 1
	case tonal.Diminished, tonal.Augmented:
		return 2
	case tonal.DominantSeventh:
		return 3
	case tonal.MajorSeventh, tonal.MinorSeventh, tonal.MinorMajorSeventh, tonal.AugmentedMajorSeventh:
		return 4
	case tonal.HalfDiminished, tonal.DiminishedSeventh, tonal.Italian, tonal.French, tonal.German:
		return 5
	}
	return 0
}

// keyOf is the key the decoder numbers, with its spelled tonic.
func keyOf(number, tonic int) tonal.Key {
	return tonal.Key{Tonic: score.Class(tonic), Minor: number >= 12}
}

// ChordOf spells a decoded segment as a chord, without its times.
func ChordOf(l decode.Label, s decode.Segment) tonal.Chord {
	k := keyOf(s.Key, s.Tonic)
	n, _ := tonal.ParseNumeral(l.Text, k)
	n.Inversion = s.Inversion
	return tonal.Spell(n, k)
}
