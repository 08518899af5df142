package spectrum_test

import (
	"math"
	"testing"

	"hairpin/performance/spectrum"
)

// sine is a tone of so many seconds.
func sine(hertz, amplitude, seconds float64) []float32 {
	x := make([]float32, int(seconds*spectrum.Rate))
	for i := range x {
		x[i] = float32(amplitude * math.Sin(2*math.Pi*hertz*float64(i)/spectrum.Rate))
	}
	return x
}

// A semitone is a factor of the twelfth root of two: a' of 442 Hz lies
// 12·log2(442/440) = 0.0785 semitones above 440.
func TestTuning(t *testing.T) {
	for hertz, want := range map[float64]float64{440: 0, 442: 0.0785, 430: 12 * math.Log2(430.0/440)} {
		if got := spectrum.Tuning(sine(hertz, 0.3, 3)); math.Abs(got-want) > 0.02 {
			t.Errorf("%v Hz: %v semitones, want %v", hertz, got, want)
		}
	}
	if got := spectrum.Tuning(make([]float32, 1000)); math.Abs(got) > 1e-9 {
		t.Errorf("silence is tuned to %v", got)
	}
}

// Below about key 46 a semitone is narrower than what a frame can part.
func TestHearFindsTheSemitone(t *testing.T) {
	for key := 46; key <= spectrum.Highest; key += 7 {
		h := spectrum.Hear(sine(440*math.Exp2(float64(key-69)/12), 0.3, 1))
		f := h.Strength[len(h.Strength)/2]
		top := 0
		for i := range f {
			if f[i] > f[top] {
				top = i
			}
		}
		if top+spectrum.Lowest != key {
			t.Errorf("key %d is heard as %d", key, top+spectrum.Lowest)
		}
	}
}

// The power of a sine of amplitude 1 is one half, -3.01 dB. A second-order
// Butterworth high-pass passes a frequency f with 1/(1+(f0/f)^4) of its power
// (Butterworth 1930, "On the theory of filter amplifiers"; from memory).
func TestEnergy(t *testing.T) {
	for _, x := range []struct{ hertz, above, want float64 }{
		{1000, 60, -3.01},
		{60, 60, -3.01 - 3.01},
		{30, 60, -3.01 - 10*math.Log10(17)},
	} {
		e := spectrum.NewEnergy(sine(x.hertz, 1, 2), x.above)
		if got := spectrum.Decibels(e.Power(1, 1.9)); math.Abs(got-x.want) > 0.15 {
			t.Errorf("%v Hz above %v: %v dB, want %v", x.hertz, x.above, got, x.want)
		}
	}
}

func TestLoudestFindsTheBurst(t *testing.T) {
	x := sine(500, 0.01, 2)
	copy(x[spectrum.Rate:], sine(500, 1, 0.05))
	e := spectrum.NewEnergy(x, 60)
	if got := e.Loudest(0.5, 1.5); math.Abs(got+3.01) > 0.3 {
		t.Errorf("the burst is at %v dB", got)
	}
	if got := e.Loudest(0.2, 0.8); math.Abs(got+43.01) > 0.3 {
		t.Errorf("before it, %v dB", got)
	}
}

func TestOnsetsFindTheStart(t *testing.T) {
	x := make([]float32, spectrum.Rate)
	copy(x[spectrum.Rate/2:], sine(600, 0.5, 0.5))
	o := spectrum.NewOnsets(x, 64, 512)
	top := 0
	for i, s := range o.Strength {
		if s > o.Strength[top] {
			top = i
		}
	}
	if at := float64(top) * o.Step; math.Abs(at-0.5) > 0.012 {
		t.Errorf("the tone starts at %v, want 0.5", at)
	}
}

func TestPercentile(t *testing.T) {
	v := []float64{5, 1, 4, 2, 3}
	if got := spectrum.Percentile(v, 0.5); math.Abs(got-3) > 1e-9 || math.Abs(v[0]-5) > 1e-9 {
		t.Errorf("median %v of %v", got, v)
	}
	if got := spectrum.Percentile(nil, 0.5); math.Abs(got) > 1e-9 {
		t.Errorf("of nothing %v", got)
	}
}
