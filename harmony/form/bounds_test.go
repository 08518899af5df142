package form

import (
	"slices"
	"testing"

	"hairpin/score"
)

// repeatedAt sets repeat signs after bars.
func repeatedAt(s *score.Score, bars ...int) {
	for _, b := range bars {
		s.Repeats = append(s.Repeats, score.Repeat{At: s.Measures[b-1].End(), Measure: b - 1})
	}
}

// plainPage is a page of so many bars with one note each, for the rules of places.
func plainPage(bars int) *page {
	tune := make([]string, (bars+3)/4*4)
	for i := range tune {
		tune[i] = "c"
	}
	s, _ := write(tune, nil)
	s.Measures = s.Measures[:bars]
	s.Notes = slices.DeleteFunc(s.Notes, func(n score.Note) bool { return n.Measure >= bars })
	return newPage(s, 0)
}

// Repeat signs cut variations where at least four pairs of two unlike lengths, four bars or
// more each, follow each other, a bar more or less allowed for first endings; what is left
// after them is one more if it is three quarters of the theme.
func TestStrophesOfRepeats(t *testing.T) {
	for _, c := range []struct {
		name    string
		lengths []int // from repeat to repeat
		rest    int
		want    []int
	}{
		{"four pairs", []int{8, 4, 8, 4, 8, 4, 8, 4}, 0, []int{12, 24, 36}},
		{"three", []int{8, 4, 8, 4, 8, 4}, 0, nil},
		{"and three quarters of one more", []int{8, 4, 8, 4, 8, 4, 8, 4}, 9, []int{12, 24, 36, 48}},
		{"and less", []int{8, 4, 8, 4, 8, 4, 8, 4}, 8, []int{12, 24, 36}},
		{"alike lengths", []int{8, 8, 8, 8, 8, 8, 8, 8}, 0, nil},
		{"less than four bars", []int{8, 3, 8, 3, 8, 3, 8, 3}, 0, nil},
		{"a bar more and a bar less", []int{8, 4, 9, 4, 8, 5, 7, 3}, 0, []int{12, 25, 38}},
		{"two bars more in the last", []int{8, 4, 8, 4, 8, 4, 10, 4}, 0, nil},
		{"two bars more after four", []int{8, 4, 8, 4, 8, 4, 8, 4, 8, 6}, 0, []int{12, 24, 36, 48}},
	} {
		n, ends := 0, []int{}
		for _, l := range c.lengths {
			n += l
			ends = append(ends, n)
		}
		p := plainPage(n + c.rest)
		repeatedAt(p.s, ends...)
		if got := p.strophesOfRepeats(); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The bars after which something is repeated, each once; a sign that opens a repeat is none.
func TestRepeatEnds(t *testing.T) {
	p := plainPage(16)
	repeatedAt(p.s, 4, 8, 8, 16)
	p.s.Repeats = append(p.s.Repeats[:2:2], append([]score.Repeat{{At: p.s.Measures[8].Start, Forward: true}}, p.s.Repeats[2:]...)...)
	if got := p.repeatEnds(); !slices.Equal(got, []int{4, 8, 16}) {
		t.Errorf("%v", got)
	}
	for at, want := range map[score.Tick]int{0: 1, 1: 1, 16: 1, 17: 2, 64: 4} {
		if got := p.barAfter(at); got != want {
			t.Errorf("after %d: bar %d, want %d", at, got, want)
		}
	}
}

// A short piece is binary by its repeats if its first part takes a fifth to 65 hundredths of
// it and it is no longer than 64 bars; a bar form is up to forty. Our own bounds.
func TestRepeatsOfShortPieces(t *testing.T) {
	tune := func(n int) (out []string) { // no bar like another
		for i := range n {
			out = append(out, string([]rune{rune('a' + i%12), rune('a' + i/12), rune('c' + i*i%11), 'h'}))
		}
		return out
	}
	for _, c := range []struct {
		bars, first, last, parts int
		want                     Type
	}{
		{20, 4, 20, 1, Binary}, {24, 4, 24, 1, ""}, {20, 12, 20, 1, Binary}, {24, 16, 24, 1, ""}, {64, 32, 64, 1, Binary}, {68, 32, 68, 1, ""}, {20, 8, 19, 1, Binary}, {20, 8, 18, 1, ""},
		{40, 16, 0, 4, BarForm}, {44, 16, 0, 4, ""}, {12, 4, 0, 4, BarForm}, {12, 8, 0, 4, ""}, {12, 4, 0, 1, ""},
	} {
		s, phrases := write(tune(c.bars), nil)
		s.Parts = make([]score.Part, c.parts)
		repeatedAt(s, c.first)
		if c.last > 0 {
			repeatedAt(s, c.last)
		}
		p, f := newPage(s, 0), &Form{}
		for i := range phrases {
			f.Ideas = append(f.Ideas, Idea{Bar: 4 * i, Span: phrases[i].Span})
		}
		if p.byRepeats(phrases, f); f.Type != c.want {
			t.Errorf("%d bars, repeated after %d and %d, %d parts: %q, want %q", c.bars, c.first, c.last, c.parts, f.Type, c.want)
		}
	}
}

// More than an upbeat is sung in a bar where a note starts in its first half, or two do.
func TestSungBar(t *testing.T) {
	for _, c := range []struct {
		dots bar
		want bool
	}{{dots(), false}, {dots(7), true}, {dots(8), false}, {dots(8, 12), true}, {dots(0), true}} {
		if got := (&page{bars: []bar{c.dots}}).sung(0); got != c.want {
			t.Errorf("%v is sung %v", c.dots.dots, got)
		}
	}
}

// A verse is sung again from a bar if a share of its bars come again there, its first or
// second among the first two, none more than two bars from its place.
func TestSingsAgain(t *testing.T) {
	verse := func(sources ...int) []int { // bars 0 to 9 are the first verse, then others by their source, -1 new
		out := []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}
		for i, b := range sources {
			if b < 0 {
				b = 10 + i
			}
			out = append(out, b)
		}
		return out
	}
	for _, c := range []struct {
		name    string
		sources []int
		want    bool
	}{
		{"all", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, true}, {"seven in ten", []int{0, 1, 2, 3, 4, 5, 6, -1, -1, -1}, true}, {"six", []int{0, 1, 2, 3, 4, 5, -1, -1, -1, -1}, false},
		{"from its second bar on", []int{-1, 1, 2, 3, 4, 5, 6, 7, -1, -1}, true}, {"from its third", []int{-1, -1, 2, 3, 4, 5, 6, 7, 8, 9}, false},
		{"two bars late at the end", []int{0, 1, -1, -1, 2, 3, 4, 5, 6, 7, 8, 9}, true}, {"three", []int{0, 1, -1, -1, -1, 2, 3, 4, 5, 6, 7, 8}, false},
	} {
		if got := (&page{}).sings(verse(c.sources...), 0, 10, 10, verseAlike); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A single bar that differs may stand inside a return, two may not; it does not reach over
// its own first time.
func TestExtendOverABar(t *testing.T) {
	other := []string{"mama", "nbnb"}
	with := func(at, n int) []string {
		again := slices.Clone(themeA)
		copy(again[at:at+n], other)
		return again
	}
	for _, c := range []struct {
		name         string
		again        []string
		first, count int
	}{{"as it was", themeA, 0, 8}, {"one bar new", with(4, 1), 0, 8}, {"two bars new", with(4, 2), 0, 4}, {"its last bar new", with(7, 1), 0, 7}, {"its first bar new", with(0, 1), 1, 7}} {
		s, _ := write(join(themeA, themeB, c.again), nil)
		r := newPage(s, 0).extend(run{first: c.first + 1, again: 16 + c.first + 1, count: 1})
		if r.first != c.first || r.count != c.count || r.again != 16+c.first {
			t.Errorf("%s: %+v, want %d bars from %d", c.name, r, c.count, c.first)
		}
	}
	s, _ := write(join(themeA[:1], themeA[:1], themeA[:1], themeA[:1]), nil)
	if r := newPage(s, 0).extend(run{first: 0, again: 1, count: 1}); r.count != 1 {
		t.Errorf("a bar again and again: %+v", r)
	}
}

// Of two who sing the one with more syllables leads, of as many the upper part; a few
// syllables are no song.
func TestWhoSings(t *testing.T) {
	for _, c := range []struct {
		counts []int
		want   int
	}{{[]int{0, 0}, -1}, {[]int{fewestSyllables, 0}, -1}, {[]int{fewestSyllables + 1, 0}, 0}, {[]int{fewestSyllables + 1, fewestSyllables + 2}, 1}, {[]int{fewestSyllables + 2, fewestSyllables + 2}, 0}} {
		s := &score.Score{}
		for part, n := range c.counts {
			for range n {
				s.Syllables = append(s.Syllables, score.Syllable{Place: score.Place{Part: part}, Text: "la", Verses: 1})
			}
		}
		got := -1
		if v, ok := (&page{s: s}).voice(); ok {
			got = v.part
		}
		if got != c.want {
			t.Errorf("%v syllables: part %d, want %d", c.counts, got, c.want)
		}
	}
	for r, want := range map[rune]bool{'a': true, 'y': true, 'f': false, '<': false, 'ü': true, '—': false, 'и': true} {
		if vowel(r) != want {
			t.Errorf("%q may be a vowel: %v", r, !want)
		}
	}
}
