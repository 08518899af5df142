package advice

import (
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// inPhrases is the plan of a melody in phrases of so many beats.
func inPhrases(t *testing.T, s *score.Score, p *page.Page, beats score.Tick) *Plan {
	t.Helper()
	a := &harmony.Analysis{}
	for at := score.Tick(0); at < s.Length(); at += beats {
		a.Phrases = append(a.Phrases, phrasing.Phrase{Start: at, End: at + beats, Cadence: -1})
	}
	sh, err := shaping.Shape(s, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := Find(s, a, p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// The same notes go to the same place, though one phrase is printed mf and the next
// turns from p to ff (common practice, no source); other notes need not.
func TestSameNotesSameGoal(t *testing.T) {
	tune := []int{0, 1, 2, 3, 4, 5, 9, 7, 6, 5, 4, 3, 2, 1, 0, 0}
	other := []int{9, 8, 7, 6, 5, 4, 3, 2, 1, 0, 1, 2, 1, 0, 1, 0}
	p := along(page.Segment{End: 16, From: page.MF, To: page.MF}, page.Segment{Start: 16, End: 27, From: page.P, To: page.P},
		page.Segment{Start: 27, End: 32, From: page.FF, To: page.FF})
	for _, c := range []struct {
		second []int
		same   bool
	}{{tune, true}, {other, false}} {
		g := inPhrases(t, melody(append(append([]int{}, tune...), c.second...)...), p, 16).Goals
		if got := g[0].At == g[1].At-16; got != c.same {
			t.Errorf("goals at %d and %d", g[0].At, g[1].At-16)
		}
	}
}

// Where an accent over the staff stands on beat 1, the goal of its measure is beat 1
// (common practice, no source).
func TestGoalOnTheMark(t *testing.T) {
	s := melody(0, 0, 0, 1, 1, 2, 3, 4, 6, 8, 12, 8, 4, 2, 1, 0)
	p := along(page.Segment{End: 16, From: page.MF, To: page.MF})
	free := find(t, s, p).Goals[0].At
	if free%4 == 0 {
		t.Fatalf("the goal stands on beat 1 already: %d", free)
	}
	p.Accents = []page.Accent{{At: free - free%4, Sign: "sf", Size: 0.01}}
	if got := find(t, s, p).Goals[0].At; got != free-free%4 {
		t.Errorf("the goal is %d, the mark stands at %d", got, free-free%4)
	}
}

// A phrase that only fades has no likely goal at its start; one that grows after a fall
// has (common practice, no source). The upbeat is never a goal.
func TestNoGoalWhereAPhraseFades(t *testing.T) {
	down := Way{Beats: make([]score.Tick, 12), Printed: []float64{5, 5, 4, 4, 3, 3, 3, 2, 2, 2, 2, 2}}
	for at, want := range map[int]bool{0: true, 1: true, 8: false} {
		if down.fades(at) != want {
			t.Errorf("beat %d: %v", at, !want)
		}
	}
	for _, level := range []float64{4, 6} { // back a good way, or beyond the start
		if down.Printed[9] = level; down.fades(1) {
			t.Errorf("the page grows again to %g", level)
		}
	}
	if down.Printed[9] = 2.4; !down.fades(1) {
		t.Error("a shade is no growth")
	}
	if down.Printed[9] = 6; down.fades(1) {
		t.Error("the page grows again")
	}
	down.Values, down.Barred = [][]float64{{9, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}}, []bool{true, true, false, false, false, false, false, false, false, false, false, false}
	if at, _, _ := down.Goal([]float64{1}); at < 2 {
		t.Errorf("the goal is %d, in the upbeat", at)
	}
}
