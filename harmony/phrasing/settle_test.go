package phrasing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// A dominant triad that lasts a beat to a measure, and whose bass stays, runs over into the
// next downbeat only if the leading line holds over it; the lead may be any of the lines,
// the first too. Longer than a measure, shorter than a beat, or with its bass held into the
// tonic it is a place to stop. Common practice, no source.
func TestTriadHeldOver(t *testing.T) {
	for _, x := range []struct {
		name, chords, soprano string
		change                func(s *score.Score, c []tonal.Chord)
		want                  bool
	}{
		{"the lead moves", "I:4 ii6:4 V:4 I:4 IV:4", "3 2 7 1 1", nil, false},
		{"the lead holds", "I:4 ii6:4 V:4 I:4 IV:4", "3 2 7 1 1", hold, true},
		{"for more than a measure", "I:4 ii6:3 V:5 I:4 IV:4", "3 2 7 1 1", hold, false},
		{"for a beat", "I:4 ii6:3 V:1 I:4 IV:4", "3 2 7 1 1", hold, true},
		{"for less than a beat", "I:4 ii6:3 V:1 I:4 IV:4", "3 2 7 1 1", func(s *score.Score, c []tonal.Chord) { c[2].Start += 2; hold(s, c) }, false},
		{"into a weak beat", "I:4 ii6:2 V:4 I:2 IV:4", "3 2 7 1 1", hold, false},
		{"the bass holds too", "I:4 ii6:4 V:4 I:4 IV:4", "3 2 7 1 1", func(s *score.Score, c []tonal.Chord) { hold(s, c); s.Notes[8].Duration++ }, false},
		{"after a fermata", "I:4 ii6:4 V:4 I:4 IV:4", "3 2 7 1 1", func(s *score.Score, c []tonal.Chord) {
			hold(s, c)
			s.Fermatas = append(s.Fermatas, score.Fermata{Place: score.Place{At: c[3].Start - 1}})
		}, false},
	} {
		s, chords := written.Chorale{Chords: x.chords, Soprano: x.soprano}.Write(t, tonal.Key{})
		if x.change != nil {
			x.change(s, chords)
		}
		a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
		if v.lead != 0 {
			t.Fatalf("the soprano is line %d, want the first", v.lead)
		}
		if got := a.runsOver(v, a.formulaAt(v, 3)); got != x.want {
			t.Errorf("%s: runs over %v", x.name, got)
		}
	}
}

// hold lets the soprano of the third chord sound on into the fourth for a beat.
func hold(s *score.Score, chords []tonal.Chord) {
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Voice == 1 && n.Onset == chords[3].Start {
			n.Onset, n.Duration = n.Onset+4, n.Duration-4
		}
		if n.Voice == 1 && n.Onset < chords[3].Start && n.End() == chords[3].Start {
			n.Duration += 4
		}
	}
	sortNotes(s)
}
