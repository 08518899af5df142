package tension

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A remote chord read as a new tonic does not fall to rest: the old key is in the ear,
// and lets it go as the new one lasts (Krumhansl & Kessler 1982 heard keys build up
// over several chords; that a far triad fits badly after a cadence is in the ratings
// of Krumhansl 1990).
func TestNewKeyCountsAsItLasts(t *testing.T) {
	home, far := tonal.Key{}, tonal.Key{Tonic: 6}
	in := []Written{{Key: home, Roman: "I"}, {Key: home, Roman: "IV"}, {Key: home, Roman: "V"}, {Key: home, Roman: "I"}}
	for range 12 {
		in = append(in, Written{Key: far, Roman: "I", Quarters: 2}, Written{Key: far, Roman: "I6", Quarters: 2})
	}
	_, a, err := RateSequence(home, in, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	var first, middle, last float64
	for _, m := range a.Moments {
		if c := a.Chords[m.Chord]; c.Key == far && c.Inversion == 0 {
			if first == 0 {
				first = m.Tension.Total
			}
			if m.Chord == 14 {
				middle = m.Tension.Total
			}
			last = m.Tension.Total
		}
	}
	if first < 40 || first <= middle || middle <= last {
		t.Errorf("F# after a cadence in C: %.1f at once, %.1f later, %.1f at last", first, middle, last)
	}
	a.Closing = []int{4}
	s, _, _ := RateSequence(home, in, Weights{1, 1, 1})
	a.Rate(s, Weights{1, 1, 1})
	if confirmed := a.Chords[4].Tension.Total; confirmed >= middle {
		t.Errorf("confirmed by a cadence it stands at %.1f, as far as without", confirmed)
	}
}

func TestKeyMemory(t *testing.T) {
	c, g := tonal.Key{}, tonal.Key{Tonic: 1}
	var m keyMemory
	m.enter(c)
	m.enter(g)
	if len(m) != 2 || m[1].key != g || m[1].share > 0 || !agree(m[0].share, 1, 1e-9) {
		t.Fatalf("a new key counts at once: %+v", m)
	}
	m.pass(keyHalf)
	if !agree(m[0].share, 0.5, 1e-9) || !agree(m[1].share, 0.5, 1e-9) {
		t.Errorf("after its half-life: %+v", m)
	}
	m.enter(c)
	if m[1].key != c || !agree(m[1].share, 0.5, 1e-9) {
		t.Errorf("the old key comes back: %+v", m)
	}
	if m.pass(100); len(m) != 1 || m[0].key != c || !agree(m[0].share, 1, 1e-9) {
		t.Errorf("after long: %+v", m)
	}
	m.enter(g)
	if m.confirm(); len(m) != 1 || m[0].key != g || !agree(m[0].share, 1, 1e-9) {
		t.Errorf("confirmed: %+v", m)
	}
}

// What is told of earlier keys: none before the change, the old one in full as the new
// one enters, half of it after the half-life, none under the share from which it is
// told, none after a cadence in the new key.
func TestEarlierKeys(t *testing.T) {
	home, far := tonal.Key{}, tonal.Key{Tonic: 6}
	s, a, err := RateSequence(home, []Written{{Key: home, Roman: "I", Quarters: 4}, {Key: far, Roman: "I", Quarters: 40 * keyHalf}}, Weights{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	change := 4 * s.Division
	half := score.Tick(keyHalf * float64(s.Division))
	for _, c := range []struct {
		at   score.Tick
		want float64
	}{{0, 0}, {change - 1, 0}, {change, 1}, {change + half, 0.5}, {change + 3*half, 0.125}, {change + 4*half, 0}, {change + 30*half, 0}} {
		got := (&rater{s: s, a: a}).earlierKeys(c.at)
		switch {
		case c.want == 0 && len(got) != 0:
			t.Errorf("at %d: %+v, want none", c.at, got)
		case c.want > 0 && (len(got) != 1 || got[0].Key != home.Name() || !agree(got[0].Share, c.want, 1e-6)):
			t.Errorf("at %d: %+v, want %.3f of C", c.at, got, c.want)
		}
	}
	a.Closing = []int{1}
	if got := (&rater{s: s, a: a}).earlierKeys(change + half); len(got) != 0 {
		t.Errorf("after a cadence: %+v", got)
	}
}
