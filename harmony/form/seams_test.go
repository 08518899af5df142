package form

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"hairpin/score"
)

// dots are notes of one bar, each a time; all stand on one place.
func dots(times ...score.Tick) (b bar) {
	for _, at := range times {
		b.dots = append(b.dots, dot{at: at, place: 30, key: 60})
	}
	b.full = 4 * division
	return b
}

func close9(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// Two bars have the rhythm in common by twice the onsets they share over all (Dice 1945);
// the texture changes with a bar by what two bars on either side have less in common across
// it than among themselves, and beside silence nothing is compared.
func TestTextureTurns(t *testing.T) {
	half, four := dots(0, 8), dots(0, 4, 8, 12)
	for _, c := range []struct {
		name string
		bars []bar
		want float64 // with the third bar
	}{
		{"all alike", []bar{four, four, four, four}, 0}, {"all new", []bar{dots(0), dots(0), dots(4), dots(4)}, 1},
		{"halves, then quarters", []bar{half, half, four, four}, 1 - 2*2/6.0}, {"no two alike", []bar{dots(0), dots(1), dots(2), dots(3)}, 0},
		{"alike across", []bar{dots(0), dots(4), dots(0), dots(4)}, -0.5}, {"silence before", []bar{{}, half, four, four}, 0}, {"silence after", []bar{half, half, four, {}}, 0},
	} {
		if got := (&page{bars: c.bars}).turn(2); !close9(got, c.want) {
			t.Errorf("%s: %.3f, want %.3f", c.name, got, c.want)
		}
	}
	p := &page{bars: []bar{{}, {}, half, four, dots(1, 9)}}
	for _, c := range []struct {
		i, j int
		want float64
	}{{0, 1, 1}, {0, 2, 0}, {2, 2, 1}, {2, 3, 4 / 6.0}, {3, 2, 4 / 6.0}, {2, 4, 0}} {
		if got := p.rhythm(c.i, c.j); !close9(got, c.want) {
			t.Errorf("bars %d and %d have %.3f in common, want %.3f", c.i, c.j, got, c.want)
		}
	}
}

// A change of texture is told where two bars stand on either side: the first that can be is
// the third bar, the last the one before the last.
func TestTurnsAtTheEnds(t *testing.T) {
	for bars, want := range map[string]int{"eeqq": 2, "eeeqq": 3, "eeq": -1, "eeeq": -1, "eqq": -1, "eeee": -1} {
		var tune []string
		for _, c := range bars {
			tune = append(tune, map[rune]string{'e': "c", 'q': "cdef"}[c])
		}
		for len(tune)%4 != 0 { // the helper writes whole phrases
			tune = append(tune, "c")
		}
		s, _ := write(tune, nil)
		s.Measures = s.Measures[:len(bars)]
		s.Notes = slices.DeleteFunc(s.Notes, func(n score.Note) bool { return n.Measure >= len(bars) })
		got := -1
		for at := range Turns(s, 0) {
			got = barOf(at)
		}
		if got != want {
			t.Errorf("%s: turns at bar %d, want %d", bars, got, want)
		}
	}
}

// A new signature lasts if eight measures stand before it, or since the change before, and
// eight after it: our own bound.
func TestLastingSigns(t *testing.T) {
	for _, c := range []struct {
		bars    int
		changes []int
		want    []int
	}{
		{16, []int{8}, []int{8}}, {16, []int{7}, nil}, {15, []int{8}, nil}, {24, []int{8, 16}, []int{8, 16}}, {23, []int{8, 15}, nil}, {24, []int{8, 15}, nil}, {30, []int{8, 15, 22}, nil}, {30, []int{2, 10, 20}, []int{10, 20}},
	} {
		s := &score.Score{Division: division}
		for i := range c.bars {
			s.Measures = append(s.Measures, score.Measure{Start: score.Tick(16 * i), Length: 16, Nominal: 16})
		}
		s.Keys, s.Times = []score.KeyMark{{}}, []score.TimeMark{{Text: "4/4"}}
		var want []score.Tick
		for i, b := range c.changes {
			s.Keys = append(s.Keys, score.KeyMark{Place: score.Place{At: score.Tick(16 * b)}, Fifths: i + 1})
			s.Times = append(s.Times, score.TimeMark{Place: score.Place{At: score.Tick(16 * b)}, Text: "4/4"}) // the same metre again is no change
		}
		for _, b := range c.want {
			want = append(want, score.Tick(16*b))
		}
		if got := Signs(s); !slices.Equal(got, want) {
			t.Errorf("%d bars, changes at %v: %v, want %v", c.bars, c.changes, got, want)
		}
	}
}

// Where returns start and end: a return after four bars of other music comes back, one after
// less is a repetition; eight bars, or the opening, come back for long.
func TestEdges(t *testing.T) {
	r := func(count, between int, opening bool) Return {
		again := count + between
		return Return{FirstBar: 0, Bar: again, Count: count, Opening: opening, First: Span{0, score.Tick(count)}, Again: Span{score.Tick(again), score.Tick(again + count)}}
	}
	for _, c := range []struct {
		r                                  Return
		backs, begins, again, whole, ends1 string
	}{
		{r(8, 4, false), "[12]", "[0 12]", "[]", "[8 20]", "[8 20]"}, {r(7, 4, false), "[]", "[0 11]", "[]", "[]", "[7 18]"},
		{r(8, 3, false), "[]", "[]", "[0]", "[]", "[8 19]"}, {r(4, 4, true), "[8]", "[0 8]", "[]", "[]", "[4 12]"}, {r(8, 3, true), "[]", "[]", "[0]", "[]", "[8 19]"},
	} {
		e := edges([]Return{c.r})
		if got, want := fmt.Sprint(e.backs, e.begins, e.again, e.whole, e.ends), strings.Join([]string{c.backs, c.begins, c.again, c.whole, c.ends1}, " "); got != want {
			t.Errorf("%d bars after %d, opening %v: %s, want %s", c.r.Count, c.r.Between(), c.r.Opening, got, want)
		}
	}
	for _, c := range []struct {
		from, to score.Tick
		want     bool
	}{{0, 4, false}, {0, 5, true}, {5, 5, true}, {6, 9, false}, {6, 10, true}, {11, 99, false}} {
		if got := hit([]score.Tick{5, 10}, c.from, c.to); got != c.want {
			t.Errorf("from %d to %d: %v", c.from, c.to, got)
		}
	}
}

// A section whose bars come for more than half from one earlier letter is that again, or
// whose first eight do for three quarters; of two letters the one with more, then the first.
// It is changed if more than half of those were.
func TestCoverOfASection(t *testing.T) {
	for _, c := range []struct {
		name    string
		source  string // a bar a sign: letter of the section it comes from, capital if changed, . new
		of      int
		share   float64
		changed bool
	}{
		{"all", "aaaaaaaa", 0, 1, false}, {"none", "........", -1, 0, false}, {"half of many", "....aaaa....aaaa", -1, 0, false}, {"one bar more", "....aaaa....aaaaa", 0, 9 / 17.0, false},
		{"six of the first eight", "aaaaaa..................", 0, 0.25, false}, {"five of them", "aaaaa...................", -1, 0, false},
		{"more of the second", "abbbbbab", 1, 0.75, false}, {"more changed", "AAAaa...", 0, 5 / 8.0, true}, {"half changed", "AAaa", 0, 1, false}, {"as many of both", "abababab", -1, 0, false},
	} {
		at := make([]int, 2+len(c.source))
		at[1] = 1 // bar 0 is of the first section, bar 1 of the second
		source := []origin{{bar: -1}, {bar: -1}}
		for _, x := range strings.Split(c.source, "") {
			o := origin{bar: -1}
			if x != "." {
				o = origin{int(strings.ToLower(x)[0] - 'a'), strings.ToLower(x) != x}
			}
			source = append(source, o)
		}
		of, share, changed := cover(source, at, 2, len(source))
		if of != c.of || !close9(share, c.share) || changed != c.changed {
			t.Errorf("%s: section %d, %.3f, changed %v; want %d, %.3f, %v", c.name, of, share, changed, c.of, c.share, c.changed)
		}
	}
}

// How music moved, in words: the interval, and over an octave the octave too. Common practice, no source.
func TestMovedInWords(t *testing.T) {
	for _, c := range []struct {
		steps, semitones int
		want             string
	}{
		{4, 7, "a fifth higher"}, {-4, -7, "a fifth lower"}, {1, 2, "a second higher"}, {7, 12, "an octave higher"}, {-7, -12, "an octave lower"}, {14, 24, "an octave higher"}, {8, 14, "an octave and a second higher"},
		{0, 1, "a semitone higher"}, {0, -1, "a semitone lower"}, {-9, -15, "an octave and a third lower"}, {6, 11, "a seventh higher"},
	} {
		if got := moved(c.steps, c.semitones); got != c.want {
			t.Errorf("%d steps, %d semitones: %q, want %q", c.steps, c.semitones, got, c.want)
		}
	}
	for _, c := range []struct {
		like             float64
		steps, semitones int
		want             Kind
	}{{sameNotes, 0, 0, Exact}, {sameNotes - 0.01, 0, 0, Varied}, {sameNotes, 4, 7, Transposed}, {sameNotes, 0, 1, Transposed}, {sameNotes - 0.01, 4, 7, Varied}} {
		if got := kindOf(c.like, c.steps, c.semitones); got != c.want {
			t.Errorf("%.2f alike, moved %d: %s, want %s", c.like, c.steps, got, c.want)
		}
	}
}

// Much music, very like, in the same key weighs most.
func TestWeightOfRuns(t *testing.T) {
	for _, c := range []struct{ more, less run }{
		{run{count: 9, likeness: 0.9}, run{count: 8, likeness: 0.9}}, {run{count: 8, likeness: 0.9}, run{count: 8, likeness: 0.8}}, {run{count: 8, likeness: 0.9}, run{count: 8, likeness: 0.9, steps: 4, semitones: 7}},
		{run{count: 7, likeness: 1}, run{count: 9, likeness: 0.85}}, {run{count: 7, likeness: 0.9}, run{count: 9, likeness: 0.9, steps: 4, semitones: 7}},
	} {
		if c.more.weight() <= c.less.weight() {
			t.Errorf("%+v weighs %.2f, %+v %.2f", c.more, c.more.weight(), c.less, c.less.weight())
		}
	}
	if got := (run{first: 3, again: 12, count: 5}).between(); got != 4 {
		t.Errorf("%d bars between", got)
	}
}

// The smaller move is nearer, of two as small the upward one; the move is that of most of the
// highest notes, by its steps first.
func TestShift(t *testing.T) {
	tune := func(places ...int) bar {
		var b bar
		for i, x := range places {
			b.top = append(b.top, dot{at: score.Tick(i), place: x, key: 2 * x})
		}
		return b
	}
	for _, c := range []struct {
		name string
		a, b bar
		want int
		ok   bool
	}{
		{"two higher", tune(0, 1, 2), tune(2, 3, 4), 2, true}, {"most of them", tune(0, 1, 2), tune(2, 3, 9), 2, true}, {"of two the nearer", tune(0, 0), tune(3, -1), -1, true},
		{"as near: upward", tune(0, 0), tune(1, -1), 1, true}, {"none meet", tune(), tune(1), 0, false},
	} {
		if got, _, ok := shift([]bar{c.a}, []bar{c.b}); got != c.want || ok != c.ok {
			t.Errorf("%s: %d %v, want %d", c.name, got, ok, c.want)
		}
	}
	late := tune(5, 6)
	late.top[0].at, late.top[1].at = 1, 3
	if got, _, _ := shift([]bar{tune(0, 1)}, []bar{late}); got != 4 { // only the second note meets one
		t.Errorf("notes that meet move %d", got)
	}
}

// A start in the second half of a bar is an upbeat to the next; of the last bar there is none.
func TestOpeningBar(t *testing.T) {
	s, _ := write([]string{"cdef", "cdef", "cdef", "cdef"}, nil)
	p := newPage(s, 0)
	for at, want := range map[score.Tick]int{0: 0, 7: 0, 8: 1, 15: 1, 16: 1, 56: 3, 63: 3} {
		if got := p.opening(at); got != want {
			t.Errorf("a phrase from %d opens bar %d, want %d", at, got, want)
		}
	}
	p.bars[0].head = 8 // a pickup of half a measure
	if got := p.opening(1); got != 1 {
		t.Errorf("a pickup opens bar %d", got)
	}
	if got := p.opening(0); got != 1 {
		t.Errorf("the start of a pickup opens bar %d", got)
	}
	for at, want := range map[score.Tick]int{0: 0, 15: 0, 16: 1, 63: 3, 99: 3} {
		if got := p.barAt(at); got != want {
			t.Errorf("%d is in bar %d, want %d", at, got, want)
		}
	}
}

// Of doubled notes one is kept, with its longest length; the highest of an onset is the top.
func TestBarKeepsEachNoteOnce(t *testing.T) {
	b := bar{dots: []dot{{0, 30, 60, 2}, {0, 30, 60, 8}, {0, 32, 64, 1}, {4, 30, 60, 1}, {4, 30, 61, 1}, {0, 28, 57, 1}}}
	b.sort()
	if got := fmt.Sprint(b.dots); got != "[{0 28 57 1} {0 30 60 8} {0 32 64 1} {4 30 60 1} {4 30 61 1}]" {
		t.Errorf("dots %s", got)
	}
	if got := fmt.Sprint(b.top); got != "[{0 32 64 1} {4 30 61 1}]" {
		t.Errorf("top %s", got)
	}
}

// How the names of parts are printed. Common practice, no source.
func TestPrintedWords(t *testing.T) {
	for text, want := range map[string]string{
		"Var. 1": "v", "VAR. IV": "v", "Variation 12": "v", "Variazione II": "v", "Variatio 3": "v", "Var 2": "v", "Variationen": "", "Tema con variazioni": "", "variando": "",
		"Trio": "t", "TRIO.": "t", "Menuetto II": "t", "Minuet 2": "t", "Scherzo II": "t", "Alternativo": "t", "Altern.": "t", "trionfante": "", "Menuetto": "m", "Minuetto": "m", "Menuet": "m", "Tempo di Minuetto": "m",
		"Scherzo": "s", "Scherzo. Presto": "s", "scherzando": "", "Coda": "c", "CODA": "c", "Al Coda": "", "codetta": "",
	} {
		got := ""
		switch {
		case printedVariation.MatchString(text):
			got = "v"
		case printedTrio.MatchString(text):
			got = "t"
		case printedCoda.MatchString(text):
			got = "c"
		case printedMinuet.MatchString(text):
			got = "m"
		case printedScherzo.MatchString(text):
			got = "s"
		}
		if got != want {
			t.Errorf("%q is read as %q, want %q", text, got, want)
		}
	}
}
