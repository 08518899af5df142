package phrasing

import (
	"testing"

	"hairpin/score"
)

// TestMoveSums checks that equal stretches of a line have equal sums, and that
// steps up and down, or the same steps in another order, are told apart.
func TestMoveSums(t *testing.T) {
	v := &surface{s: &score.Score{Division: 1}}
	var l line
	at := score.Tick(0)
	for i, step := range []int{0, 1, 2, 3, 4, 3, 2, 1, 0, 1, 2, 3, 4, 5, 4, 5, 5} {
		v.s.Notes = append(v.s.Notes, score.Note{Onset: at, Duration: 1, Pitch: score.Pitch{Step: step, Octave: 4}})
		l.events = append(l.events, event{at, at + 1, i})
		at++
	}
	m := v.sumMoves(l)
	up, down, again, more := m.between(0, 4), m.between(4, 8), m.between(8, 12), m.between(9, 13)
	if up != again || up != more {
		t.Error("four steps up differ from four steps up")
	}
	if up == down || m.between(12, 15) == m.between(13, 16) || m.between(3, 5) == m.between(7, 9) {
		t.Error("other moves have the same sum")
	}
}
