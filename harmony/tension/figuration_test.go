package tension

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// broken writes a chord of one bar as eighth notes, one at a time, over and over.
func broken(t *testing.T, k tonal.Key, roman string, order []int) (*score.Score, *Course) {
	t.Helper()
	s, a, err := RateSequence(k, []Written{{Key: k, Roman: written.Pick(k, "I", "i"), Quarters: 4}, {Key: k, Roman: roman, Quarters: 4}}, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	var block []score.Note
	kept := s.Notes[:0]
	for _, n := range s.Notes {
		if n.Onset == a.Chords[1].Start {
			block = append(block, n)
		} else {
			kept = append(kept, n)
		}
	}
	s.Notes = kept
	eighth := s.Division / 2
	for i := 0; i < 8; i++ {
		n := block[order[i%len(order)]]
		n.Onset, n.Duration, n.Voice = a.Chords[1].Start+score.Tick(i)*eighth, eighth, 1
		s.Notes = append(s.Notes, n)
	}
	a.Slices = tonal.Slices(s, 0)
	a.Rate(s, Weights{1, 1, 1})
	return s, a
}

// A broken dominant seventh is heard as a dominant seventh, however it is broken.
func TestBrokenChordsKeepTheirDissonance(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		block := sequence(t, k, written.Pick(k, "I", "i"), "V7").Moments[1].Tension.Dissonance
		for _, order := range [][]int{{0, 2, 3, 4}, {0, 4, 2, 4}, {4, 3, 2, 0}, {0, 2, 4, 2}, {1, 2, 3, 4}} {
			_, a := broken(t, k, "V7", order)
			for _, m := range a.Moments[1:] {
				if m.Tension.Dissonance < 5 || m.Tension.Dissonance > block+25 {
					t.Errorf("%s, broken as %v: dissonance %.1f, as a block %.1f", k, order, m.Tension.Dissonance, block)
				}
			}
		}
	})
}

// The ninth of a broken dominant, reached and left by leap, sounds on in the ear.
func TestBrokenNinthSoundsOn(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		s, plain := broken(t, k, "V7", []int{1, 2, 3, 4})
		_, triad := broken(t, k, "V", []int{1, 2, 3, 1})
		ninth := k.Degree(6)
		for i := range s.Notes { // the seventh gives way to the ninth above it
			if n := &s.Notes[i]; n.Pitch.Class() == k.Degree(4) && n.Onset > plain.Chords[1].Start {
				n.Pitch = pitchAt(written.Close([]score.Class{ninth}, n.Pitch.Key()+8)[0], ninth)
			}
		}
		a := &Course{Home: k, Chords: plain.Chords, Slices: tonal.Slices(s, 0)}
		a.Rate(s, Weights{1, 1, 1})
		for i := 5; i < 8; i++ {
			if with, without := a.Moments[i].Tension.Dissonance, triad.Moments[i].Tension.Dissonance; with <= without+5 {
				t.Errorf("%s, slice %d: dissonance %.1f with the ninth, %.1f without", k, i, with, without)
			}
		}
	})
}

func TestBrokenTonicStaysConsonant(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		_, a := broken(t, k, written.Pick(k, "I", "i"), []int{0, 2, 1, 2})
		for _, m := range a.Moments[1:] {
			if m.Tension.Total > 8 {
				t.Errorf("%s: a broken tonic has tension %.1f", k, m.Tension.Total)
			}
		}
	})
}

// A minor piece may end on its major tonic (common practice, no source).
func TestMajorTonicEndsMinorPiece(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		if k.Minor {
			a := sequence(t, k, "i", "iv", "V7", "I")
			if last := a.Moments[3].Tension; last.Total > 10 || last.Distance > 0 {
				t.Errorf("%s: %+v", k, last)
			}
		}
	})
}

// A dominant that nothing answers is abandoned.
func TestUnansweredDominantFades(t *testing.T) {
	c, _ := tonal.ParseKey("C")
	a := sequence(t, c, "I", "V7", "IV", "ii", "IV", "ii", "IV", "ii")
	e := a.Expectations[0]
	if e.Release != Abandoned || e.Until <= e.From || e.Answer != -1 {
		t.Errorf("%+v", e)
	}
}
