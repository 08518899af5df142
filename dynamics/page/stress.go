package page

import (
	"math"
	"sort"

	"hairpin/score"
)

// Stress is what marks such as sf add at one moment to the whole.
type Stress struct {
	Size float64 // steps
	Sign string
}

// StressAt adds up the marks of stress at t as powers: where one part of
// several has an sf, the whole grows by less than the part.
func (p *Page) StressAt(t score.Tick, parts int) Stress {
	i := sort.Search(len(p.Accents), func(i int) bool { return p.Accents[i].At >= t })
	size, out := make([]float64, parts), Stress{}
	for ; i < len(p.Accents) && p.Accents[i].At == t; i++ {
		if a := p.Accents[i]; a.Size >= sfSize && a.Part < parts {
			size[a.Part], out.Sign = max(size[a.Part], a.Size), a.Sign
		}
	}
	if out.Sign == "" {
		return out
	}
	with, without := 0.0, 0.0
	for part, steps := range size {
		level := p.Parts[part].At(t)
		with, without = with+math.Pow(stepRatio, level+steps), without+math.Pow(stepRatio, level)
	}
	out.Size = log(with / without)
	return out
}
