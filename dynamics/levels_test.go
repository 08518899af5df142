package dynamics

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/dynamics/written"
	"hairpin/score"
)

// fp is f where it stands and p after it (Gehrkens 1914, §121); an sf in one of
// two parts raises the whole by the mean of the powers.
func TestLevelsShowStress(t *testing.T) {
	s := written.Score(t, "1:1 p", "3:1 fp", "4:1 sf")
	p := page.Printed(s, nil)
	// mean is the level of two parts: the mean of their powers, 2.5 a step.
	mean := func(a, b float64) float64 { return math.Log((math.Pow(2.5, a)+math.Pow(2.5, b))/2) / math.Log(2.5) }
	want := map[string][2]float64{"2:4": {3, 3}, "3:1": {mean(page.F, page.P), 3}, "3:2": {3, 3}, "4:1": {mean(page.P+1, page.P), 3}}
	for _, r := range Levels(s, nil, p, nil) {
		w, ok := want[s.At(r.Start).String()]
		if ok && (math.Abs(r.Printed-w[0]) > 0.01 || math.Abs(r.PrintedEnd-w[1]) > 0.01) {
			t.Errorf("%s: %.2f to %.2f, want %.2f to %.2f", s.At(r.Start), r.Printed, r.PrintedEnd, w[0], w[1])
		}
	}
}

func TestLevelsCoverThePiece(t *testing.T) {
	s := written.Score(t, "1:1 p", "2:1 <4:1", "4:1 f")
	p := page.Printed(s, nil)
	sh, err := shaping.Shape(s, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	rows := Levels(s, nil, p, sh)
	for i, r := range rows {
		if i > 0 && rows[i-1].End != r.Start {
			t.Errorf("row %d starts at %d, the one before ends at %d", i, r.Start, rows[i-1].End)
		}
	}
	if rows[0].Start != 0 || rows[len(rows)-1].End != s.Length() {
		t.Error("the rows do not cover the piece")
	}
	if r := rows[8]; math.Abs(r.Printed-4.5) > 0.01 { // measure 3, beat 1: halfway from p to f
		t.Errorf("measure 3 is printed %.2f, want 4.5", r.Printed)
	}
}

func TestShapeOfNothing(t *testing.T) {
	s := &score.Score{Division: 1}
	p := page.Printed(s, nil)
	if sh, err := shaping.Shape(s, nil, p); err != nil || len(sh.Proposals) > 0 {
		t.Errorf("an empty score: %v, %d proposals", err, len(sh.Proposals))
	}
	if rows := Levels(s, nil, p, nil); len(rows) > 0 {
		t.Errorf("an empty score has %d rows", len(rows))
	}
	if v := verdict.Judge(s, nil, p); v != nil {
		t.Error("verdicts without an analysis")
	}
}
