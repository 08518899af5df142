package advice

import (
	"math"
	"slices"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

func signed(t *testing.T, m Material, name string) []float64 {
	t.Helper()
	for _, s := range m.Signs() {
		if s.Name == name {
			return s.Values
		}
	}
	t.Fatalf("no sign %q", name)
	return nil
}

// plain is material of a tune of quarters in 4/4, steps of the staff, under a page.
func plain(p *page.Page, steps ...int) Material {
	m := Material{Score: melody(steps...), Page: p, Says: map[shaping.Cause][]float64{}}
	for _, n := range m.Score.Notes {
		m.Grid = append(m.Grid, n.Onset)
	}
	return m
}

// The nearer the tune is to its top the more it speaks for a measure, up to a major third
// below it; a higher note elsewhere speaks against it only where the page is as loud. Our own
// measures.
func TestSignsOfTheTune(t *testing.T) {
	steps := []int{0, 0, 0, 0, 0, 5, 0, 0, 0, 6, 0, 0, 0, 0, 0, 0} // C, A, B, C
	level := func(last float64) *page.Page {
		return along(page.Segment{End: 8, From: page.F, To: page.F}, page.Segment{Start: 8, End: 12, From: last, To: last}, page.Segment{Start: 12, End: 16, From: page.P, To: page.P})
	}
	m := plain(level(page.F), steps...)
	near := func(name string, want ...float64) {
		t.Helper()
		for i, x := range signed(t, m, name) {
			if math.Abs(x-want[i]) > 1e-9 {
				t.Errorf("%s: %v, want %v", name, signed(t, m, name), want)
				return
			}
		}
	}
	near("top of the tune", 0, 0.5, 1, 0)
	near("higher elsewhere", 1, 0.25, 0, 1)
	m = plain(level(page.P), steps...) // the B is soft: it says nothing against the A
	near("higher elsewhere", 1, 0, 0, 1)
	near("soft", 0, 0, 0, 0) // the page knows no f by a mark
	m.Page.Range = page.Range{Low: page.P, High: page.F}
	near("soft", 0, 0, 1, 1)
}

// Marks and accents shared by several measures count for less; a growth that goes on in the
// next stretch of the page has not ended.
func TestSignsOfThePage(t *testing.T) {
	p := along(page.Segment{End: 2, From: 3, To: 4, Slope: 1}, page.Segment{Start: 2, End: 8, From: 4, To: 6, Slope: 1}, page.Segment{Start: 8, End: 16, From: 6, To: 6})
	p.Range = page.Range{Low: page.P, High: page.F}
	p.Zones = []page.Zone{{Start: 0, End: 8, Text: "p", Level: page.P}, {Start: 8, End: 12, Text: "f", Level: page.F}, {Start: 12, End: 16, Text: "f", Level: page.F}}
	p.Accents = []page.Accent{{At: 5, Sign: "sfz"}, {At: 9, Sign: "fp"}, {At: 13, Sign: "sf", Note: true}}
	m := plain(p, make([]int, 16)...)
	root := 1 / math.Sqrt2
	for name, want := range map[string][]float64{"loudest mark": {0, 0, root, root}, "emphatic accent": {0, 1, 0, 0}, "end of a growth": {0, 0, 1, 0}} {
		for i, x := range signed(t, m, name) {
			if math.Abs(x-want[i]) > 1e-9 {
				t.Errorf("%s: %v, want %v", name, signed(t, m, name), want)
				break
			}
		}
	}
	for sign, want := range map[string]bool{"sf": true, "sfz": true, "sffz": true, "fz": true, "rf": true, "rfz": true, "fp": false, ">": false, "^": false, "f": false} {
		if Emphatic(sign) != want {
			t.Errorf("%s is emphatic: %v", sign, !want)
		}
	}
}

// Of two f the climax is the one with the higher note, though the other is louder in sound
// (common practice, no source); a peak at the opening is none, and without a peak nothing is
// sure.
func TestSummit(t *testing.T) {
	tab, err := table()
	if err != nil {
		t.Fatal(err)
	}
	at := func(high int, marks ...int) *Summit {
		steps := make([]int, 120)
		steps[4*high+1] = 9
		p := along(page.Segment{End: 120, From: page.MF, To: page.MF})
		p.Range = page.Range{Low: page.MF, High: page.F}
		for _, i := range marks {
			p.Zones = append(p.Zones, page.Zone{Start: score.Tick(4 * i), End: score.Tick(4*i + 4), Text: "f", Level: page.F})
		}
		m := plain(p, steps...)
		m.Says[shaping.ByPage] = make([]float64, 120)
		m.Says[shaping.ByPage][40] = 0.5
		return tab.summit(m)
	}
	if got := at(20, 10, 20); got.Measure != 20 || got.Certainty == tonal.Unsure {
		t.Errorf("the higher f: %+v", got)
	}
	if got := at(1, 1); got.Measure == 1 {
		t.Errorf("in the opening: %+v", got)
	}
	one, two := at(20, 20), at(20, 8)
	if one.Confidence <= two.Confidence {
		t.Errorf("with the mark %.2f, mark elsewhere %.2f: together is surer", one.Confidence, two.Confidence)
	}
	if got := tab.summit(Material{Score: &score.Score{}, Page: &page.Page{}}); got != nil {
		t.Errorf("of nothing: %+v", got)
	}
}

// It is sure only where players too are about loudest, and not in a short piece.
func TestSummitIsSureForBoth(t *testing.T) {
	tab := &Table{SignSlope: 1, HeardSlope: 1}
	for _, c := range []struct {
		about, heard float64
		measures     int
		want         tonal.Certainty
	}{{0.9, 0.75, 30, tonal.Sure}, {0.9, 0.65, 30, tonal.Likely}, {0.7, 0.9, 30, tonal.Likely}, {0.9, 0.9, 12, tonal.Likely}, {0.5, 0.9, 30, tonal.Unsure}, {0.5, 0.2, 30, tonal.Unsure}} {
		if _, _, got := tab.Summits(c.about, c.heard, c.measures); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// A climax lies past a twelfth of the piece, or its introduction, and in a song where the
// voice sings: it enters in the first third and goes on past the half, else there is none to
// wait for.
func TestRising(t *testing.T) {
	for _, c := range []struct {
		name     string
		sung     []score.Tick
		intro    score.Tick
		from, to score.Tick
	}{
		{"from the second measure", []score.Tick{4, 9, 21}, 0, 4, 24}, {"up to the last but one", []score.Tick{4, 17}, 0, 4, 20}, {"it enters past a third", []score.Tick{8, 20}, 0, 2, 24}, {"just before", []score.Tick{7, 20}, 0, 7, 24}, {"it ends at the half", []score.Tick{4, 11}, 0, 4, 24}, {"just after", []score.Tick{4, 12}, 0, 4, 16}, {"nobody sings", nil, 0, 2, 24}, {"after an introduction", nil, 6, 6, 24},
	} {
		s, f := melody(make([]int, 24)...), form.Form{}
		for _, at := range c.sung {
			s.Syllables = append(s.Syllables, score.Syllable{Place: score.Place{At: at}})
		}
		if c.intro > 0 {
			f.Sections = []form.Section{{Span: form.Span{End: c.intro}, Name: form.Introduction}}
		}
		if from, to := Rising(s, f); from != c.from || to != c.to {
			t.Errorf("%s: %d to %d, want %d to %d", c.name, from, to, c.from, c.to)
		}
	}
}

// The probability about a place is held inside the piece.
func TestAbout(t *testing.T) {
	v := []float64{0.1, 0.2, 0.3, 0.4}
	for _, c := range []struct {
		at, reach int
		want      float64
	}{{0, 1, 0.3}, {2, 1, 0.9}, {3, 2, 0.9}} {
		if got := About(v, c.at, c.reach); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %v", c, got)
		}
	}
	if Highest(v) != 3 || Highest([]float64{2, 1, 2}) != 0 || Reach(20) != 2 || Reach(200) != 4 || !slices.Contains(SignNames(), "place") {
		t.Error("highest, reach or names")
	}
}
