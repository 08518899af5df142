package tension

import (
	"sync"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Steps is the chord distance rule of Lerdahl, F. (2001), Tonal Pitch Space,
// Oxford UP: δ = i + j + k, with i for the regions, j for the roots and k for
// the new tones as in the book (public code mislabels them, or drops i). It is
// the 2001 rule; the distances printed by Bigand, Parncutt & Lerdahl (1996)
// follow the 1988 one and are not these.
type Steps struct {
	Region int       // i: steps round the circle of fifths between the two regions' scales
	Fifths int       // j: steps between the roots on the region's own circle of fifths
	New    int       // k: tones of the second chord's basic space that are new, level by level
	Within tonal.Key // the region in which the second chord is heard
}

// Total is δ.
func (s Steps) Total() int { return s.Region + s.Fifths + s.New }

// space is a chord in a region: the basic space's levels root, fifth, triad and scale.
type space struct {
	root   int
	levels [4]tonal.Set
	region tonal.Key
	scale  tonal.Set
}

// spaceOf builds the basic space of a chord, root first. A chordal seventh is
// left out of the triad's level: the dissonance rates it, and nothing should
// be rated twice. (That also settles whether the surface tension rule of
// Lerdahl and Krumhansl (2007) gives a seventh 1 or 3 points: we do not use it
// for sevenths.) In minor, level d is the natural scale, with the raised
// sixth or seventh in place of the natural one where the chord has it.
func spaceOf(tones []score.Class, region tonal.Key) space {
	sp := space{root: tones[0].PC(), region: region}
	sp.scale, _ = tonal.RegionScale(region, tones)
	sp.levels = [4]tonal.Set{tonal.SetOf(tones[:1]), tonal.SetOf(tones[:1]), tonal.SetOf(tones[:min(len(tones), 3)]), sp.scale}
	if len(tones) > 2 {
		sp.levels[1] |= tonal.SetOf(tones[2:3])
	}
	return sp
}

// steps counts the rule from x to y.
func steps(x, y space) Steps {
	s := Steps{Region: fifthsApart(signature(x.region), signature(y.region)), Within: y.region}
	s.Fifths = rootFifths(x, y)
	for i := range x.levels {
		s.New += (y.levels[i] &^ x.levels[i]).Size()
	}
	return s
}

// signature is the pitch class of the major key with the region's key signature.
func signature(k tonal.Key) int {
	if k.Minor {
		return tonal.Mod(k.Tonic.PC()+3, 12)
	}
	return k.Tonic.PC()
}

// fifthsApart is the shorter way between two pitch classes round the chromatic circle of fifths.
func fifthsApart(a, b int) int {
	n := tonal.Mod(7*(a-b), 12)
	return min(n, 12-n)
}

// diatonicFifths is the shorter way on the circle I–V–ii–vi–iii–vii–IV to the
// degree so many scale steps up.
var diatonicFifths = [7]int{0, 2, 3, 1, 1, 3, 2}

// rootFifths is j. It is counted on the diatonic circle of the second region,
// else of the first, where both roots are degrees; the chromatic circle would
// make C major to E minor 10 instead of the book's 9. If the roots share no
// scale, the chromatic circle is our convention.
func rootFifths(x, y space) int {
	for _, scale := range [2]tonal.Set{y.scale, x.scale} {
		a, b := degreeIn(scale, x.root), degreeIn(scale, y.root)
		if a >= 0 && b >= 0 {
			return diatonicFifths[tonal.Mod(b-a, 7)]
		}
	}
	return fifthsApart(x.root, y.root)
}

// degreeIn counts the scale tones below the pitch class, or is -1 if it is none of them.
func degreeIn(scale tonal.Set, pc int) int {
	if !scale.Has(pc) {
		return -1
	}
	return (scale & (1<<pc - 1)).Size()
}

// ChordDistance is Lerdahl's distance between two chords, each in its region.
// Neither chord may be empty.
func ChordDistance(from []score.Class, region tonal.Key, to []score.Class, toRegion tonal.Key) Steps {
	return steps(spaceOf(from, region), spaceOf(to, toRegion))
}

// tonicTriad spells a key's tonic triad, root first.
func tonicTriad(k tonal.Key) []score.Class {
	return k.Triad().Tones(k.Tonic)
}

// RegionDistance is the distance from tonic to tonic of two keys: 7 from C
// major to G, F, A minor and C minor. Farther keys are reached as in the book,
// by adding the distances along the cheapest chain of near ones.
func RegionDistance(from, to tonal.Key) int {
	return regionTables()[minorIndex(from)][tonal.Mod(to.Tonic.PC()-from.Tonic.PC(), 12)][minorIndex(to)]
}

func minorIndex(k tonal.Key) int {
	if k.Minor {
		return 1
	}
	return 0
}

// regionTables holds the tables from C major and from C minor, made once.
var regionTables = sync.OnceValue(func() [2][12][2]int {
	return [2][12][2]int{regionTable(false), regionTable(true)}
})

// regionTable is the distance of every key from one on C: the shortest paths
// over hops to the pivot regions (those whose tonic chord lies in the scale,
// and the parallel key), by relaxing until nothing improves.
func regionTable(minor bool) [12][2]int {
	const far = 1000
	var d [12][2]int
	for i := range d {
		d[i] = [2]int{far, far}
	}
	d[0][minorIndex(tonal.Key{Tonic: 0, Minor: minor})] = 0
	for changed := true; changed; {
		changed = false
		for pc := 0; pc < 12; pc++ {
			for m := 0; m < 2; m++ {
				if d[pc][m] < far {
					changed = relax(&d, tonal.KeyAt(pc, m == 1), d[pc][m]) || changed
				}
			}
		}
	}
	return d
}

func relax(d *[12][2]int, at tonal.Key, cost int) (changed bool) {
	triad := tonicTriad(at)
	here := spaceOf(triad, at)
	for pc := 0; pc < 12; pc++ {
		for m := 0; m < 2; m++ {
			next := tonal.KeyAt(pc, m == 1)
			tonic := tonicTriad(next)
			if !tonal.SetOf(tonic).Within(here.scale) && pc != at.Tonic.PC() {
				continue
			}
			if n := cost + steps(here, spaceOf(tonic, next)).Total(); n < d[pc][m] {
				d[pc][m] = n
				changed = true
			}
		}
	}
	return changed
}
