package report

import (
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/score"
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
			rise, turns := r.Line.At(v.End-1)-r.Line.At(v.Start), strings.Count(text, " to ") > 1
			contrary := !turns && (v.Harmony.Way == verdict.Down && rise > 0.25 || v.Harmony.Way == verdict.Up && rise < -0.25)
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

// What is proposed for a phrase names the same marks wherever it is told: in its row
// ("p < mf > p"), and with their places under it; one of a single mark asks for nothing.
func TestOneProposalAPhrase(t *testing.T) {
	told := 0
	for _, name := range []string{"song-ferry-lamp", "etude-millrace", "quartet-below-the-weir", "vibraphone-low-water"} {
		r := reading(t, name)
		for k, p := range r.Plan.Proposals {
			shape := r.shape(k)
			if shape == "" {
				continue
			}
			told++
			for _, turn := range p.Turns {
				mark := " " + page.Mark(turn.Level)
				i := strings.Index(shape+",", mark)
				if i < 0 {
					t.Errorf("%s, phrase %d: %q has no%s of %q", name, k+1, shape, mark, loudness(p))
					break
				}
				shape = shape[i+len(mark):]
			}
			if len(p.Turns) < 2 {
				t.Errorf("%s, phrase %d: %q asks for one level alone", name, k+1, r.shape(k))
			}
		}
	}
	if told == 0 {
		t.Error("nothing is proposed in the demo scores")
	}
}

// Before the first mark nothing is printed, and a level that is taken in its place says so.
func TestNothingIsPrintedBeforeTheFirstMark(t *testing.T) {
	curve := page.Curve{Segments: []page.Segment{
		{Start: 0, End: 8, From: page.MF, To: page.MF},
		{Start: 8, End: 16, From: page.P, To: page.P, FromMark: "p"},
		{Start: 16, End: 24, From: page.P, To: page.MF, Slope: 1},
	}}
	r := &Reading{Page: &page.Page{Whole: curve}}
	for at, want := range map[score.Tick]string{0: "nothing yet, taken as mf", 7: "nothing yet, taken as mf", 8: "p", 16: "p"} {
		if got := r.printedAt(at); got != want {
			t.Errorf("at %d: %q, want %q", at, got, want)
		}
	}
}
