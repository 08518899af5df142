package tension

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// melodicCharge is how remarkable a tone is over the root of its chord, by
// semitones above it: Friberg, A. (1991), Generative rules for music
// performance, Computer Music Journal 15(2), 56–71, table 1. It follows the
// circle of fifths, the flat side weighing half a step more.
var melodicCharge = [12]float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}

// MelodicCharge is Friberg's melodic charge of a tone over a chord's root,
// from 0 for the root to 6.5 for the minor second above it.
func MelodicCharge(tone, root score.Class) float64 {
	return melodicCharge[tonal.Mod(tone.PC()-root.PC(), 12)]
}
