package advice

import (
	"math"
	"slices"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/score"
)

// A proposal starts from the mark in force, holds every printed level of its phrase
// and never runs against a printed hairpin (common practice, no source).
func TestProposalFollowsThePrint(t *testing.T) {
	steps := []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 8, 7, 6, 5, 4, 3}
	for _, c := range []struct {
		name string
		page *page.Page
		want []string
	}{
		{"a crescendo late in the phrase", along(page.Segment{End: 8, From: page.P, To: page.P}, page.Segment{Start: 8, End: 12, From: page.P, To: page.F, Slope: 1},
			page.Segment{Start: 12, End: 16, From: page.P, To: page.P}), []string{"p", "f", "p"}},
		{"a softer mark inside", along(page.Segment{End: 8, From: page.F, To: page.F}, page.Segment{Start: 8, End: 12, From: page.PP, To: page.PP},
			page.Segment{Start: 12, End: 16, From: page.F, To: page.F}), []string{"f", "pp", "f"}},
	} {
		x := find(t, melody(steps...), c.page).Proposals[0]
		var got []string
		for _, l := range x.Turns {
			got = append(got, page.Mark(l.Level))
		}
		if got[0] != c.want[0] || got[len(got)-1] != c.want[2] || !slices.Contains(got, c.want[1]) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Turns that go the same way are one; of more than three the smallest swings go until five are
// left, and then all under a step and a half. Our own bounds.
func TestTurns(t *testing.T) {
	for _, c := range []struct{ levels, want []float64 }{
		{[]float64{3, 4, 5}, []float64{3, 5}}, {[]float64{3, 3.4, 3}, []float64{3}}, {[]float64{3, 5, 3}, []float64{3, 5, 3}}, {[]float64{3, 6, 4.5, 7}, []float64{3, 6, 4.5, 7}}, {[]float64{3, 6, 4.6, 7}, []float64{3, 7}},
		{[]float64{2, 6, 3, 7, 5, 8, 2}, []float64{2, 6, 3, 8, 2}},
		{[]float64{3, 4, 6, 5, 3, 3.2}, []float64{3, 6, 3}},
		{[]float64{3, 6, 5, 6, 2, 7, 3}, []float64{3, 6, 2, 7, 3}},
	} {
		var all []Turn
		for i, level := range c.levels {
			all = append(all, Turn{At: score.Tick(i), Level: level})
		}
		var got []float64
		for _, x := range turns(all) {
			got = append(got, x.Level)
		}
		if !slices.EqualFunc(got, c.want, near) {
			t.Errorf("%v: %v, want %v", c.levels, got, c.want)
		}
	}
}

// The page's loudest mark is proposed only where it stands or holds: elsewhere the name below
// it, however far a crescendo may be meant to go (common practice, no source).
func TestLoudestMarkIsKeptForItsPlace(t *testing.T) {
	ff := page.Zone{Start: 8, End: 16, Level: page.FF, Text: "ff"}
	p := along(page.Segment{End: 8, From: page.P, To: page.P}, page.Segment{Start: 8, End: 16, From: page.FF, To: page.FF})
	p.Range, p.Zones = page.Range{Low: page.P, High: page.FF}, []page.Zone{ff}
	m := Material{Score: melody(make([]int, 16)...), Page: p}
	m.Beats = Beats(m.Score)
	for _, c := range []struct {
		lo, hi int
		want   string
	}{{0, 8, "f"}, {4, 12, "ff"}, {9, 16, "ff"}} {
		if got := page.Mark(m.onPage(page.FF, 0, m.ceiling(c.lo, c.hi))); got != c.want {
			t.Errorf("beats %d to %d: %s, want %s", c.lo, c.hi, got, c.want)
		}
	}
}

// A page of ff alone leaves no fff, one of f a step above it; a fading past pp stays pp.
// Levels that nobody printed are not told: our own rule.
func TestNoLevelBeyondThePage(t *testing.T) {
	for _, c := range []struct {
		marks page.Range
		level float64
		want  string
	}{
		{page.Range{Low: page.FF, High: page.FF}, 8, "ff"},
		{page.Range{Low: page.F, High: page.F}, 8, "ff"},
		{page.Range{Low: page.PP, High: page.F}, 1.01, "pp"},
		{page.Range{Low: page.P, High: page.FFF}, 8, "fff"},
	} {
		m := Material{Page: &page.Page{Marked: true, Range: c.marks}}
		if got := page.Mark(m.onPage(c.level, 0, math.Inf(1))); got != c.want {
			t.Errorf("%.2f on a page of %v is told %s, want %s", c.level, c.marks, got, c.want)
		}
	}
}

// A goal under the page's loudest mark bears that mark's name, though another part that
// still holds a softer one draws the level of the whole down (our own rule).
func TestGoalBearsTheLoudestMark(t *testing.T) {
	for _, c := range []struct {
		zone int // where the f stands
		want string
	}{{8, "f"}, {12, "mf"}} {
		p := along(page.Segment{End: 8, From: page.P, To: page.P}, page.Segment{Start: 8, End: 16, From: page.MF + 0.3, To: page.MF + 0.3})
		p.Range = page.Range{Low: page.P, High: page.F}
		p.Zones = []page.Zone{{End: 8, Level: page.P, Text: "p"}, {Start: score.Tick(c.zone), End: 16, Level: page.F, Text: "f"}}
		s := melody(make([]int, 16)...)
		m := Material{Score: s, Page: p, Beats: Beats(s)}
		sh := &shaping.Shaping{}
		got := page.Mark(m.propose(sh, &Table{}, []Goal{{Start: 0, End: 16, At: 8}}, nil)[0].Peak)
		if got != c.want {
			t.Errorf("f at beat %d: the goal on beat 8 is proposed %s, want %s", c.zone, got, c.want)
		}
	}
}

// A growth past the page's only marks is followed as it is printed, as far as ff: cresc. from a
// p that no louder mark answers is no p (common practice, no source).
func TestPrintedGrowthIsFollowed(t *testing.T) {
	for _, c := range []struct {
		from float64
		want []string
	}{{page.P, []string{"p", "mp", "p"}}, {page.FF, []string{"ff"}}} {
		p := along(page.Segment{End: 8, From: c.from, To: c.from + 1, Slope: 1}, page.Segment{Start: 8, End: 16, From: c.from, To: c.from})
		p.Range, p.Zones = page.Range{Low: c.from - 1, High: c.from}, []page.Zone{{End: 16, Level: c.from, Text: c.want[0]}}
		m := Material{Score: melody(make([]int, 16)...), Page: p}
		m.Beats = Beats(m.Score)
		var got []string
		for _, x := range m.propose(&shaping.Shaping{}, &Table{}, []Goal{{End: 16, At: 4}}, nil)[0].Turns {
			got = append(got, page.Mark(x.Level))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%v, want %v", got, c.want)
		}
	}
}

// A phrase that goes nowhere is proposed as it is printed, one of which no place stands out
// is still shaped: our own rule.
func TestNoGrowthToNowhere(t *testing.T) {
	p := along(page.Segment{End: 16, From: page.PP, To: page.PP})
	p.Range = page.Range{Low: page.PP, High: page.F}
	m := Material{Score: melody(make([]int, 16)...), Page: p}
	m.Beats = Beats(m.Score)
	loud := &shaping.Shaping{}
	for at := range 16 {
		loud.Proposals = append(loud.Proposals, shaping.Proposal{At: score.Tick(at), Level: page.P})
	}
	for lack, want := range map[Lack]string{Rests: "pp", Short: "pp", Vague: "p", "": "p"} {
		got := page.Mark(m.propose(loud, &Table{}, []Goal{{End: 16, At: 8, Lack: lack}}, nil)[0].Peak)
		if got != want {
			t.Errorf("a phrase that %s: %s, want %s", lack, got, want)
		}
	}
}
