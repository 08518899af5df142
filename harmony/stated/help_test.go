package stated

import (
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
