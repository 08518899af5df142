package events

import (
	"testing"

	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
)

// A key arrives with its first close, or else with the last tonic after its dominant in
// the first phrase that ends in it; home is back where it is entered. The first chord of G
// is the tonic of C, so G is entered with its dominant. Our
// own progressions.
func TestStays(t *testing.T) {
	g := tonal.Key{Tonic: 1}
	const away = "C: I:4 IV:4 V:4 I:4 G: IV:4 V:4 I:4 ii:4 V:4 I:4 "
	s, a := blocks(t, away+"C: V:4 I6:4 V:4 I:4")
	a.Phrases = []phrasing.Phrase{{End: 40 * quarter, Cadence: -1}, {Start: 40 * quarter, End: 56 * quarter, Cadence: -1}}
	a.Keys[1].Entered = 20 * quarter
	list := Stays(s, a)
	if len(list) != 1 {
		t.Fatalf("%d stays: %+v", len(list), list)
	}
	x := list[0]
	if x.Key != g || x.From != a.Home || x.Entry != Pivot || s.At(x.Start).String() != "6:1" || s.At(x.End).String() != "11:1" {
		t.Errorf("away: %+v", x)
	}
	if s.At(x.Arrival).String() != "10:1" || x.Close != "" || s.At(x.Back).String() != "11:1" || x.Theme {
		t.Errorf("arrives at %s, back at %s: %+v", s.At(x.Arrival), s.At(x.Back), x)
	}
	a.Phrases[0].End, a.Phrases[1].Start = 28*quarter, 28*quarter
	if x := Stays(s, a)[0]; s.At(x.Arrival).String() != "7:1" {
		t.Errorf("with a phrase that ends at measure 8 it arrives at %s", s.At(x.Arrival))
	}
	a.Cadences = []phrasing.Cadence{
		{At: 16 * quarter, Kind: phrasing.Half, Key: g}, {At: 20 * quarter, Kind: phrasing.ImperfectAuthentic, Key: g},
		{At: 36 * quarter, Kind: phrasing.PerfectAuthentic, Key: g},
	}
	a.Form.Returns = []form.Return{{Again: form.Span{Start: 52 * quarter}, Opening: true}}
	if x := Stays(s, a)[0]; s.At(x.Arrival).String() != "6:1" || x.Close != phrasing.ImperfectAuthentic || !x.Theme {
		t.Errorf("with a close and the theme: %+v", x)
	}
	a.Form.Returns[0].Again.Start = 53 * quarter
	if x := Stays(s, a)[0]; x.Back != 53*quarter || !x.Theme {
		t.Errorf("the theme soon after the tonic is the return: %+v", x)
	}
	a.Form.Returns[0].Opening = false
	if Stays(s, a)[0].Theme {
		t.Error("other music that comes back is no theme")
	}
	s, a = blocks(t, away)
	if x := Stays(s, a)[0]; x.Back != -1 || x.BackEntry != "" {
		t.Errorf("it never comes home: %+v", x)
	}
	s, a = blocks(t, "C: I:4 IV:4 V:4 I:4 G: IV6:4 V6:4 I6:4 ii:4")
	if x := Stays(s, a)[0]; x.Arrival != -1 {
		t.Errorf("a key without its tonic on the root arrives at %s", s.At(x.Arrival))
	}
	s, a = blocks(t, "C: I:4 IV:4 V:4 I:4 G: V:2 I:2 C: IV:4 V:4 I:4")
	if list := Stays(s, a); len(list) > 0 {
		t.Errorf("a chord's colour is no stay: %+v", list)
	}
}

// A short visit within a key does not cut it in two, and one between two keys belongs to
// the first.
func TestLastingKeys(t *testing.T) {
	s, a := blocks(t, "C: I:4 IV:4 V:4 I:4 G: V:4 I:4 IV:4 d: V:2 i:2 G: V:4 I:4 IV:4 C: V:4 I:4 V:4 I:4")
	keys := newFinder(s, a).lasting()
	if len(keys) != 3 || s.At(keys[1].Start).String() != "5:1" || s.At(keys[1].End).String() != "12:1" {
		t.Errorf("keys %+v", keys)
	}
	s, a = blocks(t, "C: I:4 IV:4 V:4 I:4 d: V:2 i:2 G: V:4 I:4 IV:4")
	if keys = newFinder(s, a).lasting(); len(keys) != 2 || s.At(keys[0].End).String() != "6:1" {
		t.Errorf("keys %+v", keys)
	}
}

// Home after a long dominant is where the opening comes back on the tonic, not where that
// dominant begins: common practice, no source.
func TestHomeAfterALongDominant(t *testing.T) {
	s, a := blocks(t, "C: I:4 V:4 I:4 G: V:4 I:4 V:4 I:4 C: V:4 V7:4 V:4 V7:4 V:4 V7:4 V:4 V7:4 V:4 V7:4 I:4 V:4 I:4")
	for opening, want := range map[int]string{18: "18:1", 19: "8:1"} {
		a.Form.Returns = []form.Return{{Again: form.Span{Start: s.Measures[opening-1].Start}, Opening: true}}
		if x := Stays(s, a)[0]; s.At(x.Back).String() != want {
			t.Errorf("with the opening in measure %d home is back at %s, want %s", opening, s.At(x.Back), want)
		}
	}
}

// Home stands where its tonic follows its dominant, on its root or third: not with a tonic
// that nothing leads to, not with a six-four, and not after the next stay has begun. Our own
// progressions.
func TestHomeStands(t *testing.T) {
	const away = "C: I:4 IV:4 V:4 I:4 G: V:4 I:4 ii:4 V:4 I:4 "
	for back, want := range map[string]string{
		"C: IV:4 V:4 I:4 V:4":                                 "12:1",
		"C: IV:4 V42:4 I6:4 IV:4":                             "12:1",
		"C: IV:4 viio6:4 I:4 IV:4":                            "12:1",
		"C: IV:4 V:4 I64:4 IV:4 ii:4":                         "",
		"C: IV:4 I:4 IV:4 I:4":                                "",
		"C: IV:4 ii:4 V:4 F: V:4 I:4 IV:4 V:4 I:4 C: V:4 I:4": "",
	} {
		s, a := blocks(t, away+back)
		got := ""
		if x := Stays(s, a)[0].Stands; x >= 0 {
			got = s.At(x).String()
		}
		if got != want {
			t.Errorf("%s: home stands at %q, want %q", back, got, want)
		}
	}
}
