package advice

import (
	"math"
	"slices"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A place inside a printed growth is not where a phrase goes: the end of the growth is, the
// beat before it where the page drops there or nobody goes there; a note with a point of its
// own stays, and so does a place with no growth in its measure (common practice, no source).
func TestGoalAtTheEndOfAGrowth(t *testing.T) {
	for _, c := range []struct {
		name             string
		at, want         int
		drop, bar, point bool
	}{
		{"inside", 5, 8, false, false, false}, {"before it in its measure", 4, 8, false, false, false}, {"a measure before", 3, 3, false, false, false},
		{"a drop at its end", 5, 7, true, false, false}, {"barred", 5, 7, false, true, false}, {"a point", 5, 5, false, false, true},
	} {
		end := page.F
		if c.drop {
			end = page.PP
		}
		s := melody(make([]int, 16)...)
		m := Material{Score: s, Beats: Beats(s), Page: along(page.Segment{End: 5, From: page.P, To: page.P},
			page.Segment{Start: 5, End: 8, From: page.P, To: page.F, Slope: 1}, page.Segment{Start: 8, End: 16, From: end, To: end})}
		w := m.Ways()[0]
		clear(w.Points)
		w.Points[c.at], w.Barred[8] = c.point, c.bar
		if got := w.grown(c.at); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// A phrase goes to the fermata on its top or on a mark in the measure beside its goal, not to
// one two measures off, on another note, or where nobody goes (common practice, no source).
func TestGoalUnderAFermata(t *testing.T) {
	steps := make([]int, 16)
	steps[9] = 4
	for _, c := range []struct{ fermata, at, want int }{{9, 6, 9}, {9, 3, 3}, {10, 6, 6}} {
		s := melody(steps...)
		s.Fermatas = []score.Fermata{{Place: score.Place{At: score.Tick(c.fermata)}}}
		w := Material{Score: s, Beats: Beats(s), Page: along(page.Segment{End: 16, From: page.P, To: page.P})}.Ways()[0]
		if got := w.held(c.at); got != c.want {
			t.Errorf("a fermata at %d, the goal at %d: %d, want %d", c.fermata, c.at, got, c.want)
		}
		w.Barred[c.fermata] = true
		if got := w.held(c.at); got != c.at {
			t.Errorf("a barred fermata at %d is gone to", c.fermata)
		}
	}
}

// A phrase whose line has its top after the first measure, or whose page grows after its
// start, does not fall (common practice, no source).
func TestNoFallWhereLineOrPageRise(t *testing.T) {
	w := func() Way {
		v := Way{Beats: make([]score.Tick, 12), Bars: make([]int, 12), Printed: slices.Repeat([]float64{page.P}, 12), Grown: make([]int, 12), Top: 1}
		for i := range v.Beats {
			v.Bars[i], v.Grown[i] = i/4, i
		}
		v.Printed[0], v.Printed[1] = page.F, page.F
		return v
	}
	falls, line, grows := w(), w(), w()
	line.Top, grows.Grown[6] = 4, 8
	if !falls.fades(0) || line.fades(0) || grows.fades(0) {
		t.Errorf("falls %v, with a later top %v, with a growth %v", falls.fades(0), line.fades(0), grows.fades(0))
	}
}

// The loudest mark holds until the page falls: a growth that comes back to it later is no
// place of the mark. A phrase may be proposed as loud only where it stands or holds.
func TestLoudestMarkHolds(t *testing.T) {
	s := melody(make([]int, 16)...)
	p := along(page.Segment{End: 8, From: page.FF, To: page.FF}, page.Segment{Start: 8, End: 12, From: page.FF, To: page.P, Slope: -1},
		page.Segment{Start: 12, End: 15, From: page.P, To: page.FF, Slope: 1}, page.Segment{Start: 15, End: 16, From: page.FF, To: page.FF})
	p.Zones, p.Range = []page.Zone{{End: 16, Text: "ff", Level: page.FF}}, page.Range{Low: page.P, High: page.FF}
	m := Material{Score: s, Beats: Beats(s), Page: p}
	for at, want := range map[score.Tick]bool{0: true, 7: true, 10: false, 15: false} {
		if got := m.loudest(at, at+1); got != want {
			t.Errorf("beat %d: %v", at, got)
		}
	}
	if !math.IsInf(m.ceiling(0, 8), 1) || math.IsInf(m.ceiling(12, 16), 1) {
		t.Errorf("ceilings %.1f and %.1f", m.ceiling(0, 8), m.ceiling(12, 16))
	}
}

// A goal in the measure of its mark is proposed by the mark's name; one that the page grows
// to from the mark, or of the next measure, may be louder.
func TestGoalKeepsItsMark(t *testing.T) {
	s := melody(make([]int, 12)...)
	flat, grows := along(page.Segment{End: 12, From: page.MF, To: page.MF}), along(page.Segment{End: 12, From: page.MF, To: page.F, Slope: 1})
	for i, c := range []struct {
		p    *page.Page
		at   score.Tick
		want string
	}{{flat, 6, "mf"}, {flat, 8, "f"}, {grows, 6, "f"}} {
		c.p.Zones = []page.Zone{{End: 4, Text: "p", Level: page.P}, {Start: 4, End: 12, Text: "mf", Level: page.MF}}
		m := Material{Score: s, Page: c.p, Beats: Beats(s)}
		if got := page.Mark(m.asMarked(page.F, c.at)); got != c.want {
			t.Errorf("%d: %s, want %s", i, got, c.want)
		}
		c.p.Accents = []page.Accent{{At: c.at, Sign: "sf"}}
		if got := page.Mark(m.asMarked(page.F, c.at)); got != "f" {
			t.Errorf("%d: an accent is held at %s", i, got)
		}
		c.p.Accents = nil
	}
}

// The lines of a hymn, which end under fermatas, go somewhere though they are short, never
// surely, and not to the chord under the fermata; the same short phrases with fewer fermatas go
// nowhere (common practice, no source).
func TestLinesOfAHymn(t *testing.T) {
	tune := []int{0, 1, 2, 5, 3, 2, 1, 6}
	for n := range 4 { // fermatas: two in three phrases are enough
		hymn := n >= 2
		s := melody(slices.Concat(tune, tune, tune)...)
		a := &harmony.Analysis{}
		for i := range 3 {
			a.Phrases = append(a.Phrases, phrasing.Phrase{Start: score.Tick(8 * i), End: score.Tick(8*i + 8), Cadence: -1})
			if i < n {
				s.Fermatas = append(s.Fermatas, score.Fermata{Place: score.Place{At: score.Tick(8*i + 7)}})
			}
		}
		ways := Material{Score: s, Analysis: a, Page: &page.Page{}, Beats: Beats(s)}.Ways()
		g := (&Table{Weights: make([]float64, len(quantities())), Slope: 1, Offset: 9}).Goals(ways)[0]
		if g.Told() != hymn || hymn && (g.At == 7 || g.Certainty != tonal.Unsure) {
			t.Errorf("%d fermatas: %+v", n, g)
		}
		if ways[0].Barred[7] != hymn {
			t.Errorf("%d fermatas: the last chord barred %v", n, ways[0].Barred[7])
		}
	}
}

// Of two peaks nearly equal the later one is the goal, and one in the first measure gives way
// sooner (common practice, no source).
func TestLaterOfTwoPeaks(t *testing.T) {
	bars := []int{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2}
	peaks := func(a, b int, of float64) []float64 {
		out := make([]float64, len(bars))
		out[a], out[b] = 0.5, 0.5*of
		return out
	}
	for _, c := range []struct {
		chances []float64
		want    int
	}{{peaks(5, 9, 0.9), 9}, {peaks(5, 9, 0.8), 5}, {peaks(2, 9, 0.65), 9}, {peaks(2, 9, 0.5), 2}, {peaks(5, 6, 0.95), 5}} {
		w := Way{Beats: make([]score.Tick, len(bars)), Bars: bars}
		if got := w.later(c.chances); got != c.want {
			t.Errorf("%v: %d, want %d", c.chances, got, c.want)
		}
	}
}

// Nobody aims at the release of a printed swell (common practice, no source): the goal is its
// top, unless a mark stands on the release.
func TestGoalAtTheTopOfASwell(t *testing.T) {
	m := Material{Page: along(page.Segment{End: 9, From: page.P, To: page.MP, Slope: 1}, page.Segment{Start: 9, End: 12, From: page.MP, To: page.P, Slope: -1}, page.Segment{Start: 12, End: 32, From: page.P, To: page.P})}
	if !m.crests(8, 10) || m.crests(6, 8) || m.crests(9, 11) {
		t.Error("the swell tops at 9")
	}
	w := Way{Beats: make([]score.Tick, 6), Bars: []int{0, 0, 0, 1, 1, 2}, Printed: []float64{3, 3.5, 4, 3.5, 3, 3},
		Crests: []bool{false, true, false, false, false, false}, Points: make([]bool, 6), Tops: make([]bool, 6)}
	w.Printed[1] = 4
	for at, want := range []int{0, 1, 2, 1, 1, 5} {
		if got := w.crest(at); got != want {
			t.Errorf("beat %d: %d, want %d", at, got, want)
		}
	}
	w.Points[3] = true
	if got := w.crest(3); got != 3 {
		t.Errorf("beat 3 with a mark: %d", got)
	}
}
