package harmony

import (
	"hairpin/harmony/written"
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
	"hairpin/harmony/stated"
	"hairpin/harmony/tonal"
)

// The textbooks' cadences, heard from the notes alone after a phrase that
// states the key. The half cadence reached by the dominant's own dominant is left
// out: as the last sound of a piece it is as well a cadence in the new key. The
// decoder is fitted, not derived, so two keys of 24 may differ.
func TestCadencesHeard(t *testing.T) {
	for _, f := range written.Formulas() {
		if f.Name == "half by the dominant's dominant" {
			continue
		}
		wrong := 0
		for _, k := range written.Keys() {
			c, want := f.In(k)
			c.Chords = written.Pick(k, "I IV V7:2 I:4 ", "i iv V7:2 i:4 ") + c.Chords
			c.Soprano = "3 4 2 1 " + c.Soprano
			s, _ := c.Write(t, k)
			a, err := Analyse(s, Options{})
			if err != nil {
				t.Fatal(err)
			}
			n := len(a.Cadences)
			if n == 0 || string(a.Cadences[n-1].Kind) != want || a.Cadences[n-1].Key != k {
				romans, _ := a.numerals()
				t.Logf("%s in %s: heard %s", f.Name, k.Name(), romans)
				wrong++
			}
		}
		if wrong > 2 {
			t.Errorf("%s: not heard in %d of 24 keys", f.Name, wrong)
		}
	}
}

// A reading overruled changes what follows from it: with vi at the end the
// cadence is deceptive.
func TestCorrectionsReachTheCadence(t *testing.T) {
	c := written.Chorale{Chords: "I IV V7:2 I:4 I ii6 V7:2 I:4", Soprano: "3 4 2 1 3 2 7 1"}
	s, _ := c.Write(t, tonal.Key{})
	list, err := stated.ReadCorrections(strings.NewReader("4 1 - vi\n"), s)
	if err != nil {
		t.Fatal(err)
	}
	before, err := Analyse(s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	after, err := Analyse(s, Options{Corrections: list})
	if err != nil {
		t.Fatal(err)
	}
	x, y := before.Cadences[len(before.Cadences)-1], after.Cadences[len(after.Cadences)-1]
	if x.Kind != phrasing.PerfectAuthentic || y.Kind != phrasing.Deceptive {
		t.Errorf("before %s, after %s", x.Kind, y.Kind)
	}
	last := after.Chords[len(after.Chords)-1]
	if !last.Given || last.Certainty != tonal.Sure || last.Roman() != "vi" {
		t.Errorf("last chord %s, given %v", last.Roman(), last.Given)
	}
}

// What a musician overrules is followed by all that is read from it: the
// tension of the moment and of its neighbours, the cadence, the phrase that ends with
// it, the local keys, the home key.
func TestCorrectionsAreFollowed(t *testing.T) {
	s := setOut(t, tonal.Key{}, "I V6 I IV I6 ii6 V7 I", textbook)
	heard, err := Analyse(s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	overruled := func(text string) *Analysis {
		t.Helper()
		list, err := stated.ReadCorrections(strings.NewReader(text), s)
		if err != nil {
			t.Fatal(err)
		}
		a, err := Analyse(s, Options{Corrections: list})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	ends := func(a *Analysis) phrasing.CadenceKind {
		p := a.Phrases[len(a.Phrases)-1]
		if p.Cadence < 0 {
			return ""
		}
		return a.Cadences[p.Cadence].Kind
	}
	n := len(heard.Chords) - 1
	if k := ends(heard); k != phrasing.PerfectAuthentic && k != phrasing.ImperfectAuthentic {
		t.Fatalf("heard %s", k)
	}
	a := overruled("4 3 - vi")
	if ends(a) != phrasing.Deceptive || a.Chords[n].Tension.Total <= heard.Chords[n].Tension.Total {
		t.Errorf("the tonic overruled as vi: ends %q, tension %.0f, was %.0f", ends(a), a.Chords[n].Tension.Total, heard.Chords[n].Tension.Total)
	}
	a = overruled("1 1 F -")
	if a.Home != (tonal.Key{Tonic: -1}) || len(a.Keys) != 1 || a.Chords[n].Roman() != "V" {
		t.Errorf("in F: home %s, %d keys, last chord %s", a.Home.Name(), len(a.Keys), a.Chords[n].Roman())
	}
	a = overruled("4 1 G -")
	if len(a.Keys) != 2 || a.Keys[1].Key.Tonic != 1 || a.Chords[n].Roman() != "IV" {
		t.Errorf("turned to G: %d keys, last chord %s", len(a.Keys), a.Chords[n].Roman())
	}
}
