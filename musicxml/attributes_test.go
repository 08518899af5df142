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
