package tension

import "math"

// Roughness of complex tones after Hutchinson, W., & Knopoff, L. (1978), The
// acoustic component of Western consonance, Interface 7(1), 1–29, in the form
// of Mashinter, K. (2006), Calculating sensory dissonance, Empirical
// Musicology Review 1(2), 65–84:
//
//	CBW = 1.72·f̄^0.65    y = |f1−f2|/CBW    g(y) = [(y/0.25)·e^(1−y/0.25)]², 0 for y > 1.2
//	R   = Σ a_i a_j g_ij / Σ a_i²
//
// Each tone has 11 harmonics of amplitude 1/n; coincident partials are summed.
// Values for dyads depend on that choice: printed tables (Hutchinson & Knopoff
// 1979) give .0551 for the major third, this parametrisation .0703. Sethares'
// (1993) and Vassilakis' (2001) models rank chords alike and are not used.
const (
	harmonics       = 11
	roughnessCutoff = 1.2
)

// criticalBandwidth is Mashinter's critical bandwidth in Hz around two frequencies.
func criticalBandwidth(f1, f2 float64) float64 { return 1.72 * math.Pow((f1+f2)/2, 0.65) }

// pureRoughness is g(y): 0 at unison, 1 at a quarter of a critical bandwidth.
func pureRoughness(y float64) float64 {
	if y > roughnessCutoff {
		return 0
	}
	v := y / 0.25 * math.Exp(1-y/0.25)
	return v * v
}

// hertz is the frequency of a MIDI pitch at A4 = 440 Hz.
func hertz(midi float64) float64 { return 440 * math.Exp2((midi-69)/12) }

// pair holds what two tones (or one tone with itself) add to numerator and
// denominator of R. Both sums run over pairs of partials, so the roughness of
// any chord is exactly the sum over its pairs of tones: no partial needs to be
// looked at twice.
type pair struct{ rough, energy float64 }

// tonePair is the contribution of the tones at MIDI pitches a and b, a ≠ b.
func tonePair(a, b int) pair {
	var p pair
	fa, fb := hertz(float64(a)), hertz(float64(b))
	reachA, reachB := reachOf(fa), reachOf(fb)
	for i := 1; i <= harmonics; i++ {
		x, reach := fa*float64(i), reachA*partialReach[i]
		for j := 1; j <= harmonics; j++ {
			y := fb * float64(j)
			apart := math.Abs(x - y)
			if apart > max(reach, reachB*partialReach[j]) {
				continue // beyond the cut-off, seen without taking a power
			}
			amplitude := 1 / float64(i*j)
			if apart < 1e-6*x { // one partial: amplitudes add, (a+b)² = a²+b²+2ab
				p.energy += 2 * amplitude
				continue
			}
			p.rough += amplitude * pureRoughness(apart/criticalBandwidth(x, y))
		}
	}
	return p
}

// reachOf is how far from a frequency another can be rough with it at most.
func reachOf(f float64) float64 { return roughnessCutoff * criticalBandwidth(f, f) }

// partialReach scales the reach of a tone to its partials.
var partialReach = func() (r [harmonics + 1]float64) {
	for i := range r {
		r[i] = math.Pow(float64(i), 0.65)
	}
	return r
}()

// singleTone is the contribution of one tone alone.
func singleTone(a int) pair {
	var p pair
	f := hertz(float64(a))
	for i := 1; i <= harmonics; i++ {
		p.energy += 1 / float64(i*i)
		for j := i + 1; j <= harmonics; j++ {
			x, y := f*float64(i), f*float64(j)
			if y-x > reachOf(f)*partialReach[j] {
				break
			}
			p.rough += pureRoughness((y-x)/criticalBandwidth(x, y)) / float64(i*j)
		}
	}
	return p
}

// Roughness is the Hutchinson–Knopoff roughness of different MIDI pitches
// sounding together: about .12 for a close major triad around middle C, .48
// for a minor second there. An empty chord has none.
func Roughness(midi []int) float64 {
	var t roughTable
	return t.of(midi)
}

// roughTable remembers the pairs it has seen. The zero value is ready.
type roughTable struct {
	single [128]pair
	pairs  [128][]pair // by lower pitch, then interval
}

func (t *roughTable) of(midi []int) float64 {
	var sum pair
	for i, a := range midi {
		sum.add(t.tone(a))
		for _, b := range midi[:i] {
			sum.add(t.interval(min(a, b), max(a, b)))
		}
	}
	if sum.energy == 0 {
		return 0
	}
	return sum.rough / sum.energy
}

func (p *pair) add(q pair) { p.rough += q.rough; p.energy += q.energy }

func (t *roughTable) tone(a int) pair {
	a = min(max(a, 0), 127)
	if t.single[a].energy == 0 {
		t.single[a] = singleTone(a)
	}
	return t.single[a]
}

// maxRoughInterval is the widest interval worth a look: beyond five octaves
// the lower tone's eleventh harmonic lies far below the upper tone.
const maxRoughInterval = 60

func (t *roughTable) interval(low, high int) pair {
	low, high = min(max(low, 0), 127), min(max(high, 0), 127)
	d := high - low
	if d == 0 || d > maxRoughInterval {
		return pair{}
	}
	if t.pairs[low] == nil {
		t.pairs[low] = make([]pair, maxRoughInterval+1)
		for i := range t.pairs[low] {
			t.pairs[low][i].energy = math.NaN()
		}
	}
	p := &t.pairs[low][d]
	if math.IsNaN(p.energy) {
		*p = tonePair(low, high)
	}
	return *p
}
