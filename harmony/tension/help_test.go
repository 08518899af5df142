package tension

import (
	"math"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
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
func everyKey(t *testing.T, run func(t *testing.T, k tonal.Key)) {
	t.Helper()
	for fifths := score.Class(-6); fifths <= 6; fifths++ {
		for _, k := range []tonal.Key{{Tonic: fifths, Minor: false}, {Tonic: fifths + 3, Minor: true}} {
			run(t, k)
		}
	}
}

// pick is the numeral of the mode.
func pick(k tonal.Key, major, minor string) string {
	if k.Minor {
		return minor
	}
	return major
}

func agree(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// closePosition stacks spelled tones upward from the first, each above the one before.
func closePosition(tones []score.Class, lowest int) []int {
	keys := make([]int, len(tones))
	at := lowest
	for i, c := range tones {
		at += ((c.PC()-at)%12 + 12) % 12
		keys[i] = at
	}
	return keys
}
