package phrasing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// A perfect cadence stays one when the top leans on the tonic from above or below, or
// when the whole dominant leans on the tonic's bass: common practice, no source. A
// third on top that walks down to the tonic is an imperfect one.
func TestPerfectCadenceUnderAppoggiatura(t *testing.T) {
	for _, k := range written.Keys() {
		for _, x := range []struct {
			first int // degree over the last chord, for two quarters, before the tonic
			want  CadenceKind
		}{{1, PerfectAuthentic}, {2, PerfectAuthentic}, {7, PerfectAuthentic}, {3, ImperfectAuthentic}} {
			c := written.Chorale{Chords: "I I6 IV V7 I:4", Soprano: "3 1 1 2 1"}
			if k.Minor {
				c.Chords = "i i6 iv V7 i:4"
			}
			s, chords := c.Write(t, k)
			lean(s, k, x.first)
			_, cadences := Find(s, 0, chords, DefaultWeights())
			if len(cadences) == 0 {
				t.Errorf("%s, %d over the tonic: no cadence", k.Name(), x.first)
				continue
			}
			if got := cadences[len(cadences)-1]; got.Kind != x.want {
				t.Errorf("%s, %d over the tonic: %s, want %s (%s)", k.Name(), x.first, got.Kind, x.want, got.Why)
			}
		}
	}
}

// lean lets the soprano start the last chord on another degree and step to the tonic.
func lean(s *score.Score, k tonal.Key, degree int) {
	if degree == 1 {
		return
	}
	top := 0
	for i, n := range s.Notes {
		if n.Onset >= s.Notes[top].Onset && (n.Onset > s.Notes[top].Onset || n.Pitch.MIDI() > s.Notes[top].Pitch.MIDI()) {
			top = i
		}
	}
	n := s.Notes[top]
	tone := k.Degree(degree)
	if degree == 7 && k.Minor {
		tone += 7
	}
	second := n
	second.Onset, second.Duration = n.Onset+8, n.Duration-8
	s.Notes[top].Duration = 8
	s.Notes[top].Pitch = tonal.PitchNear(tone, int(n.Pitch.MIDI()))
	s.Notes = append(s.Notes, second)
}

// The bass takes the tonic on the downbeat, the dominant sounds on above it for a beat:
// the arrival is the downbeat.
func TestArrivalUnderHeldDominant(t *testing.T) {
	k := tonal.Key{}
	s, chords := written.Chorale{Chords: "I I6 IV V7 I:4", Soprano: "3 1 1 2 1"}.Write(t, k)
	last := &chords[len(chords)-1]
	last.Start += 4
	chords[len(chords)-2].End = last.Start
	v := newSurface(s, 0, DefaultWeights())
	a := &piece{Chords: chords}
	f := a.formulaAt(v, len(chords)-1)
	if got := a.arrives(v, f); got != 16 {
		t.Errorf("arrives at %d, the downbeat is 16", got)
	}
	for i := range s.Notes { // a bass that holds the dominant arrives with the chord
		if n := &s.Notes[i]; n.Onset == 16 && n.Pitch.MIDI() < 55 {
			n.Pitch = tonal.PitchNear(k.Degree(5), 43)
		}
	}
	v = newSurface(s, 0, DefaultWeights())
	if got := a.arrives(v, f); got != last.Start {
		t.Errorf("over the dominant's bass it arrives at %d", got)
	}
}
