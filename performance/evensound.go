package performance

import (
	"math"

	"hairpin/performance/spectrum"
	"hairpin/score"
)

// Strokes are heard in what rises in the milliseconds around them: where tones ring
// on into the next stroke, in the energy above attackFrom alone, else in all of it.
const (
	attackFrom  = 2500.0 // hertz
	attackStep  = 32     // samples: 1.5 ms
	attackFrame = 256    // samples: 12 ms
	smoothSteps = 4      // on each side
	leastAttack = 0.25   // of a strong one
	allFrom     = 100.0  // hertz, against rumble
	dry         = 0.11   // of the power after a stroke was there before: below, tones do not ring on
)

// attacks is what evenness is heard by.
type attacks struct {
	onsets    *spectrum.Onsets
	all, high *spectrum.Energy
	peaks     []int // steps
}

func newAttacks(x []float32) *attacks {
	a := &attacks{onsets: spectrum.NewOnsets(x, attackStep, attackFrame), all: spectrum.NewEnergy(x, allFrom), high: spectrum.NewEnergy(x, attackFrom)}
	v := hann(a.onsets.Strength)
	a.onsets.Strength = v
	least := leastAttack * spectrum.Percentile(v, 0.98)
	for i := 2; i+2 < len(v); i++ {
		if v[i] >= least && v[i] >= v[i-1] && v[i] > v[i+1] {
			a.peaks = append(a.peaks, i)
		}
	}
	return a
}

// hann is a list under a Hann window.
func hann(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		sum, weight := 0.0, 0.0
		for d := -smoothSteps; d <= smoothSteps; d++ {
			if j := i + d; j >= 0 && j < len(v) {
				w := 0.5 + 0.5*math.Cos(math.Pi*float64(d)/(smoothSteps+1))
				sum, weight = sum+w*v[j], weight+w
			}
		}
		out[i] = sum / weight
	}
	return out
}

// soundListener hears strokes in sound, which is listened to once it is needed.
func (p *Playing) soundListener(s *score.Score, x []float32) listener {
	var a *attacks
	return func(y passage, run int) []stroke {
		index, times := inRun(s, y, p.Runs[run])
		if float64(len(index)) < leastHeard*float64(len(y.notes)) {
			return nil
		}
		if a == nil {
			a = newAttacks(x)
		}
		var out []stroke
		settled, found := a.settle(index, times)
		energy := a.energy(settled)
		for i, k := range index {
			if n := s.Notes[y.notes[k]]; found[i] {
				after, before := around(energy, settled[i])
				level := spectrum.Decibels(max(after-0.5*before, 0.05*after))
				out = append(out, stroke{k, settled[i], level, accented(n), n.Pitch.Key()})
			}
		}
		return out
	}
}

// rounds is how often the strokes are settled on the beats around them.
const rounds = 3

// settle moves each stroke to the attack nearest to where its neighbours lead to
// expect it; found says which have one.
func (a *attacks) settle(index []int, times []float64) (settled []float64, found []bool) {
	for range rounds {
		expected, gap := expect(index, times)
		settled, found = make([]float64, len(times)), make([]bool, len(times))
		for i := range times {
			settled[i], found[i] = a.nearest(expected[i], gap[i])
		}
		times = settled
	}
	return settled, found
}

// expect is where a straight line through the strokes around puts each, and how far
// apart strokes are there (slope: median of pairs; offset: median).
func expect(index []int, times []float64) (expected, gap []float64) {
	const around = 6
	for i := range times {
		from, to := max(i-around, 0), min(i+around+1, len(times))
		var slopes, offsets []float64
		for a := from; a < to; a++ {
			for b := a + 1; b < to; b++ {
				slopes = append(slopes, (times[b]-times[a])/float64(index[b]-index[a]))
			}
		}
		slope := 0.0
		if len(slopes) > 0 {
			slope = median(slopes)
		}
		for a := from; a < to; a++ {
			offsets = append(offsets, times[a]-slope*float64(index[a]-index[i]))
		}
		expected, gap = append(expected, median(offsets)), append(gap, slope)
	}
	return expected, gap
}

// nearest is the strongest attack about an expected time, else that time.
func (a *attacks) nearest(time, gap float64) (float64, bool) {
	const within, spread = 0.45, 0.3 // of the gap
	best, top := time, 0.0
	v := a.onsets.Strength
	for _, i := range a.peaks {
		t := float64(i) * a.onsets.Step
		off := t - time
		if math.Abs(off) >= within*gap {
			continue
		}
		off /= spread * gap
		if x := v[i] * math.Exp(-off*off/2); x > top {
			best, top = t+a.onsets.Step*summit(v[i-1], v[i], v[i+1]), x
		}
	}
	return best, top > 0
}

// summit is where between -0.5 and 0.5 the parabola through three values peaks.
func summit(a, b, c float64) float64 {
	if d := a - 2*b + c; d < 0 {
		return max(-0.5, min(0.5, 0.5*(a-c)/d))
	}
	return 0
}

// energy is what the strokes' loudness is told by.
func (a *attacks) energy(times []float64) *spectrum.Energy {
	var rings []float64
	for _, t := range times {
		after, before := around(a.all, t)
		rings = append(rings, before/max(after, 1e-12))
	}
	if median(rings) < dry {
		return a.all
	}
	return a.high
}

// around is the power just after and just before a stroke.
func around(e *spectrum.Energy, time float64) (after, before float64) {
	return e.Power(time+0.002, time+0.028), e.Power(time-0.03, time-0.008)
}
