package form

import (
	"slices"
	"testing"

	"hairpin/score"
)

// The phrase that leaves the opening before it comes back is new, stands after all that is told
// again and eight bars on, and eight bars before the return; of several the most marked, of
// two as marked the first. Our own bounds.
func TestContrastBetweenOpenings(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []float64 // of the phrases, four bars each; the opening comes back with the last
		old    int       // a phrase that is no new music, 0 none
		told   int       // bars that come back after the last, 0 none
		want   int
	}{
		{"the first that may", []float64{0, 0, 0, 0, 0, 0}, 0, 0, 2}, {"the most marked", []float64{0, 9, 0, 1, 0, 0}, 0, 0, 3}, {"none is new", []float64{0, 0, 0, 0, 0}, 2, 0, 0}, {"another that is new", []float64{0, 0, 5, 0, 0, 0}, 2, 0, 3}, {"what is told again goes on", []float64{0, 0, 5, 0, 0, 0}, 0, 12, 3}, {"no room after it", []float64{0, 0, 0, 0}, 0, 0, 0},
	} {
		f := &Form{Bars: make([]Span, 4*len(c.points)+8)}
		marks := make([]mark, len(c.points))
		for i, x := range c.points {
			marks[i].points = x
			idea := Idea{Bar: 4 * i, Of: -1}
			if i == c.old && i > 0 {
				idea.Of = 0
			}
			f.Ideas = append(f.Ideas, idea)
		}
		last := len(c.points) - 1
		if c.told > 0 {
			f.Returns = []Return{{FirstBar: 0, Bar: 4 * last, Count: c.told}}
		}
		if got := contrast(0, last, len(f.Bars), marks, f); got != c.want {
			t.Errorf("%s: phrase %d, want %d", c.name, got, c.want)
		}
	}
}

// A fugue's entries cover a quarter of the piece and reach into its last third, at least four of
// them; what overlaps counts once. Our own bounds.
func TestFuguesAreFullOfTheirSubject(t *testing.T) {
	p := plainPage(24) // 384 ticks
	two := gridOf([]tone{{0, 384, 30, 50}, {0, 384, 40, 60}, {300, 384, 40, 60}})
	two.all = slices.Insert(two.all, 2, tone{10, 300, 35, 55})
	for _, c := range []struct {
		name   string
		length score.Tick
		starts []score.Tick
		want   bool
	}{
		{"a quarter, up to two thirds", 24, []score.Tick{0, 24, 48, 232}, true}, {"one entry fewer", 30, []score.Tick{0, 30, 194}, false}, {"not to the last third", 24, []score.Tick{0, 24, 48, 231}, false}, {"less than a quarter", 23, []score.Tick{0, 23, 46, 300}, false}, {"less, since two overlap", 24, []score.Tick{0, 24, 47, 300}, false},
	} {
		f := &Fugue{Subject: Span{0, c.length}}
		for i, at := range c.starts {
			e := Entry{Span: Span{at, at + c.length}}
			if i == 1 {
				e.Steps = 4
			}
			f.Entries = append(f.Entries, e)
		}
		answer := Entry{Span: Span{Start: c.starts[1]}, Steps: 4}
		if got := p.isFugue(f, two, answer); got != c.want {
			t.Errorf("%s: %v, %d voices", c.name, got, f.Voices)
		}
	}
}
