package tension

import (
	"math"
	"sync"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// huron is the consonance of the interval classes 1–6 (semitone … tritone):
// Huron, D. (1994), Interval-class content in equally tempered pitch-class
// sets, Music Perception 11(3), 289–305. The tritone's printed -0.453 does not
// follow from the paper's own procedure (which gives -0.212); the printed value
// is kept. A negative index is what we call a clash.
var huron = [7]float64{0, -1.428, -0.582, 0.594, 0.386, 1.240, -0.453}

// IntervalConsonance is Huron's index for an interval of that many semitones;
// 0 for unison and octave.
func IntervalConsonance(semitones int) float64 { return huron[intervalClass(semitones)] }

func intervalClass(semitones int) int {
	d := tonal.Mod(semitones, 12)
	return min(d, 12-d)
}

// SetConsonance is Huron's aggregate index of a pitch-class set: the sum over
// its intervals. 2.220 for a major or minor triad.
func SetConsonance(s []score.Class) float64 {
	m := tonal.SetOf(s)
	sum := 0.0
	for d := 1; d <= 6; d++ {
		n := (m & m.Up(d)).Size()
		if d == 6 {
			n /= 2
		}
		sum += float64(n) * huron[d]
	}
	return sum
}

// More scales and chords as pitch-class sets on C.
const (
	harmonicMinor tonal.Set = 1<<0 | 1<<2 | 1<<3 | 1<<5 | 1<<7 | 1<<8 | 1<<11
	majorTriad    tonal.Set = 1<<0 | 1<<4 | 1<<7
)

// The three rules of Johnson-Laird, P. N., Kang, O. E., & Leong, Y. C. (2012),
// On musical dissonance, Music Perception 30(1), 19–35, read strictly. The
// ranks printed in the paper's figures contradict its rule 3 in places (its
// chord 6 is no stack of thirds), so we test against the ratings.

// scaleRule is 0 for a set within a major scale, 1 within a harmonic minor
// scale only, 2 within neither.
func scaleRule(s tonal.Set) int {
	minor := false
	for n := 0; n < 12; n++ {
		if s.Within(tonal.MajorScale.Up(n)) {
			return 0
		}
		minor = minor || s.Within(harmonicMinor.Up(n))
	}
	if minor {
		return 1
	}
	return 2
}

// triadRule is 0 for a set within a major scale that holds a major triad, otherwise 1.
func triadRule(s tonal.Set) int {
	if scaleRule(s) > 0 {
		return 1
	}
	for n := 0; n < 12; n++ {
		if majorTriad.Up(n).Within(s) {
			return 0
		}
	}
	return 1
}

// thirdsRule is 0 for a set that can be stacked in thirds, with at most one
// third left out (a fifth instead), otherwise 1.
func thirdsRule(s tonal.Set) int {
	for n := 0; n < 12; n++ {
		if s.Has(n) && stacks(s&^(1<<n), n, true) {
			return 0
		}
	}
	return 1
}

// stacks reports whether the rest can be stacked in thirds above the tone.
func stacks(rest tonal.Set, tone int, mayGap bool) bool {
	if rest == 0 {
		return true
	}
	for _, step := range [3]int{3, 4, 7} {
		next := tonal.Mod(tone+step, 12)
		if rest.Has(next) && (step < 7 || mayGap) && stacks(rest&^(1<<next), next, mayGap && step < 7) {
			return true
		}
	}
	return false
}

// TonalDissonance is the combined Johnson-Laird rank of a chord:
// 4·rule1 + 2·rule2 + rule3 − 3 with rule 1 from 1 to 3, so 1 is the most
// consonant (major triad, dominant seventh) and 12 the least.
func TonalDissonance(chord []score.Class) int {
	s := tonal.SetOf(chord)
	return 4*(scaleRule(s)+1) + 2*triadRule(s) + thirdsRule(s) - 3
}

// The spectrum of harmonicity's tones: Gaussian partials on a circle of 1200
// cents, 11 harmonics of weight n^-0.75, spread 6.83 cents. Harrison, P. M. C.,
// & Pearce, M. T. (2018), An energy-based generative sequence model for testing
// sensory theories of Western harmony, ISMIR, 160–167, after Milne (2013). The
// circle is sampled every five cents, which such bell curves bear without loss.
const (
	binCents       = 5
	bins           = 1200 / binCents
	semitoneBins   = 100 / binCents
	spectrumWeight = 0.75
	spectrumSpread = 6.83
)

// harmonicity rates how well a set of pitch classes fits one harmonic series,
// and remembers what it has rated.
type harmonicity struct {
	template *[bins]float64
	seen     map[tonal.Set]float64
}

func newHarmonicity() *harmonicity { return &harmonicity{toneTemplate(), map[tonal.Set]float64{}} }

// toneTemplate is the fit of a single tone's spectrum to itself, shifted by so
// many cents. Its bell curves convolve to wider bell curves, so that it has a
// closed form.
var toneTemplate = sync.OnceValue(func() *[bins]float64 {
	var out [bins]float64
	wide := spectrumSpread * math.Sqrt2 / binCents
	reach := int(6 * wide)
	for i := 1; i <= harmonics; i++ {
		for j := 1; j <= harmonics; j++ {
			centre := bins * math.Log2(float64(i)/float64(j))
			weight := math.Pow(float64(i*j), -spectrumWeight)
			for x := int(centre) - reach; x <= int(centre)+reach; x++ {
				d := (float64(x) - centre) / wide
				out[tonal.Mod(x, bins)] += weight * math.Exp(-d*d/2)
			}
		}
	}
	return &out
})

// of is the Kullback–Leibler divergence, in bits, of the chord's virtual-pitch
// profile from a flat one: .93 for a major or minor triad, 1.56 for a single
// tone, near .5 for clusters.
func (h *harmonicity) of(s tonal.Set) float64 {
	s = lowest(s)
	if v, ok := h.seen[s]; ok {
		return v
	}
	v := h.compute(s)
	h.seen[s] = v
	return v
}

// lowest is the smallest of the set's transpositions, one name for all of them.
func lowest(s tonal.Set) tonal.Set {
	best := s
	for n := 1; n < 12; n++ {
		best = min(best, s.Up(n))
	}
	return best
}

func (h *harmonicity) compute(s tonal.Set) float64 {
	var profile [bins]float64
	for n := 0; n < 12; n++ {
		if s.Has(n) {
			for x, v := range h.template[:bins-semitoneBins*n] {
				profile[semitoneBins*n+x] += v
			}
			for x, v := range h.template[bins-semitoneBins*n:] {
				profile[x] += v
			}
		}
	}
	total, sum := 0.0, 0.0
	for _, v := range profile {
		if v > 0 {
			total += v
			sum += v * math.Log2(v)
		}
	}
	return sum/total + math.Log2(bins/total)
}

// Harmonicity is Harrison and Pearce's harmonicity of a chord in bits.
func Harmonicity(chord []score.Class) float64 { return newHarmonicity().of(tonal.SetOf(chord)) }

// rootSupport is how strongly a tone so many semitones above it speaks for a
// root: Parncutt, R. (1988), Revision of Terhardt's psychoacoustical model of
// the root(s) of a musical chord, Music Perception 6(1), 65–93.
var rootSupport = [12]float64{0: 10, 7: 5, 4: 3, 10: 2, 2: 1}

// RootAmbiguity is Parncutt's root ambiguity of a chord: 1.87 for a major
// triad, 2.05 for a minor one, 2.90 for a diminished seventh.
func RootAmbiguity(chord []score.Class) float64 { return rootAmbiguity(tonal.SetOf(chord)) }

func rootAmbiguity(s tonal.Set) float64 {
	sum, most := 0.0, 0.0
	for root := 0; root < 12; root++ {
		w := 0.0
		for above, v := range rootSupport {
			if s.Has(root + above) {
				w += v
			}
		}
		sum += w
		most = max(most, w)
	}
	if most == 0 {
		return 0
	}
	return math.Sqrt(sum / most)
}
