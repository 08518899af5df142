package sound

import (
	"hairpin/report"
	"hairpin/score"
)

// shapedLevels is the proposal inside the printed marks: every part keeps its
// own printed level, bent as the whole is, and every note its place in it.
func shapedLevels(r *report.Reading) levels {
	printed := printedLevels(r)
	voicing := make(map[int]float64, len(r.Score.Notes)) // by the source's note element
	for i, n := range r.Score.Notes {
		if len(n.Source) > 0 && i < len(r.Shaping.Notes) {
			voicing[n.Source[0]] = r.Shaping.Notes[i] - r.Shaping.At(n.Onset)
		}
	}
	return levels{
		level: func(part, staff int, at score.Tick) float64 {
			level := printed.level(part, staff, at)
			if len(r.Shaping.Proposals) == 0 || level <= 0 {
				return level
			}
			return max(level+r.Shaping.At(at)-r.Page.Whole.At(at), 0.5)
		},
		accent: func(n score.Note) float64 {
			size := 0.0
			if n.Signs&accentSigns == 0 { // otherwise the proposal has it
				size = printed.accent(n)
			}
			if len(n.Source) > 0 {
				size += voicing[n.Source[0]]
			}
			return size
		},
	}
}
