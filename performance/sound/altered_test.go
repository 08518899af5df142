package sound_test

import (
	"bytes"
	"math"
	"testing"

	"hairpin/performance/sound"
)

// strokes are sixty dying tones, a third of a second each, as loud as told in
// decibels, through a gain.
func strokes(t *testing.T, level func(i int) float64, gain func(float64) float64) *sound.Sound {
	t.Helper()
	const rate, long = 22050, 7350
	var b []byte
	for i := range 60 {
		top := math.Pow(10, level(i)/20)
		for k := range long {
			x := top * math.Exp(-float64(k)/2500) * math.Sin(2*math.Pi*330*float64(k)/rate)
			b = sample(b, min(max(gain(x), -1), 1-1.0/(1<<15)), 16, false)
		}
	}
	s, err := sound.Read(bytes.NewReader(wav(format(1, 1, rate, 16), b)), sound.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// rising goes from -30 to -6 dB in the last third.
func rising(i int) float64 { return -30 + 24*max(float64(i-40)/20, 0) }

// Strokes 24 dB apart stay 20 dB and more apart, and a compressor of 8 to 1 leaves an
// eighth; what is driven into the top is cut off.
func TestSpreadAndClipped(t *testing.T) {
	plain := func(x float64) float64 { return x }
	pressed := func(x float64) float64 { return math.Copysign(0.5*math.Pow(math.Abs(x), 0.125), x) }
	driven := func(x float64) float64 { return 8 * x }
	for _, c := range []struct {
		name    string
		gain    func(float64) float64
		lo, hi  float64
		clipped bool
	}{
		{"as it is", plain, 19, 24, false},
		{"compressed", pressed, 1, 3.2, false},
		{"driven", driven, 5, 24, true},
	} {
		s := strokes(t, rising, c.gain)
		if d := s.Spread(); d < c.lo || d > c.hi || s.Clipped() != c.clipped {
			t.Errorf("%s: spread %.1f dB, want %v to %v; clipped %v", c.name, d, c.lo, c.hi, s.Clipped())
		}
	}
}
