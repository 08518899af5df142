package advice

import (
	"math"
	"slices"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// Two lines are the same music if 85 in 100 of the notes of the longer come at the same
// times of the other, by one interval. Our own bound.
func TestAlikeBounds(t *testing.T) {
	line := func(n, by int) (out []struck) {
		for i := range n {
			out = append(out, struck{score.Tick(i), 60 + i*i%7 + by})
		}
		return out
	}
	changed := func(k int) []struck {
		out := line(20, 0)
		for i := range k {
			out[i].key += 1 + i
		}
		return out
	}
	late := line(20, 0)
	for i := range late {
		late[i].after += 100
	}
	for _, c := range []struct {
		name string
		a, b []struck
		want bool
	}{
		{"itself", line(20, 0), line(20, 0), true}, {"a fifth higher", line(20, 0), line(20, 7), true}, {"three of twenty otherwise", line(20, 0), changed(3), true}, {"four", line(20, 0), changed(4), false},
		{"three left out", line(20, 0), line(17, 0), true}, {"four left out", line(20, 0), line(16, 0), false}, {"at other times", line(20, 0), late, false}, {"nothing", nil, nil, false}, {"nothing of some", line(1, 0), nil, false},
	} {
		if alike(c.a, c.b) != c.want || alike(c.b, c.a) != c.want {
			t.Errorf("%s: %v, turned round %v", c.name, alike(c.a, c.b), alike(c.b, c.a))
		}
	}
}

// Phrases laid side by side are counted from their first full measures; beats that one lacks
// keep their values.
func TestMeanFromTheDownbeat(t *testing.T) {
	a := Way{Upbeat: 1, Beats: make([]score.Tick, 4), Values: [][]float64{{9, 1, 2, 3}}}
	b := Way{Beats: make([]score.Tick, 4), Values: [][]float64{{3, 4, 5, 9}}}
	mean([]Way{a, b}, []int{0, 1})
	if !slices.EqualFunc(a.Values[0], []float64{9, 2, 3, 4}, near) || !slices.EqualFunc(b.Values[0], []float64{2, 3, 4, 9}, near) {
		t.Errorf("%v and %v", a.Values, b.Values)
	}
}

// The nearest beat that will do, of two as near the later, no further than far; else the beat itself.
func TestNearestBeat(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 10)}
	for _, c := range []struct {
		at, far int
		do      []int
		want    int
	}{{5, 9, []int{5, 6}, 5}, {5, 9, []int{3, 7}, 7}, {5, 9, []int{4, 7}, 4}, {5, 2, []int{3}, 3}, {5, 1, []int{3}, 5}, {5, 9, []int{0}, 0}, {5, 9, []int{9}, 9}, {5, 3, []int{9}, 5}, {5, 9, nil, 5}} {
		if got := w.nearest(c.at, c.far, func(i int) bool { return slices.Contains(c.do, i) }); got != c.want {
			t.Errorf("from %d, %d far, of %v: %d, want %d", c.at, c.far, c.do, got, c.want)
		}
	}
}

// The first beat with the highest value, further than a distance from another.
func TestBestBeat(t *testing.T) {
	for _, c := range []struct {
		v           []float64
		from, apart int
		want        int
	}{{[]float64{1, 3, 3, 2}, -1, 0, 1}, {[]float64{1, 3, 3, 2}, 1, 0, 2}, {[]float64{1, 3, 3, 2}, 1, 1, 3}, {[]float64{1, 3, 3, 2}, 1, 2, -1}, {[]float64{5, 4, 1, 2}, 3, 2, 0}, {nil, -1, 0, -1}} {
		if got := best(c.v, c.from, c.apart); got != c.want {
			t.Errorf("of %v, %d from %d: %d, want %d", c.v, c.apart, c.from, got, c.want)
		}
	}
}

