package report

import (
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
)

// That a phrase ends without a cadence is a question where a weak formula of one stands
// there, and told as it is elsewhere. Common practice, no source.
func TestNoCadenceIsAQuestion(t *testing.T) {
	for _, weak := range []bool{false, true} {
		r := reading(t, "etude-millrace")
		p := r.Harmony.Phrases
		r.Harmony.Phrases = slices.Clone(p)
		r.Harmony.Phrases[0] = phrasing.Phrase{Start: p[0].Start, End: p[0].End, Cadence: -1, Confidence: 1, Weak: weak}
		d := r.study()
		row := d.phraseGrids()[0].rows[0]
		if got := row[3]; !strings.HasPrefix(got, "no cadence") || strings.HasSuffix(got, "?") != weak {
			t.Errorf("weak %v: %q", weak, got)
		}
	}
}
