package sound

import (
	"hairpin/report"
	"hairpin/score"
)

// proposedLevels is a proposal for the whole, the line or each beat: every part keeps
// its own printed level, bent as the whole is, and every note its place in the sound.
func proposedLevels(r *report.Reading, whole func(score.Tick) float64) levels {
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
			return max(level+whole(at)-r.Page.Whole.At(at), 0.5)
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
