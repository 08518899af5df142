package advice

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/score"
)

// The line goes through start, goal and end of a phrase, keeps a printed hairpin and
// a sudden mark where they stand, and is the print where no phrase sounds.
func TestLineFollowsPhraseAndPrint(t *testing.T) {
	printed := along(
		page.Segment{End: 8, From: page.P, To: page.P},
		page.Segment{Start: 8, End: 12, From: page.P, To: page.F, Slope: 1},
		page.Segment{Start: 12, End: 16, From: page.PP, To: page.PP}).Whole
	p := &Plan{Proposals: []Proposal{{
		Start: 0, Goal: 4, End: 12, From: page.P - 0.2, Peak: page.P + 0.5, To: page.F,
		Turns: []Turn{{At: 8, Level: page.P, Printed: true}, {At: 12, Level: page.F}},
	}}}
	line := p.Line(printed, 16)
	for at, want := range map[int]float64{0: page.P - 0.2, 2: page.P + 0.15, 4: page.P + 0.5, 8: page.P, 10: (page.P + page.F) / 2, 12: page.PP, 15: page.PP} {
		if got := line.At(score.Tick(at)); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %d: %.2f, want %.2f", at, got, want)
		}
	}
	if got := line.Before(12); math.Abs(got-page.F) > 1e-9 {
		t.Errorf("before the sudden mark: %.2f, want %.2f", got, float64(page.F))
	}
}

// An upbeat before a mark is played as printed; the phrase's level begins at the mark.
func TestLineKeepsTheUpbeatAsPrinted(t *testing.T) {
	printed := along(page.Segment{End: 2, From: page.P, To: page.P}, page.Segment{Start: 2, End: 8, From: page.F, To: page.F}).Whole
	line := (&Plan{Proposals: []Proposal{{Start: 0, Goal: 6, End: 8, From: page.F - 0.3, Peak: page.F, To: page.F}}}).Line(printed, 8)
	if a, b := line.Before(2), line.At(2); math.Abs(a-page.P) > 1e-9 || math.Abs(b-page.F+0.3) > 1e-9 {
		t.Errorf("%.2f then %.2f, want %.2f then %.2f", a, b, page.P, page.F-0.3)
	}
}

// Two phrases under one mark meet halfway; a printed change between them stays sudden.
func TestLineBetweenPhrases(t *testing.T) {
	for _, c := range []struct{ second, before, after float64 }{
		{page.P, page.P + 0.1, page.P + 0.1},
		{page.F, page.P - 0.2, page.F + 0.4},
	} {
		printed := along(page.Segment{End: 8, From: page.P, To: page.P}, page.Segment{Start: 8, End: 16, From: c.second, To: c.second}).Whole
		p := &Plan{Proposals: []Proposal{
			{Start: 0, Goal: 4, End: 8, From: page.P, Peak: page.P + 1, To: page.P - 0.2},
			{Start: 8, Goal: 12, End: 16, From: c.second + 0.4, Peak: c.second + 1, To: c.second},
		}}
		line := p.Line(printed, 16)
		if a, b := line.Before(8), line.At(8); math.Abs(a-c.before) > 1e-9 || math.Abs(b-c.after) > 1e-9 {
			t.Errorf("%.1f then %.1f, want %.1f then %.1f", a, b, c.before, c.after)
		}
	}
}
