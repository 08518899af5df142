package harmony

import (
	"fmt"

	"hairpin/harmony/decode"
	"hairpin/score"
)

// Label prepares a root-position numeral of the major or minor mode for the
// decoder: "V7/ii", "vii°7", "Cad64".
func Label(text string, minor bool) (decode.Label, error) {
	k := Key{0, minor}
	n, ok := ParseNumeral(text, k)
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
func family(q Quality) int {
	switch q {
	case Minor:
		return 1
	case Diminished, Augmented:
		return 2
	case DominantSeventh:
		return 3
	case MajorSeventh, MinorSeventh, MinorMajorSeventh, AugmentedMajorSeventh:
		return 4
	case HalfDiminished, DiminishedSeventh, Italian, French, German:
		return 5
	}
	return 0
}

// keyOf is the key the decoder numbers, with its spelled tonic.
func keyOf(number, tonic int) Key { return Key{score.Class(tonic), number >= 12} }

// ChordOf spells a decoded segment as a chord, without its times.
func ChordOf(l decode.Label, s decode.Segment) Chord {
	k := keyOf(s.Key, s.Tonic)
	n, _ := ParseNumeral(l.Text, k)
	n.Inversion = s.Inversion
	return Spell(n, k)
}
