package spectrum

import (
	"math"
	"slices"
)

// The range of semitones that is heard, as MIDI keys, and the time between frames.
const (
	Lowest  = 28
	Highest = 103
	Bands   = Highest - Lowest + 1
	Hop     = 441 // samples: 20 ms
)

// The frames: long ones part the low semitones, short ones follow the high.
const (
	longFrame  = 4096
	shortFrame = 2048
	longBelow  = 58 // MIDI key
)

// Frame is one value a semitone, from Lowest up.
type Frame [Bands]float32

// Hearing is what a follower hears.
type Hearing struct {
	Strength []Frame // how strong each semitone is, on a logarithmic scale
	Onset    []Frame // how much stronger it has become
	Tuning   float64 // semitones above a' = 440 Hz, -0.5 to 0.5
}

// Hear listens to samples.
func Hear(x []float32) *Hearing {
	h := &Hearing{Tuning: Tuning(x)}
	low, high := newBank(longFrame, h.Tuning), newBank(shortFrame, h.Tuning)
	const split = longBelow - Lowest
	h.Strength = make([]Frame, len(x)/Hop+1)
	for t := range h.Strength {
		f := &h.Strength[t]
		low.hear(x, t*Hop, 0, split, 1, f)
		high.hear(x, t*Hop, split, Bands, 4, f) // half as many samples: a quarter of the power
	}
	compress(h.Strength)
	h.Onset = rises(h.Strength)
	return h
}

// bank gathers the bins of a transform into semitones.
type bank struct {
	fft    *fft
	power  []float64
	from   [Bands]int // bins of each semitone
	to     [Bands]int
	weight [Bands]float64
}

func newBank(size int, tuning float64) *bank {
	b := &bank{fft: newFFT(size), power: make([]float64, size/2+1)}
	bin := func(key float64) float64 { return frequency(key) * float64(size) / Rate }
	for i := range Bands {
		key := float64(Lowest+i) + tuning
		b.from[i], b.to[i] = int(math.Ceil(bin(key-0.5))), int(math.Ceil(bin(key+0.5)))
		if b.to[i] <= b.from[i] { // narrower than a bin
			b.from[i] = int(math.Round(bin(key)))
			b.to[i] = b.from[i] + 1
		}
		b.weight[i] = 1 / math.Sqrt(float64(b.to[i]-b.from[i]))
	}
	return b
}

// hear fills some bands of a frame centred on a sample.
func (b *bank) hear(x []float32, centre, first, end int, gain float64, out *Frame) {
	b.fft.power(x, centre-b.fft.size/2, b.power)
	for i := first; i < end; i++ {
		sum := 0.0
		for _, p := range b.power[b.from[i]:b.to[i]] {
			sum += p
		}
		out[i] = float32(sum * b.weight[i] * gain)
	}
}

// frequency of a MIDI key in hertz, a' at 440.
func frequency(key float64) float64 { return 440 * math.Exp2((key-69)/12) }

// compress makes strengths logarithmic, so that soft tones count beside loud
// ones: log(1+1000e), e against the strongest semitone of all but the loudest
// twentieth of the frames.
func compress(frames []Frame) {
	top := make([]float64, len(frames))
	for t := range frames {
		top[t] = float64(slices.Max(frames[t][:]))
	}
	usual := max(Percentile(top, 0.95), 1e-12)
	for t := range frames {
		for i, e := range frames[t] {
			frames[t][i] = float32(math.Log1p(1000 * float64(e) / usual))
		}
	}
}

// rises is by how much each semitone grows from the frame before to the one after.
func rises(frames []Frame) []Frame {
	out := make([]Frame, len(frames))
	for t := 1; t+1 < len(frames); t++ {
		for i := range Bands {
			out[t][i] = max(0, frames[t+1][i]-frames[t-1][i])
		}
	}
	return out
}

// Percentile of a list, p from 0 to 1; 0 of an empty one. The list is left alone.
func Percentile(v []float64, p float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return v[min(int(p*float64(len(v))), len(v)-1)]
}

// Pitches measures semitones at any time.
type Pitches struct {
	x         []float32
	low, high *bank
}

// NewPitches readies samples of an instrument tuned so many semitones above 440 Hz.
func NewPitches(x []float32, tuning float64) *Pitches {
	return &Pitches{x, newBank(longFrame, tuning), newBank(shortFrame, tuning)}
}

// At fills in the power of each semitone around a time in seconds.
func (p *Pitches) At(time float64, out *Frame) {
	const split = longBelow - Lowest
	p.low.hear(p.x, int(time*Rate), 0, split, 1, out)
	p.high.hear(p.x, int(time*Rate), split, Bands, 4, out)
}
