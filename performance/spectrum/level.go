package spectrum

import "math"

// Energy lets the power of a stretch of sound be asked for at once.
type Energy struct {
	sum []float64 // of the squares of all samples before each
}

// NewEnergy sums up the energy above a frequency in hertz: a second-order
// Butterworth high-pass (bilinear transform; Oppenheim & Schafer 1989,
// "Discrete-Time Signal Processing", ch. 7; citation from memory).
func NewEnergy(x []float32, above float64) *Energy {
	k := math.Tan(math.Pi * above / Rate)
	norm := 1 / (1 + math.Sqrt2*k + k*k)
	a1, a2 := 2*(k*k-1)*norm, (1-math.Sqrt2*k+k*k)*norm
	e := &Energy{make([]float64, len(x)+1)}
	var x1, x2, y1, y2 float64
	for i, v := range x {
		y := norm*(float64(v)-2*x1+x2) - a1*y1 - a2*y2
		x1, x2, y1, y2 = float64(v), x1, y, y1
		e.sum[i+1] = e.sum[i] + y*y
	}
	return e
}

// Power is the mean power between two times in seconds.
func (e *Energy) Power(from, to float64) float64 {
	a, b := e.index(from), e.index(to)
	if b <= a {
		return 0
	}
	return (e.sum[b] - e.sum[a]) / float64(b-a)
}

func (e *Energy) index(t float64) int { return max(0, min(len(e.sum)-1, int(t*Rate))) }

// The loudest moment is that of so many seconds, looked for at steps of so many.
const (
	momentLong = 0.05
	momentStep = 0.01
)

// Loudest is the level of the loudest 50 ms that begin between two times, in
// decibels below full scale.
func (e *Energy) Loudest(from, to float64) float64 {
	top := 0.0
	for t := from; t < to || t == from; t += momentStep {
		top = max(top, e.Power(t, t+momentLong))
	}
	return Decibels(top)
}

// Decibels of a power; silence is -100.
func Decibels(power float64) float64 { return 10 * math.Log10(power+1e-10) }
