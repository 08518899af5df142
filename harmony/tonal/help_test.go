package tonal

import (
	"math"
	"strings"
	"testing"

	"hairpin/score"
)

// tonesOf reads "C Eb G".
func tonesOf(t testing.TB, names string) []score.Class {
	t.Helper()
	var out []score.Class
	for _, f := range strings.Fields(names) {
		c, ok := score.ParseClass(f)
		if !ok {
			t.Fatalf("%q is no tone", f)
		}
		out = append(out, c)
	}
	return out
}

// shift moves spelled tones along the line of fifths: a transposition.
func shift(tones []score.Class, by score.Class) []score.Class {
	out := make([]score.Class, len(tones))
	for i, c := range tones {
		out[i] = c + by
	}
	return out
}

// everyKey runs a test in all 24 keys, spelled from six flats to six sharps.
func everyKey(t *testing.T, run func(t *testing.T, k Key)) {
	t.Helper()
	for fifths := score.Class(-6); fifths <= 6; fifths++ {
		for _, k := range []Key{{fifths, false}, {fifths + 3, true}} {
			run(t, k)
		}
	}
}

func agree(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
