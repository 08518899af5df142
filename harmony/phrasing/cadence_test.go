package phrasing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

func TestCadenceFormulas(t *testing.T) {
	for _, f := range written.Formulas() {
		for _, k := range written.Keys() {
			c, want := f.In(k)
			s, chords := c.Write(t, k)
			_, cadences := Find(s, 0, chords, DefaultWeights())
			if len(cadences) == 0 {
				t.Errorf("%s in %s: no cadence", f.Name, k.Name())
				continue
			}
			got := cadences[len(cadences)-1]
			if string(got.Kind) != want || got.Chord != len(chords)-1 {
				t.Errorf("%s in %s: %s (%.2f, %s) at chord %d, want %s", f.Name, k.Name(), got.Kind, got.Confidence, got.Why, got.Chord, want)
			}
			if len(cadences) > 1 {
				t.Errorf("%s in %s: %d cadences, want 1: %+v", f.Name, k.Name(), len(cadences), cadences)
			}
		}
	}
}

// A dominant and its tonic inside a running phrase are no cadence: Caplin, "The
// Classical Cadence: Conceptions and Misconceptions" (2004): a cadence needs an ending.
func TestFormulaWithoutArrivalIsNoCadence(t *testing.T) {
	for _, k := range written.Keys() {
		c := written.Chorale{Chords: "I V I V65 I V43 I6 IV V I vi ii6 V I V I6", Soprano: "3 2 3 4 3 2 1 1 2 3 3 4 5 5 5 5"}
		if k.Minor {
			c.Chords = "i V i V65 i V43 i6 iv V i VI ii°6 V i V i6"
		}
		s, chords := c.Write(t, k)
		for _, got := range cadencesBefore(s, chords, 52) {
			t.Errorf("%s: %s (%.2f, %s) at tick %d", k.Name(), got.Kind, got.Confidence, got.Why, got.At)
		}
	}
}

func cadencesBefore(s *score.Score, chords []tonal.Chord, t score.Tick) []Cadence {
	_, cadences := Find(s, 0, chords, DefaultWeights())
	var out []Cadence
	for _, c := range cadences {
		if c.At < t {
			out = append(out, c)
		}
	}
	return out
}

// A six-four on the fourth degree over a held tonic is a neighbour of the tonic and
// closes nothing; iv6 to V in minor is a half cadence, Phrygian by its bass. Neither is
// plagal: Aldwell & Schachter, Harmony and Voice Leading (2nd ed., 1989), units on
// six-four chords and on the half cadence, from memory.
func TestNotPlagal(t *testing.T) {
	for _, k := range written.Keys() {
		for _, c := range []struct {
			major, minor written.Chorale
			want         CadenceKind // of the last chord, "" for none
		}{
			{written.Chorale{Chords: "I:2 IV64:2 I:4", Soprano: "3 4 3"}, written.Chorale{Chords: "i:2 iv64:2 i:4", Soprano: "3 4 3"}, ""},
			{written.Chorale{Chords: "I V7 I I IV64:2 I:2", Soprano: "3 2 1 1 1 1"}, written.Chorale{Chords: "i V7 i i iv64:2 i:2", Soprano: "3 2 1 1 1 1"}, ""},
			{written.Chorale{Chords: "I IV64 I V6 I IV V:2", Soprano: "5 6 5 5 5 4 2"}, written.Chorale{Chords: "i iv64 i V6 i iv6 V:2", Soprano: "5 6 5 5 3 4 5"}, Half},
			{written.Chorale{Chords: "vi V6 I ii6 V:4", Soprano: "1 2 3 2 2"}, written.Chorale{Chords: "VI V6 i iv6 V:4", Soprano: "1 2 3 4 5"}, Half},
		} {
			m, want := c.major, c.want
			if k.Minor {
				m = c.minor
				if want == Half {
					want = Phrygian
				}
			}
			s, chords := m.Write(t, k)
			_, cadences := Find(s, 0, chords, DefaultWeights())
			var got CadenceKind
			for _, x := range cadences {
				if x.Kind == Plagal {
					t.Errorf("%s in %s: plagal at chord %d (%s)", m.Chords, k.Name(), x.Chord, x.Why)
				}
				if x.Chord == len(chords)-1 {
					got = x.Kind
				}
			}
			if got != want {
				t.Errorf("%s in %s: %q, want %q", m.Chords, k.Name(), got, want)
			}
		}
	}
}
