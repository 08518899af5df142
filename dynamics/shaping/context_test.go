package shaping

import (
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/written"
)

// How often a measure was heard before, two at most; an empty one is no music.
func TestMusicHeardBefore(t *testing.T) {
	s := written.Letters("ababaa-")
	o := observe(s, nil, &page.Page{})
	again := o.series("again")
	for m, want := range []float64{0, 0, 1, 1, 2, 2, 0} {
		first, last := o.cell(s.Measures[m].Start), o.cell(s.Measures[m].End()-1)
		if again[first] < want-1e-9 || again[first] > want+1e-9 || again[last] < want-1e-9 || again[last] > want+1e-9 {
			t.Errorf("measure %d was heard %g to %g times before, want %g", m+1, again[first], again[last], want)
		}
	}
}
