package tension

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// anchor is the anchoring strength of a pitch class: Lerdahl, F., & Krumhansl,
// C. L. (2007), Modeling tonal tension, Music Perception 24(4), 329–366, fig.
// 13a: the root of the governing chord 4, its third and fifth 3, other tones of
// the scale 2, all others 1. (Other tables, 5/4/3/2/1 and 4/3/1, are in use;
// this is the paper's.)
func anchor(pc int, chord []score.Class, scale tonal.Set) float64 {
	switch {
	case pc == chord[0].PC():
		return 4
	case tonal.SetOf(chord).Has(pc):
		return 3
	case scale.Has(pc):
		return 2
	}
	return 1
}

// attraction is Lerdahl and Krumhansl's melodic attraction (fig. 13b), in words
// the target's strength over the tone's own, over the square of the distance
// in semitones: α(p→q) = (s_q/s_p)/n². It is 0 from a tone to itself.
func attraction(from, to score.Class, chord []score.Class, scale tonal.Set) float64 {
	n := float64(intervalClass(to.PC() - from.PC()))
	if n == 0 {
		return 0
	}
	return anchor(to.PC(), chord, scale) / anchor(from.PC(), chord, scale) / (n * n)
}

// Attraction is how strongly a tone of the key is drawn to another while the
// key's tonic triad governs: leading tone to tonic 2, tonic to leading tone 0.5.
func Attraction(from, to score.Class, k tonal.Key) float64 {
	scale, _ := tonal.RegionScale(k, []score.Class{from, to})
	return attraction(from, to, tonicTriad(k), scale)
}

// leading is how strongly a chord is drawn into the triad it expects: the sum
// over its tones of the strongest attraction within a whole step. It is the
// paper's realised voice-leading attraction for the resolution in which each
// voice goes where it is drawn most: 2.5 for V–I, 4 for V7–I.
func leading(tones, target []score.Class, scale tonal.Set) float64 {
	goal := tonal.SetOf(target)
	sum := 0.0
	for _, from := range tones {
		if goal.Has(from.PC()) {
			continue
		}
		most := 0.0
		for _, to := range target {
			if intervalClass(to.PC()-from.PC()) <= 2 {
				most = max(most, attraction(from, to, target, scale))
			}
		}
		sum += most
	}
	return sum
}
