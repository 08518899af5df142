package html

import (
	"slices"
	"testing"
)

func TestLabelsOfTheStripStandApartAtEveryWidth(t *testing.T) {
	z := stripSizes{letter: 10}
	labels := []stripLabel{{0, 0, "A"}, {0.02, 0, "d"}, {0.04, 0, "C"}, {0.5, 0, "G"}, {0.999, 0, "E"}}
	want := []string{"", " hp-roomiest", " hp-roomy", "", unplaced}
	if got := z.classes(labels, nil); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
