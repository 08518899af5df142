package spectrum

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"
)

// Tuning is how far an instrument is tuned above a' = 440 Hz, in semitones from
// -0.5 to 0.5, by the first minute: the circular mean of how far the strongest
// partials lie from the semitones.
func Tuning(x []float32) float64 {
	const size, lowest, highest, strongest = 8192, 200.0, 2000.0, 40
	mean := meanPower(x[:min(len(x), 60*Rate)], size)
	type peak struct{ bin, power float64 }
	var peaks []peak
	for i := int(math.Floor(lowest * size / Rate)); float64(i) < highest*size/Rate; i++ {
		if mean[i] > mean[i-1] && mean[i] > mean[i+1] {
			peaks = append(peaks, peak{float64(i) + summit(mean[i-1], mean[i], mean[i+1]), mean[i]})
		}
	}
	slices.SortFunc(peaks, func(a, b peak) int { return cmp.Compare(b.power, a.power) })
	var sum complex128
	for _, p := range peaks[:min(len(peaks), strongest)] {
		key := 69 + 12*math.Log2(p.bin*Rate/size/440)
		sum += cmplx.Rect(math.Sqrt(p.power), 2*math.Pi*key)
	}
	if sum == 0 {
		return 0
	}
	return cmplx.Phase(sum) / (2 * math.Pi)
}

// meanPower of the bins over the samples.
func meanPower(x []float32, size int) []float64 {
	f := newFFT(size)
	mean, one := make([]float64, size/2+1), make([]float64, size/2+1)
	for at := 0; at < len(x); at += size / 2 {
		f.power(x, at, one)
		for i, p := range one {
			mean[i] += p
		}
	}
	return mean
}

// summit is where between -0.5 and 0.5 the parabola through three logarithms peaks.
func summit(a, b, c float64) float64 {
	a, b, c = math.Log(a+1e-12), math.Log(b+1e-12), math.Log(c+1e-12)
	if d := a - 2*b + c; d < 0 {
		return max(-0.5, min(0.5, 0.5*(a-c)/d))
	}
	return 0
}
