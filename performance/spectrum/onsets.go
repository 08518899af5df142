package spectrum

import "math"

// Onsets is how strongly tones begin at each step, any pitch.
type Onsets struct {
	Strength []float64
	Step     float64 // seconds
}

// riseSpan is over how many steps a rise is measured.
const riseSpan = 3

// NewOnsets listens at steps of so many samples with frames of so many, a power of
// two: the sum over the bins of all rises of the logarithmic spectrum.
func NewOnsets(x []float32, step, frame int) *Onsets {
	o := &Onsets{Strength: make([]float64, len(x)/step+1), Step: float64(step) / Rate}
	f := newFFT(frame)
	usual := usualTop(f, x, 16*step)
	var rows [riseSpan + 1][]float64
	for i := range rows {
		rows[i] = make([]float64, frame/2+1)
	}
	for t := range o.Strength {
		now, before := rows[t%len(rows)], rows[(t+1)%len(rows)]
		f.power(x, t*step-frame/2, now)
		for i, p := range now {
			now[i] = math.Log1p(1000 * p / usual)
		}
		if t < riseSpan {
			continue
		}
		sum := 0.0
		for i, p := range now {
			sum += max(0, p-before[i])
		}
		o.Strength[t-1] = sum
	}
	return o
}

// usualTop is the strongest bin of all but the loudest twentieth of the frames.
func usualTop(f *fft, x []float32, step int) float64 {
	var tops []float64
	row := make([]float64, f.size/2+1)
	for at := 0; at < len(x); at += step {
		f.power(x, at-f.size/2, row)
		top := 0.0
		for _, p := range row {
			top = max(top, p)
		}
		tops = append(tops, top)
	}
	return max(Percentile(tops, 0.95), 1e-12)
}
