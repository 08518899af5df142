package harmony

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

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
