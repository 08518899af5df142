package harmony

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// A chord broken over a measure is one chord, though its seventh comes late.
// Common practice, no source.
func TestBrokenChordIsOneFromItsStart(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		romans := written.Pick(k, "I IV I ii7 V7 I", "i iv i iv7 V7 i")
		for _, order := range [...][8]int{{0, 1, 2, 1, 3, 1, 2, 1}, {0, 2, 1, 2, 0, 3, 1, 2}, {0, 1, 2, 0, 2, 1, 2, 3}} {
			s := setOut(t, k, romans, root)
			stretch(s)
			for at, roman := range strings.Fields(romans) {
				n, _ := tonal.ParseNumeral(roman, k)
				breakOver(s, n.Tones(k), s.Measures[at], order)
			}
			slices.SortStableFunc(s.Notes, func(a, b score.Note) int { return cmp.Compare(a.Onset, b.Onset) })
			a, err := Analyse(s, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if got, _ := a.numerals(); got != romans {
				t.Errorf("%s, broken as %v: read %s, want %s", k, order, got, romans)
			}
		}
	})
}

// stretch gives every chord of a score that [setOut] wrote a measure.
func stretch(s *score.Score) {
	end := score.Tick(0)
	for i := range s.Notes {
		n := &s.Notes[i]
		n.Onset, n.Duration = 2*n.Onset, 16
		end = n.Onset + n.Duration
	}
	bar(s, end)
}

// breakOver replaces what sounds above the bass of a measure by one line of
// eighths, the chord's tones in this order.
func breakOver(s *score.Score, tones []score.Class, m score.Measure, order [8]int) {
	kept := s.Notes[:0]
	for _, n := range s.Notes {
		if n.Onset != m.Start || n.Staff == 2 {
			kept = append(kept, n)
		}
	}
	s.Notes = kept
	for i, tone := range order {
		tone %= len(tones)
		p := written.Close(tones, 62)[tone]
		s.Notes = append(s.Notes, score.Note{Onset: m.Start + score.Tick(i)*m.Length/8, Duration: m.Length / 8, Staff: 1, Voice: 1,
			Pitch: tonal.PitchNear(tones[tone], p), Measure: s.MeasureAt(m.Start)})
	}
}
