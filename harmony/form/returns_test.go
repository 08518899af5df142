package form

import (
	"fmt"
	"slices"
	"testing"
)

// The opening is what returns of the first bar start from, or, after an introduction
// of up to mostBefore bars, the bar from which most of the others start, two at least,
// the earliest if several do.
func TestMarkOpenings(t *testing.T) {
	// Three silent bars, then music: the first bar is bar 3.
	p := &page{bars: make([]bar, 40)}
	for i := 3; i < len(p.bars); i++ {
		p.bars[i].dots = []dot{{at: 0, place: 30, key: 60}}
	}
	const first = 3
	for _, c := range []struct {
		name string
		from []int // the bars that returns start from; minus: in another key
		want []int // those that are the opening
	}{
		{"the first bar", []int{first, first + 2}, []int{first}},
		{"before it", []int{first - 1}, []int{first - 1}},
		{"one return of a later bar", []int{first + 4}, nil},
		{"two returns of a later bar", []int{first + 4, first + 4}, []int{first + 4, first + 4}},
		{"the bar with most", []int{first + 2, first + 2, first + 6, first + 6, first + 6}, []int{first + 6, first + 6, first + 6}},
		{"the earlier of two", []int{first + 6, first + 2, first + 6, first + 2}, []int{first + 2, first + 2}},
		{"as late as an introduction goes", []int{first + mostBefore, first + mostBefore}, []int{first + mostBefore, first + mostBefore}},
		{"a bar later", []int{first + mostBefore + 1, first + mostBefore + 1}, nil},
		{"in another key", []int{-first, -(first + 4), -(first + 4)}, nil},
		{"one of two in another key", []int{first + 4, -(first + 4)}, nil},
	} {
		for range 5 { // whatever order a map has
			var list []Return
			for _, bar := range c.from {
				r := Return{FirstBar: max(bar, -bar), Bar: 30, Count: 4}
				if bar < 0 {
					r.Steps, r.Semitones = 4, 7
				}
				list = append(list, r)
			}
			p.markOpenings(list)
			var got []int
			for _, r := range list {
				if r.Opening {
					got = append(got, r.FirstBar)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%s: from %v the opening is %v, want %v", c.name, c.from, got, c.want)
			}
		}
	}
}

// An octave is the same key; a fifth is not, nor is the same step otherwise spelled.
func TestInKey(t *testing.T) {
	for _, c := range []struct {
		steps, semitones int
		want             bool
	}{{0, 0, true}, {7, 12, true}, {-14, -24, true}, {4, 7, false}, {0, 1, false}, {1, 0, false}, {7, 11, false}} {
		if got := (Return{Steps: c.steps, Semitones: c.semitones}).inKey(); got != c.want {
			t.Errorf("%d steps, %d semitones: %v", c.steps, c.semitones, got)
		}
	}
}

// How much of a run is free: the longest stretch not claimed, the first of equals.
func TestFree(t *testing.T) {
	r := run{first: 2, again: 10, count: 6, likeness: 0.9}
	for claimed, want := range map[string]run{
		"......": {2, 10, 6, 0, 0, 0.9}, "x.....": {3, 11, 5, 0, 0, 0.9}, ".....x": {2, 10, 5, 0, 0, 0.9}, "..x...": {5, 13, 3, 0, 0, 0.9},
		"..xx..": {2, 10, 2, 0, 0, 0.9}, "xxxxxx": {}, ".xxxx.": {2, 10, 1, 0, 0, 0.9}, "xxxxx.": {7, 15, 1, 0, 0, 0.9},
	} {
		list := make([]bool, 16)
		for i, c := range claimed {
			list[10+i] = c == 'x'
		}
		if got := r.free(list); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: %+v, want %+v", claimed, got, want)
		}
	}
}

// What is enough music to be a return: the choices at the head of returns.go, each at
// its bound and just under it.
func TestCounts(t *testing.T) {
	p := &page{bars: make([]bar, 40)}
	p.bars[0].dots = []dot{{at: 0, place: 30, key: 60}}
	far := leastTheme + leastSection
	for _, c := range []struct {
		name string
		r    run
		want bool
	}{
		{"enough bars, like enough", run{5, 15, leastBars, 0, 0, allAlike}, true},
		{"less like", run{5, 15, leastBars, 0, 0, allAlike - 0.01}, false},
		{"moved", run{5, 15, leastBars, 1, 2, allAlike}, true},
		{"fewer bars that are no theme", run{5, 25, leastBars - 1, 0, 0, 1}, false},
		{"the theme after a section", run{0, far, leastTheme, 0, 0, themeAlike}, true},
		{"less like the theme", run{0, far, leastTheme, 0, 0, themeAlike - 0.01}, false},
		{"a bar too soon", run{0, far - 1, leastTheme, 0, 0, 1}, false},
		{"less of it", run{0, far, leastTheme - 1, 0, 0, 1}, false},
		{"the theme moved, note for note", run{0, far, leastTheme, 4, 7, sameNotes}, true},
		{"the theme moved, less like", run{0, far, leastTheme, 4, 7, sameNotes - 0.01}, false},
		{"moved to the parallel key", run{0, far, leastTheme, 0, 1, themeAlike}, false},
	} {
		if got := p.counts(c.r); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
