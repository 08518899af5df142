package report

import (
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
)

// That a phrase ends without a cadence is a question where a weak formula of one stands
// there, or where it is unsure that it ends, and told as it is elsewhere. Common practice, no
// source.
func TestNoCadenceIsAQuestion(t *testing.T) {
	for _, c := range []struct {
		weak bool
		sure float64
		asks bool
	}{{false, 1, false}, {true, 1, true}, {false, 0.5, true}} {
		r := reading(t, "etude-millrace")
		p := r.Harmony.Phrases
		r.Harmony.Phrases = slices.Clone(p)
		r.Harmony.Phrases[0] = phrasing.Phrase{Start: p[0].Start, End: p[0].End, Cadence: -1, Confidence: c.sure, Weak: c.weak}
		d := r.study()
		row := d.phraseGrids()[0].rows[0]
		if got := row[3]; !strings.HasPrefix(got, "no cadence") || strings.HasSuffix(got, "?") != c.asks {
			t.Errorf("%+v: %q", c, got)
		}
	}
}
