// Package performance lays a recorded playing over the score: where the player
// was, how loud and how fast each beat was, what was missed, and what became of
// the printed hairpins.
package performance

import (
	"hairpin/internal/midi"
	"hairpin/performance/follow"
	"hairpin/score"
)

func Temp(s *score.Score, list []midi.Stroke) *follow.Following {
	x := make([]follow.Stroke, len(list))
	for i, l := range list {
		x[i] = follow.Stroke{On: l.On, Key: l.Key}
	}
	return follow.Strokes(s, x)
}

type Slot struct{ At, End score.Tick }

func Grid(s *score.Score) (out []Slot) {
	for _, g := range grid(s) {
		out = append(out, Slot{g.at, g.end})
	}
	return
}
