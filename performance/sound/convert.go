package sound

import "math"

// converter changes the rate of samples to Rate by a sinc interpolator under a
// Hann window (Smith & Gossett 1984, "A flexible sampling-rate conversion method";
// citation from memory).
type converter struct {
	step   float64     // samples of the file for one of ours
	half   int         // samples of the file on each side that count
	phases [][]float64 // the interpolator at fractions of a sample
	held   []float32   // samples not done with
	first  int         // index of held[0]
	next   int         // index of the next sample of ours
	out    []float32
}

// Of the interpolator: zero crossings on each side, and fractions of a sample.
const (
	crossings = 12
	fractions = 256
)

func newConverter(rate int) *converter {
	c := &converter{step: float64(rate) / Rate}
	if rate == Rate {
		return c
	}
	cut := 0.95 * min(1, 1/c.step) // of the file's own highest frequency
	c.half = int(math.Ceil(crossings / cut))
	for f := range fractions + 1 {
		row := make([]float64, 2*c.half)
		for i := range row {
			t := float64(i-c.half+1) - float64(f)/fractions
			row[i] = cut * sinc(cut*t) * (0.5 + 0.5*math.Cos(math.Pi*max(-1, min(1, t/float64(c.half)))))
		}
		c.phases = append(c.phases, row)
	}
	c.held, c.first = make([]float32, c.half), -c.half
	return c
}

func sinc(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// take takes in samples and gives out what can be known.
func (c *converter) take(x []float32) {
	if c.phases == nil {
		c.out = append(c.out, x...)
		return
	}
	c.held = append(c.held, x...)
	for {
		at := float64(c.next) * c.step
		whole := int(at)
		from := whole - c.half + 1 - c.first
		if from+2*c.half > len(c.held) {
			break
		}
		row := c.phases[int((at-float64(whole))*fractions+0.5)]
		sum := 0.0
		for i, w := range row {
			sum += w * float64(c.held[from+i])
		}
		c.out = append(c.out, float32(sum))
		c.next++
	}
	if done := int(float64(c.next)*c.step) - c.half - c.first; done > 1<<14 {
		c.held = append(c.held[:0], c.held[done:]...)
		c.first += done
	}
}

// finish gives out the end, silence after it.
func (c *converter) finish() {
	if c.phases != nil {
		c.take(make([]float32, c.half))
	}
}
