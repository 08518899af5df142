package spectrum

import (
	"math"
	"math/bits"
	"math/cmplx"
)

// fft transforms real frames of one length, a power of two, by the
// decimation-in-time algorithm of Cooley & Tukey 1965, "An algorithm for the
// machine calculation of complex Fourier series": the even samples as real, the
// odd as imaginary parts of half as many.
type fft struct {
	size   int
	window []float64
	turn   []complex128 // e^(-2πik/size), k below size/2
	order  []int        // bit-reversed indices of the half-size transform
	work   []complex128
}

func newFFT(size int) *fft {
	half := size / 2
	f := &fft{size: size, window: make([]float64, size), turn: make([]complex128, half), order: make([]int, half), work: make([]complex128, half)}
	for i := range f.window {
		f.window[i] = 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(size)) // Hann's
	}
	for k := range f.turn {
		f.turn[k] = cmplx.Rect(1, -2*math.Pi*float64(k)/float64(size))
	}
	shift := 64 - bits.Len(uint(half-1))
	for i := range f.order {
		f.order[i] = int(bits.Reverse64(uint64(i)) >> shift)
	}
	return f
}

// power fills out, size/2+1 long, with the power of each bin of the frame that
// begins at a sample; what lies outside of the samples is silent.
func (f *fft) power(x []float32, from int, out []float64) {
	at := func(i int) float64 {
		if j := from + i; j >= 0 && j < len(x) {
			return float64(x[j]) * f.window[i]
		}
		return 0
	}
	for i, j := range f.order {
		f.work[i] = complex(at(2*j), at(2*j+1))
	}
	f.transform()
	half := f.size / 2
	for k := 1; k < half; k++ {
		a, b := f.work[k], cmplx.Conj(f.work[half-k])
		z := (a+b)/2 - complex(0, 1)*f.turn[k]*(a-b)/2
		out[k] = real(z)*real(z) + imag(z)*imag(z)
	}
	re, im := real(f.work[0]), imag(f.work[0])
	out[0], out[half] = (re+im)*(re+im), (re-im)*(re-im)
}

// transform is the half-size complex transform of work, in bit-reversed order.
func (f *fft) transform() {
	n := len(f.work)
	for size := 2; size <= n; size *= 2 {
		step := f.size / size
		for from := 0; from < n; from += size {
			a, b := f.work[from:from+size/2], f.work[from+size/2:from+size]
			for k := range a {
				t := f.turn[k*step] * b[k]
				a[k], b[k] = a[k]+t, a[k]-t
			}
		}
	}
}
