package tension

import (
	"testing"

	"hairpin/harmony/tonal"
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