// The chance near a beat is that of the beats within a tenth of the phrase on either side;
// the middle of them halves it.
func TestWithinAndMiddle(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 20)} // a tolerance of two beats
	chances := make([]float64, 20)
	chances[0], chances[8], chances[10], chances[12] = 0.1, 0.2, 0.1, 0.6
	within := w.Within(chances)
	for at, want := range map[int]float64{0: 0.1, 2: 0.1, 3: 0, 5: 0, 6: 0.2, 8: 0.3, 10: 0.9, 11: 0.7, 12: 0.7, 14: 0.6, 15: 0, 19: 0} {
		if !near(within[at], want) {
			t.Errorf("near beat %d: %.2f, want %.2f", at, within[at], want)
		}
	}
	for at, want := range map[int]int{10: 12, 9: 8, 2: 0} {
		if got := w.middle(chances, at); got != want {
			t.Errorf("the middle around %d is %d, want %d", at, got, want)
		}
	}
	for n, want := range map[int]int{5: 1, 14: 1, 16: 2, 24: 2, 26: 3, 40: 4} {
		if got := (Way{Beats: make([]score.Tick, n)}).Tolerance(); got != want {
			t.Errorf("%d beats: a tolerance of %d, want %d", n, got, want)
		}
	}
}

// How much speaks for a move: contrary to none, slight under 0.3, plain under 0.9, large from
// there on. Our own classes.
func TestClassesOfMoves(t *testing.T) {
	for size, want := range map[float64]Class{-1: Contrary, 0: Contrary, 0.01: Slight, 0.29: Slight, 0.3: Plain, 0.89: Plain, 0.9: Large, 5: Large} {
		if got := classOf(size); got != want {
			t.Errorf("%v: %s, want %s", size, got, want)
		}
	}
	for _, c := range []struct {
		kind    Kind
		tension float64
		want    bool
	}{{Grow, -12, true}, {Grow, -11.9, false}, {Grow, 12, false}, {Ease, 12, true}, {Ease, 11.9, false}, {Taper, 12, true}, {Taper, -12, false}, {TakeTime, 50, false}, {Lean, math.NaN(), false}} {
		if got := (Move{Comparable: Comparable{Kind: c.kind}, Tension: c.tension}).against(); got != c.want {
			t.Errorf("%s while tension moves by %v: against %v", c.kind, c.tension, got)
		}
	}
}

// The climax of a section is its loudest goal, one at the loudest mark of the piece before all
// others, of two as loud the first; it is unsure where another is about as loud.
func TestClimaxOfASection(t *testing.T) {
	plan := func(marks string, wishes ...float64) *Plan {
		p := &Plan{}
		for i, w := range wishes {
			g := Goal{At: score.Tick(10 * i), Certainty: 2, Confidence: 0.9}
			if marks[i] == 'm' {
				g.Mark = "ff"
			}
			p.Goals, p.Proposals = append(p.Goals, g), append(p.Proposals, Proposal{Wish: w, Peak: w})
		}
		return p
	}
	for _, c := range []struct {
		name     string
		p        *Plan
		from, to score.Tick
		want     score.Tick
		rivalled bool
	}{
		{"the loudest", plan("...", 5, 7, 6), 0, 30, 10, false}, {"inside the section", plan("...", 5, 7, 6), 11, 30, 20, false}, {"where it starts", plan("...", 5, 7, 6), 10, 20, 10, false}, {"not where it ends", plan("...", 5, 7, 8), 0, 20, 10, false},
		{"at the mark", plan("m..", 5, 7, 6), 0, 30, 0, false}, {"as loud: the first", plan("...", 5, 7, 7), 0, 30, 10, true}, {"hardly louder", plan("..", 5, 5+standsOut-0.01), 0, 30, 10, true}, {"louder", plan("..", 5, 5+standsOut), 0, 30, 10, false},
		{"two marks", plan("mm", 7, 7), 0, 30, 0, true}, {"a mark and one as loud", plan("m.", 7, 7), 0, 30, 0, false},
	} {
		got := c.p.Climaxes([]Span{{c.from, c.to}})
		if len(got) != 1 || got[0].At != c.want || (got[0].Certainty == 0) != c.rivalled {
			t.Errorf("%s: %+v, want %d, rivalled %v", c.name, got, c.want, c.rivalled)
		}
	}
}

