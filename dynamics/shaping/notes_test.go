package shaping

import (
	"math/rand/v2"
	"testing"

	"hairpin/score"
)

// TestTopNotes compares with the definition, note by note.
func TestTopNotes(t *testing.T) {
	rnd := rand.New(rand.NewPCG(6, 1))
	for range 50 {
		s := &score.Score{}
		at := score.Tick(0)
		for range 60 {
			at += score.Tick(rnd.IntN(3))
			s.Notes = append(s.Notes, score.Note{Onset: at, Duration: score.Tick(rnd.IntN(6)), Pitch: score.Pitch{Octave: rnd.IntN(6)}})
		}
		for i, top := range topNotes(s) {
			if top != isTop(s.Notes, i) {
				t.Fatalf("note %d of %v: top is %v", i, s.Notes, top)
			}
		}
	}
}

// isTop reports whether no note that sounds, or is struck with this one, is higher.
// A grace note is heard against what stands before it.
func isTop(notes []score.Note, i int) bool {
	n := notes[i]
	for k, o := range notes {
		before := k < i && o.End() > n.Onset
		with := k > i && o.Onset == n.Onset && n.Duration > 0
		if (before || with) && o.Pitch.MIDI() > n.Pitch.MIDI() {
			return false
		}
	}
	return true
}
