package written

import (
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Keys are 24 keys, one a pitch class and mode.
func Keys() []tonal.Key {
	var out []tonal.Key
	for c := score.Class(-5); c <= 6; c++ {
		out = append(out, tonal.Key{Tonic: c, Minor: false}, tonal.Key{Tonic: c + 3, Minor: true})
	}
	return out
}

// EveryKey runs a test in the keys from six flats to six sharps, both modes.
func EveryKey(t *testing.T, run func(t *testing.T, k tonal.Key)) {
	t.Helper()
	for fifths := score.Class(-6); fifths <= 6; fifths++ {
		for _, k := range []tonal.Key{{Tonic: fifths, Minor: false}, {Tonic: fifths + 3, Minor: true}} {
			run(t, k)
		}
	}
}

// Pick is the numeral of the key's mode.
func Pick(k tonal.Key, major, minor string) string {
	if k.Minor {
		return minor
	}
	return major
}

// Tones reads "C Eb G".
func Tones(t testing.TB, names string) []score.Class {
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

// Shift moves spelled tones along the line of fifths: a transposition.
func Shift(tones []score.Class, by score.Class) []score.Class {
	out := make([]score.Class, len(tones))
	for i, c := range tones {
		out[i] = c + by
	}
	return out
}

// Close stacks spelled tones upward as MIDI numbers, the first at or above lowest, each above
// the one before.
func Close(tones []score.Class, lowest int) []int {
	keys := make([]int, len(tones))
	at := lowest
	for i, c := range tones {
		at += ((c.PC()-at)%12 + 12) % 12
		keys[i] = at
	}
	return keys
}
