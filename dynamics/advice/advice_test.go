package advice

import (
	"math"
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
	"hairpin/score"
)

// melody is a line of quarters in 4/4, steps above C5, printed at one level or
// along a curve.
func melody(steps ...int) *score.Score {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	for i, step := range steps {
		if i%4 == 0 {
			s.Measures = append(s.Measures, score.Measure{Number: string(rune('1' + i/4)), Start: score.Tick(i), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		}
		s.Notes = append(s.Notes, score.Note{Onset: score.Tick(i), Duration: 1, Staff: 1, Voice: 1, Measure: i / 4, Pitch: score.Pitch{Step: step % 7, Octave: 5 + step/7}})
	}
	return s
}

func find(t *testing.T, s *score.Score, p *page.Page) *Plan {
	t.Helper()
	sh, err := shaping.Shape(s, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := Find(s, nil, p, sh)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

func along(g ...page.Segment) *page.Page {
	return &page.Page{Marked: true, Whole: page.Curve{Part: -1, Segments: g}}
}

// A line that climbs and falls goes to its top: "the higher, the louder"
// (Friberg, Bresin & Sundberg 2006, "Overview of the KTH rule system for musical
// performance", rule High loud; from memory).
func TestGoalIsTheTopOfTheLine(t *testing.T) {
	for _, top := range []int{5, 8, 11} {
		var steps []int
		for i := range 16 {
			steps = append(steps, 12-max(i-top, top-i))
		}
		s := melody(steps...)
		g := find(t, s, along(page.Segment{End: 16, From: page.MF, To: page.MF})).Goals
		if len(g) != 1 || max(g[0].At-score.Tick(top), score.Tick(top)-g[0].At) > 2 {
			t.Errorf("the top is at %d, the goal is %+v", top, g)
		}
		if g[0].Line <= 0 || math.Abs(g[0].Page) > 0.5 {
			t.Errorf("line %.2f, page %.2f speak for the top at %d", g[0].Line, g[0].Page, top)
		}
	}
}

// A printed crescendo goes to its end (common practice, no source).
func TestGoalIsWhereThePageGoes(t *testing.T) {
	s := melody(make([]int, 16)...)
	p := along(page.Segment{End: 8, From: page.P, To: page.F}, page.Segment{Start: 8, End: 16, From: page.F, To: page.P})
	plan := find(t, s, p)
	g := plan.Goals[0]
	if g.At < 7 || g.At > 9 || g.Page <= g.Line || g.Page <= 0 {
		t.Errorf("the page goes to 8, the goal is %+v", g)
	}
	x := plan.Proposals[0]
	if len(x.Hairpins) != 2 || !x.Hairpins[0].Grows() || x.Hairpins[1].Grows() || x.Hairpins[0].Cause != ByPage {
		t.Errorf("proposed are %+v", x.Hairpins)
	}
	if h := plan.Asks(0, 6); h == nil || !h.Grows() {
		t.Errorf("over the crescendo the plan asks for %+v", h)
	}
	if h := plan.Asks(4, 12); h != nil {
		t.Errorf("over the turn the plan asks for %+v", h)
	}
}

// The chances of a phrase add up to 1; the tolerance is a beat or a tenth.
func TestChances(t *testing.T) {
	w := Way{Beats: make([]score.Tick, 40), Values: [][]float64{make([]float64, 40)}}
	w.Values[0][20] = 5
	c := w.Chances([]float64{1})
	sum := 0.0
	for _, x := range c {
		sum += x
	}
	if math.Abs(sum-1) > 1e-9 || w.Tolerance() != 4 {
		t.Errorf("sum %.6f, tolerance %d", sum, w.Tolerance())
	}
	at, chance, _ := w.Goal([]float64{1})
	want := (math.Exp(5) + 8) / (math.Exp(5) + 39)
	if at != 20 || math.Abs(chance-want) > 1e-9 {
		t.Errorf("goal %d with %.4f, want 20 with %.4f", at, chance, want)
	}
	if (Way{Beats: make([]score.Tick, 8)}).Tolerance() != 1 {
		t.Error("a short phrase has a tolerance of a beat")
	}
}

// Advice that is no better than chance is not given: two standard errors of a
// share of a half in 100 places are 0.1 (the binomial's, any textbook).
func TestBorneOut(t *testing.T) {
	for _, c := range []struct {
		s    Share
		want bool
	}{
		{Share{0.55, 0.5, 100}, false}, {Share{0.61, 0.5, 100}, true}, {Share{0.55, 0.5, 1000}, true}, {Share{}, false}, {Share{0.4, 0.5, 1000}, false},
	} {
		if c.s.BorneOut() != c.want {
			t.Errorf("%+v: %v", c.s, !c.want)
		}
	}
}

func TestTableSaysWhere(t *testing.T) {
	for bad, want := range map[string]string{
		"goal\tmelody height":                    "line 1",
		"goal\tmelody\t1":                        `line 1: there is no quantity "melody"`,
		"# x\nshare\tgrow\tlarge\tmost\t0.5\t10": `line 2: "most"`,
		"wish\tgrow\t1":                          "no row",
	} {
		if _, err := readTable(bad); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gives the error %v, want %q", bad, err, want)
		}
	}
	tab, err := table()
	if err != nil || len(tab.Shares) < 9 {
		t.Fatalf("the table: %v", err)
	}
	names, _ := Quantities()
	for k, w := range tab.Weights {
		if w == 0 {
			t.Errorf("%s weighs nothing", names[k])
		}
	}
	if a, b := tab.Confidence(0.3), tab.Confidence(0.9); !(a > 0.1 && a < b && b < 1) {
		t.Errorf("confidence %.2f and %.2f", a, b)
	}
}

// Every demo: goals lie in their phrases, hairpins meet at them, proposals stay
// near the page, and no advice is given that players do not bear out.
func TestDemos(t *testing.T) {
	for _, name := range []string{"etude-millrace", "quartet-below-the-weir", "song-ferry-lamp", "vibraphone-low-water"} {
		f, err := musicxml.Open("../../testdata/" + name + ".musicxml")
		if err != nil {
			t.Fatal(err)
		}
		a, err := harmony.Analyse(f.Score, harmony.Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := page.Printed(f.Score, a.Phrases)
		sh, err := shaping.Shape(f.Score, a, p)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := Find(f.Score, a, p, sh)
		if err != nil {
			t.Fatal(err)
		}
		if len(plan.Goals) != len(a.Phrases) || len(plan.Proposals) != len(plan.Goals) {
			t.Errorf("%s: %d goals, %d proposals of %d phrases", name, len(plan.Goals), len(plan.Proposals), len(a.Phrases))
		}
		checkPlan(t, name, plan, p)
	}
}

func checkPlan(t *testing.T, name string, plan *Plan, p *page.Page) {
	t.Helper()
	for i, g := range plan.Goals {
		if g.At < g.Start || g.At >= g.End || g.Confidence <= 0 || g.Confidence >= 1 || g.Certainty != tonal.CertaintyOf(g.Confidence) {
			t.Errorf("%s: goal %+v", name, g)
		}
		x := plan.Proposals[i]
		for _, h := range x.Hairpins {
			if h.Grows() && (h.Start != g.Start && h.Start > g.At || h.End != g.At) || !h.Grows() && (h.Start != g.At || h.End != g.End) || h.Against != (h.Reason != "") {
				t.Errorf("%s: hairpin %+v of %+v", name, h, g)
			}
		}
		if off := x.Peak - p.Whole.At(x.Goal); off > nearPage+1e-9 || off < -atGoal-1e-9 {
			t.Errorf("%s: the goal is %.2f off the page", name, off)
		}
	}
	for _, x := range plan.Advice {
		if x.Share <= x.Baseline || x.Kind == Lean || x.Start >= x.End || x.Against != (x.Reason != "") {
			t.Errorf("%s: advice %+v", name, x)
		}
	}
	all := Span{0, plan.Goals[len(plan.Goals)-1].End}
	for _, c := range plan.Climaxes([]Span{all, {all.End, all.End + 1}}) {
		for _, x := range plan.Proposals {
			if c.Mark == "" && x.Peak > c.Level || c.Mark != "" && p.Whole.At(c.At) < p.Range.High-asLoud {
				t.Errorf("%s: the climax is %+v, but %+v is louder", name, c, x)
			}
		}
	}
	if n := len(plan.Climaxes([]Span{all, {all.End, all.End + 1}})); n != 1 {
		t.Errorf("%s: %d climaxes, want that of the piece", name, n)
	}
}

func TestNothingToPlan(t *testing.T) {
	s := &score.Score{Division: 1}
	plan, err := Find(s, nil, page.Printed(s, nil), &shaping.Shaping{})
	if err != nil || len(plan.Goals)+len(plan.Advice)+len(plan.Proposals) > 0 || plan.Climaxes([]Span{{0, 1}}) != nil {
		t.Errorf("%+v, %v", plan, err)
	}
}
