package musicxml

import "testing"

// Signs as they are written, microtones as numbers; more than nine are no sign of
// anybody's and are told as a number (our choice).
func TestAlterSign(t *testing.T) {
	for alter, want := range map[float64]string{0: "", 1: "#", 2: "##", -1: "b", -2: "bb", 9: "#########", -9: "bbbbbbbbb", 0.5: "+0.5", -1.5: "-1.5", 10: "+10", -10: "-10"} {
		if got := alterSign(alter); got != want {
			t.Errorf("%g is written %q, want %q", alter, got, want)
		}
	}
}

// Plain accidentals by the names of MusicXML 4.0; signs of quarter tones and the like
// are not compared.
func TestAccidentalAlter(t *testing.T) {
	for name, want := range map[string]float64{
		"sharp": 1, "natural-sharp": 1, "flat": -1, "natural-flat": -1, "natural": 0, "double-sharp": 2, "sharp-sharp": 2, "flat-flat": -2,
	} {
		if got, ok := accidentalAlter(name); !ok || got < want || got > want {
			t.Errorf("%s alters by %g (%v), want %g", name, got, ok, want)
		}
	}
	for _, name := range []string{"", "quarter-sharp", "koron", "other"} {
		if _, ok := accidentalAlter(name); ok {
			t.Errorf("%q is a plain accidental", name)
		}
	}
}
