package follow

import (
	"math"

	"hairpin/performance/spectrum"
)

// frameTime is the time of a frame.
func frameTime(t int) float64 { return float64(t) * spectrum.Hop / spectrum.Rate }

// refine makes runs of a path over frames, each place at the onset nearest to
// where the path entered it.
func (p *page) refine(x []float32, path []step) *Following {
	onsets := spectrum.NewOnsets(x, 64, 512)
	f := &Following{Sure: 1}
	var run Run
	begin := 0
	close := func() { f.close(run, begin); run = Run{} }
	for t, s := range path {
		if t > 0 && (s.move == moveJump || s.move >= moveSign) {
			close()
		}
		if t > 0 && s.move == moveStay {
			continue
		}
		run.Points = append(run.Points, Point{p.places[s.place].at, onsetNear(onsets, frameTime(t))})
	}
	close()
	return f
}

// onsetNear is the time of the strongest onset near a time.
func onsetNear(o *spectrum.Onsets, time float64) float64 {
	const before, after, late, width = 0.06, 0.07, 0.005, 0.035
	a, b := o.Between(time-before, time+after)
	best, top := time, 0.0
	for i := a; i < b; i++ {
		off := (float64(i)*o.Step - time - late) / width
		if x := o.Strength[i] * math.Exp(-off*off/2); x > top {
			best, top = float64(i)*o.Step, x
		}
	}
	return best
}
