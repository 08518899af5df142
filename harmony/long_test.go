package harmony

import (
	"testing"

	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// lined rates a progression whose chords are known.
func lined(t *testing.T, k tonal.Key, c written.Chorale) (*score.Score, *Analysis) {
	t.Helper()
	s, chords := c.Write(t, k)
	a := &Analysis{Home: k, Slices: tonal.Slices(s, 0), Chords: chords}
	a.Phrases, a.Cadences = phrasing.Find(s, 0, chords, phrasing.DefaultWeights())
	a.formOn(form.Read(s, 0))
	a.Rate(s, tension.Weights{Dissonance: 1, Distance: 1, Pull: 1})
	return s, a
}

// longest is the highest long line in a chord.
func (a *Analysis) longest(chord int) float64 {
	most := 0.0
	for _, m := range a.Moments {
		if m.Chord == chord {
			most = max(most, m.LongLine.Total)
		}
	}
	return most
}

// A dominant inside the tonic's measures weighs less than the dominant that the
// phrase is built to reach, though in the local number they are alike; the tonic that
// closes lies lowest. Lerdahl (2001), Tonal Pitch Space, chapter 1 (prolongation and
// the basic form), from memory; the progression is ours.
func TestInnerDominantWeighsLess(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, k tonal.Key) {
		c := written.Chorale{Chords: "I:2 V7:2 I:4 ii65:4 V:4 I:2 V7:2 I:4 ii65:2 V7:2 I:4", Soprano: "3 2 1 2 2 3 2 1 2 2 1"}
		if k.Minor {
			c.Chords = "i:2 V7:2 i:4 iiø65:4 V:4 i:2 V7:2 i:4 iiø65:2 V7:2 i:4"
		}
		s, a := lined(t, k, c)
		for _, x := range [][2]int{{1, 4}, {6, 9}} { // inside, reached
			if in, goal := a.longest(x[0]), a.longest(x[1]); in >= goal {
				t.Errorf("%s: chord %d stands at %.0f, the goal at %.0f", k, x[0], in, goal)
			}
			if in, goal := a.Tree[x[0]], a.Tree[x[1]]; in.Reach > goal.Reach {
				t.Errorf("%s: the inner dominant governs %d, the goal %d", k, in.Reach, goal.Reach)
			}
		}
		last := len(a.Chords) - 1
		for i := range last {
			if i > 0 && a.longest(i) <= a.longest(last) {
				t.Errorf("%s: the last tonic stands at %.0f, chord %d at %.0f", k, a.longest(last), i, a.longest(i))
			}
		}
		if a.Tree[last].Over != -1 && a.Tree[a.Tree[last].Over].Over != -1 {
			t.Errorf("%s: the closing tonic hangs low in the tree: %+v", k, a.Tree)
		}
		if got := a.PhraseArcs[len(a.PhraseArcs)-1]; got.Arrival != s.Measures[7].Start {
			t.Errorf("%s: the last phrase arrives at %d", k, got.Arrival)
		}
	})
}

// The long line and its parts stay on their scales, and the user's weights scale the total.
func TestLongLineScale(t *testing.T) {
	s, a := lined(t, tonal.Key{}, written.Chorale{Chords: "I V7 I V7/V V7 I IV V I V7 I V7", Soprano: "3 2 1 2 2 1 1 2 3 2 1 2"})
	for _, m := range a.Moments {
		for _, x := range []float64{m.LongLine.Total, m.LongLine.Dissonance, m.LongLine.Distance, m.LongLine.Pull} {
			if x < 0 || x > 100 {
				t.Errorf("at %d: %+v", m.Start, m.LongLine)
			}
		}
	}
	before := a.Moments[3].LongLine
	a.Rate(s, tension.Weights{Pull: 2})
	after := a.Moments[3].LongLine
	if want := min(2*longPull*before.Pull, 100); after.Total < want-1e-9 || after.Total > want+1e-9 {
		t.Errorf("pull alone, doubled: %.2f, want %.2f", after.Total, want)
	}
	b := &Analysis{Slices: a.Slices, Chords: a.Chords}
	b.Rate(s, tension.Weights{Dissonance: 1, Distance: 1, Pull: 1}) // no phrases: no long line, no panic
	if b.Moments[3].LongLine.Total > 0 {
		t.Errorf("without phrases: %+v", b.Moments[3].LongLine)
	}
}

// How firmly a cadence closes: Open Music Theory (2nd ed., 2021), "Introduction to
// Harmony, Cadences, and Phrase Endings": authentic above half; a withheld one closes nothing.
func TestCloseOrder(t *testing.T) {
	order := []phrasing.CadenceKind{phrasing.Deceptive, phrasing.Half, phrasing.ImperfectAuthentic, phrasing.PerfectAuthentic}
	for i := range order[1:] {
		if closeOf(order[i]) >= closeOf(order[i+1]) {
			t.Errorf("%s closes as firmly as %s", order[i], order[i+1])
		}
	}
	if closeOf(phrasing.Evaded) != form.NoClose || closeOf(phrasing.Phrygian) != form.OpenClose {
		t.Error("evaded or Phrygian cadence")
	}
}
