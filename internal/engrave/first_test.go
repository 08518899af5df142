//go:build !js

package engrave

import "testing"

// Where the first measures are asked for, they and no others are drawn, at the
// places they have in the whole score.
func TestFirstMeasures(t *testing.T) {
	layout := desk
	layout.Measures = 5
	e, err := engraver(t).Engrave(t.Context(), long(20), layout)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, s := range e.Systems {
		for _, m := range s.Measures {
			if m.Index != seen {
				t.Errorf("measure %d stands where %d belongs", m.Index, seen)
			}
			seen++
		}
	}
	if seen != 5 {
		t.Errorf("%d measures are drawn, not 5", seen)
	}
}
