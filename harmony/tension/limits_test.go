package tension

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// The distance part is 0 only for the tonic triad at home, rises with the
// local key's distance, and comes near 100 for a strange chord in the farthest key.
func TestDistanceScale(t *testing.T) {
	written.EveryKey(t, func(t *testing.T, home tonal.Key) {
		at := func(k tonal.Key, roman string) float64 {
			_, a, err := RateSequence(home, []Written{{Key: k, Roman: roman}}, Weights{1, 1, 1})
			if err != nil {
				t.Fatal(err)
			}
			return a.Chords[0].Tension.Distance
		}
		tonic := written.Pick(home, "I", "i")
		if d := at(home, tonic); d != 0 {
			t.Errorf("%s: the tonic at home is %.1f away", home, d)
		}
		for _, n := range written.Vocabulary(home) {
			sounds := tonal.SetOf(n.Tones(home))
			if n.Inversion == 0 && (sounds == tonal.SetOf(tonicTriad(home)) || n.Target == 0 && sounds == tonal.SetOf(tonal.Major.Tones(home.Tonic))) {
				continue // the tonic, or its keys spelled otherwise
			}
			if d := at(home, n.Format(home)); d <= 0 || d > 100 {
				t.Errorf("%s: %s is %.1f away", home, n.Format(home), d)
			}
		}
		near, far := tonal.Key{Tonic: home.Tonic + 1, Minor: home.Minor}, tonal.Key{Tonic: home.Tonic + 6, Minor: home.Minor}
		if a, b := at(near, tonic), at(far, tonic); a <= 0 || b <= a {
			t.Errorf("%s: the tonic of %s is %.1f away, of %s %.1f", home, near, a, far, b)
		}
		if d := at(far, "#iv7"); d < 90 {
			t.Errorf("%s: #iv7 in %s is only %.1f away", home, far, d)
		}
	})
}

// Anything may be missing: nothing breaks, and what is not known adds nothing.
func TestRateWithLittle(t *testing.T) {
	n := func(onset, length score.Tick, key int) score.Note {
		return score.Note{Onset: onset, Duration: length, Staff: 1, Voice: 1, Pitch: pitchAt(key, tonal.KeyAt(key, false).Tonic)}
	}
	s := &score.Score{Division: 1, Notes: []score.Note{n(0, 2, 60), n(0, 2, 61), n(4, 2, 67), n(6, 1, 0), n(6, 1, 127)}}
	a := &Course{Slices: tonal.Slices(s, 0), Chords: []tonal.Chord{
		{Start: 0, End: 2, Key: tonal.Key{Tonic: 0, Minor: false}}, {Start: 4, End: 6, Key: tonal.Key{Tonic: 1, Minor: true}, Numeral: tonal.Numeral{Target: 5}, Root: 1},
	}}
	a.Rate(s, Weights{1, 1, 1})
	if len(a.Moments) != len(a.Slices) {
		t.Fatalf("%d moments, %d slices", len(a.Moments), len(a.Slices))
	}
	if m := a.Moments[0].Tension; m.Dissonance < 20 || m.Distance != 0 || m.Pull != 0 {
		t.Errorf("a semitone under an unnamed chord: %+v", m)
	}
	if m := a.Moments[1]; m.Chord != -1 || m.Tension.Dissonance != 0 {
		t.Errorf("silence: %+v", m)
	}
	for at := score.Tick(-1); at < 9; at++ {
		if a.Explainer(s).At(at).At == (score.Position{}) {
			t.Errorf("nothing is said at %d", at)
		}
	}
	empty := &Course{}
	empty.Rate(&score.Score{Division: 1}, Weights{1, 1, 1})
	empty.Explainer(&score.Score{Division: 1}).At(0)
}

// The user's weights scale the parts of the total and nothing else.
func TestWeights(t *testing.T) {
	c, _ := tonal.ParseKey("C")
	in := []Written{{Key: c, Roman: "I"}, {Key: c, Roman: "ii65"}, {Key: c, Roman: "V7"}}
	s, a, err := RateSequence(c, in, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	before := a.Moments[2].Tension
	a.Rate(s, Weights{0.5, 0, 2})
	after := a.Moments[2].Tension
	if want := min(100, shareDissonance*0.5*before.Dissonance+sharePull*2*before.Pull); !agree(after.Total, want, 1e-9) {
		t.Errorf("total %.2f, want %.2f", after.Total, want)
	}
	if after.Dissonance != before.Dissonance || after.Distance != before.Distance || after.Pull != before.Pull || a.Weights != (Weights{0.5, 0, 2}) {
		t.Errorf("parts moved: %+v, %+v", before, after)
	}
}
