package report

import (
	"strings"
	"testing"

	"hairpin/dynamics/verdict"
)

// A proposal that grows where the harmony releases, or falls where it builds, says so,
// and no other does. Both are read from the levels that the words name.
func TestProposalOwnsItsContrast(t *testing.T) {
	told := 0
	for _, name := range []string{"song-ferry-lamp", "etude-millrace"} {
		r := reading(t, name)
		for _, v := range r.Verdicts {
			text := r.proposal(v)
			if text == "" {
				continue
			}
			rise := r.Line.At(v.End-1) - r.Line.At(v.Start)
			contrary := v.Harmony.Way == verdict.Down && rise > 0.25 || v.Harmony.Way == verdict.Up && rise < -0.25
			if got := strings.Contains(text, "against the harmony"); got != contrary {
				t.Errorf("%s %s: %q, the line rises by %.2f while the harmony goes %v", name, r.At(v.Start), text, rise, v.Harmony.Way)
			}
			if contrary {
				told++
			}
		}
	}
	if told == 0 {
		t.Error("no demo score has such a place any more")
	}
}
