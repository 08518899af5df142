package tension

import (
	"math"
	"slices"

	"hairpin/harmony/tonal"
)

// How the sounding notes clash is rated by three published causes at once, as
// Harrison, P. M. C., & Pearce, M. T. (2020), Simultaneous consonance in music
// perception and composition, Psychological Review 127(2), 216–244, found all
// three at work: interference of partials (Hutchinson–Knopoff roughness), fit
// to one harmonic series (their harmonicity) and familiarity (Johnson-Laird's
// rules, in place of their corpus counts).
//
// The weights are ours: the roundest ones for which the sum orders all four
// published sets of ratings (Bowling 2018 and Johnson-Laird 2012, triads and
// tetrads) with a rank correlation of at least .85; see ratings_test.go. The
// root of the roughness is taken because equal steps of roughness are heard
// less and less the rougher the chord.
const (
	weightScaleRule  = 0.25 // a step out of the major scales
	weightTriadRule  = 0.05 // no major triad in it
	weightThirdsRule = 0.10 // not a stack of thirds
	weightHarmonic   = 0.40 // a bit of harmonicity lost
)

// The raw sum is .36 for a well-spaced major triad, the zero of the scale, and
// 1.56 for four neighbouring semitones, its hundred.
const (
	triadHarmonicity = 0.9328
	clashZero        = 0.36
	clashFull        = 1.56
)

// centreKey is where every sonority is rated: its mean pitch is brought to
// middle C, where Bowling's chords lay. So transposing a piece changes nothing
// and height as such is left out of the number.
const centreKey = 60

// clashMeter rates sonorities and remembers them. It is not safe for
// concurrent use.
type clashMeter struct {
	rough roughTable
	fit   *harmonicity
	tonal map[tonal.Set]float64
	seen  map[sonority]float64
	keys  []int
}

// sonority is a set of keys around middle C, the name a meter remembers it by.
type sonority struct{ low, high uint64 }

func newClashMeter() *clashMeter {
	return &clashMeter{fit: newHarmonicity(), tonal: map[tonal.Set]float64{}, seen: map[sonority]float64{}}
}

// Dissonance rates, from 0 to 100, how the MIDI keys clash when they sound
// together: 0 for one tone, an octave or a well-spaced major triad, about 5 for
// a minor triad, 20 for a dominant seventh, 100 for a cluster. Doubled keys
// count once.
func Dissonance(midi []int) float64 { return newClashMeter().rate(midi) }

func (m *clashMeter) rate(midi []int) float64 {
	keys := m.centred(midi)
	if len(keys) < 2 {
		return 0
	}
	name := nameOf(keys)
	if v, ok := m.seen[name]; ok {
		return v
	}
	v := 100 * (m.raw(keys) - clashZero) / (clashFull - clashZero)
	v = min(max(v, 0), 100)
	m.seen[name] = v
	return v
}

func (m *clashMeter) raw(keys []int) float64 {
	s := lowest(tonal.SetOfKeys(keys))
	tonal, ok := m.tonal[s]
	if !ok {
		tonal = tonalPart(s, m.fit)
		m.tonal[s] = tonal
	}
	return math.Sqrt(m.rough.of(keys)) + tonal
}

func tonalPart(s tonal.Set, fit *harmonicity) float64 {
	return weightScaleRule*float64(scaleRule(s)) + weightTriadRule*float64(triadRule(s)) +
		weightThirdsRule*float64(thirdsRule(s)) + weightHarmonic*(triadHarmonicity-fit.of(s))
}

// centred sorts the keys, drops doubled ones and moves the whole so that its
// mean lies at middle C. The result is good until the next call.
func (m *clashMeter) centred(midi []int) []int {
	m.keys = append(m.keys[:0], midi...)
	slices.Sort(m.keys)
	m.keys = slices.Compact(m.keys)
	if len(m.keys) == 0 {
		return nil
	}
	sum := 0
	for _, k := range m.keys {
		sum += k - m.keys[0]
	}
	n := len(m.keys)
	shift := centreKey - m.keys[0] - (2*sum+n)/(2*n) // mean above the lowest, rounded: the same in every transposition
	for i := range m.keys {
		m.keys[i] += shift
	}
	return m.keys
}

func nameOf(keys []int) sonority {
	var s sonority
	for _, k := range keys {
		if k = min(max(k, 0), 127); k < 64 {
			s.low |= 1 << k
		} else {
			s.high |= 1 << (k - 64)
		}
	}
	return s
}