// What is asked for over a stretch is the longest hairpin there, none if they go both ways.
func TestAsksForTheLongest(t *testing.T) {
	h := func(from, to score.Tick, up bool) Hairpin {
		x := Hairpin{Start: from, End: to, From: 3, To: 4}
		if !up {
			x.To = 2
		}
		return x
	}
	for _, c := range []struct {
		list     []Hairpin
		from, to score.Tick
		want     score.Tick // where it starts, -1 none
	}{
		{[]Hairpin{h(0, 4, true), h(4, 12, true)}, 0, 12, 4}, {[]Hairpin{h(0, 4, true), h(4, 12, true)}, 0, 6, 0}, {[]Hairpin{h(0, 4, true), h(4, 8, true)}, 0, 8, 0}, {[]Hairpin{h(0, 4, true), h(4, 12, false)}, 0, 12, -1}, {[]Hairpin{h(0, 4, true), h(4, 12, false)}, 0, 4, 0},
		{[]Hairpin{h(0, 4, true)}, 4, 9, -1}, {[]Hairpin{h(0, 4, true)}, 3, 3, 0}, {nil, 0, 9, -1},
	} {
		got := score.Tick(-1)
		if x := (&Plan{Proposals: []Proposal{{Hairpins: c.list}}}).Asks(c.from, c.to); x != nil {
			got = x.Start
		}
		if got != c.want {
			t.Errorf("%+v from %d to %d: %d, want %d", c.list, c.from, c.to, got, c.want)
		}
	}
}

// The page bursts where it is louder at once by three quarters of a step and has not grown in
// the measure before. Our own bound.
func TestBursts(t *testing.T) {
	flat := func(from, to score.Tick, level float64) page.Segment {
		return page.Segment{Start: from, End: to, From: level, To: level}
	}
	for _, c := range []struct {
		name string
		page []page.Segment
		want bool
	}{
		{"a step", []page.Segment{flat(0, 12, 3), flat(12, 32, 4)}, true}, {"three quarters", []page.Segment{flat(0, 12, 3), flat(12, 32, 3+sudden)}, true}, {"less", []page.Segment{flat(0, 12, 3), flat(12, 32, 3+sudden-0.01)}, false}, {"softer", []page.Segment{flat(0, 12, 4), flat(12, 32, 3)}, false},
		{"grown before", []page.Segment{flat(0, 8, 3), {Start: 8, End: 9, From: 3, To: 3.1, Slope: 1}, flat(9, 12, 3.1), flat(12, 32, 6)}, false}, {"grown earlier", []page.Segment{flat(0, 7, 3), {Start: 7, End: 8, From: 3, To: 3.1, Slope: 1}, flat(8, 12, 3.1), flat(12, 32, 6)}, true},
		{"faded before", []page.Segment{flat(0, 8, 3), {Start: 8, End: 12, From: 3, To: 2, Slope: -1}, flat(12, 32, 6)}, true},
	} {
		s := melody(make([]int, 32)...)
		m := Material{Score: s, Page: along(c.page...)}
		if got := m.bursts(11, 12); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		if m.Page.Marked = false; m.bursts(11, 12) {
			t.Errorf("%s: an unmarked page bursts", c.name)
		}
	}
}

// A phrase closes the piece if it ends it, or starts in a coda or postlude.
func TestClosingPhrases(t *testing.T) {
	s := melody(make([]int, 32)...)
	for _, c := range []struct {
		name       form.Name
		start, end score.Tick
		want       bool
	}{{"", 16, 32, true}, {"", 16, 31, false}, {form.Coda, 20, 28, true}, {form.Postlude, 20, 28, true}, {form.Coda, 19, 28, false}, {form.Coda, 24, 28, false}, {form.Coda, 23, 28, true}, {form.Verse, 20, 28, false}} {
		a := &harmony.Analysis{}
		a.Form.Sections = []form.Section{{Name: c.name, Span: form.Span{Start: 20, End: 24}}}
		if got := (Material{Score: s, Analysis: a}).closing(phrasing.Phrase{Start: c.start, End: c.end}); got != c.want {
			t.Errorf("%q, %d to %d: %v", c.name, c.start, c.end, got)
		}
	}
	if (Material{Score: s}).closing(phrasing.Phrase{End: 32}) {
		t.Error("without an analysis a phrase closes")
	}
}

// A level keeps the name of the printed one: it leaves it by two fifths of a step at most.
func TestAsPrinted(t *testing.T) {
	for _, c := range []struct{ level, printed, want float64 }{{5, 3, 3.4}, {1, 3, 2.6}, {3.3, 3, 3.3}, {3.4, 3.2, 3.4}, {5, 3.6, 4.4}} {
		if got := (Material{Page: &page.Page{Marked: true}}).asPrinted(c.level, c.printed); !near(got, c.want) || page.Mark(got) != page.Mark(c.printed) {
			t.Errorf("%v where %v is printed: %v, want %v", c.level, c.printed, got, c.want)
		}
	}
	if got := (Material{Page: &page.Page{}}).asPrinted(5, 3); !near(got, 5) {
		t.Errorf("where nothing is printed: %v", got)
	}
}
