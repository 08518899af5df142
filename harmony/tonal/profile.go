package tonal

import (
	"math"

	"hairpin/score"
)

// Profile is how much each pitch class belongs to a key: twelve numbers from
// the tonic upward, for the major and the minor mode.
type Profile struct{ Major, Minor [12]float64 }

// The published profiles. Sums, to catch slips of the pen: Krumhansl–Kessler
// 41.79 and 44.51, Temperley 4.246 and 4.183, Albrecht–Shanahan 1.000 and .998.
var (
	// KrumhanslKessler are mean probe-tone ratings from 1 to 7: Krumhansl, C. L.,
	// & Kessler, E. J. (1982), Tracing the dynamic changes in perceived tonal
	// organization, Psychological Review 89(4), 334–368.
	KrumhanslKessler = Profile{
		Major: [12]float64{6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88},
		Minor: [12]float64{6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17},
	}
	// Temperley are probabilities that a degree occurs in a segment: Temperley,
	// D. (2007), Music and Probability, MIT Press, from the excerpts of Kostka &
	// Payne. The minor second degree is .084; a widespread .048 swaps its digits,
	// and a stray .400 .110 for its sevenths is somebody's slip.
	Temperley = Profile{
		Major: [12]float64{.748, .060, .488, .082, .670, .460, .096, .715, .104, .366, .057, .400},
		Minor: [12]float64{.712, .084, .474, .618, .049, .460, .105, .747, .404, .067, .133, .330},
	}
	// AlbrechtShanahan are relative frequencies in 490 pieces: Albrecht, J., &
	// Shanahan, D. (2013), The use of large corpora to train a new type of
	// key-finding algorithm, Music Perception 31(1), 59–67. The major seventh
	// degree is .081 (the sum is 1.000 with it), not .034.
	AlbrechtShanahan = Profile{
		Major: [12]float64{.238, .006, .111, .006, .137, .094, .016, .214, .009, .080, .008, .081},
		Minor: [12]float64{.220, .006, .104, .123, .019, .103, .012, .214, .062, .022, .061, .052},
	}
)

// At is the profile of a key over the pitch classes C to B.
func (p Profile) At(k Key) [12]float64 {
	from := p.Major
	if k.Minor {
		from = p.Minor
	}
	var out [12]float64
	for i, v := range from {
		out[Mod(k.Tonic.PC()+i, 12)] = v
	}
	return out
}

// Correlate is Pearson's correlation of a weight for each pitch class (C to B)
// with the key's profile, from -1 to 1: the key of a passage, after Krumhansl
// (1990), is where it is highest. It is 0 for weights that are all alike.
func (p Profile) Correlate(weights [12]float64, k Key) float64 {
	at := p.At(k)
	return Pearson(weights[:], at[:])
}

// KeyCorrelation is the correlation of two keys' Krumhansl–Kessler profiles:
// 1 for the key itself, .591 for its dominant, -.683 for the tritone.
func KeyCorrelation(a, b Key) float64 { return KrumhanslKessler.Correlate(KrumhanslKessler.At(a), b) }

func Pearson(x, y []float64) float64 {
	n := float64(len(x))
	var mx, my float64
	for i := range x {
		mx += x[i] / n
		my += y[i] / n
	}
	var xy, xx, yy float64
	for i := range x {
		dx, dy := x[i]-mx, y[i]-my
		xy += dx * dy
		xx += dx * dx
		yy += dy * dy
	}
	if xx == 0 || yy == 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}

// KeyAt is the key on a pitch class, spelled near C.
func KeyAt(pc int, minor bool) Key {
	c := Mod(7*pc, 12)
	if c > 6 {
		c -= 12
	}
	return Key{score.Class(c), minor}
}
