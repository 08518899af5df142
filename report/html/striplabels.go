package html

import (
	"slices"
	"unicode/utf8"
)

// stripLabel is a word on the strip: where it begins, a share of the width, and
// how far in pixels to the right of that.
type stripLabel struct {
	at, off float64
	text    string
}

// stripWidths are widths of the strip in pixels for which labels are chosen, a
// telephone's first, and the classes of those that only a wider one has room for:
// page.css hides them below it. A sheet of paper is as wide as the second.
var stripWidths = [...]struct {
	width float64
	class string
}{{340, ""}, {690, " hp-roomy"}, {1180, " hp-roomiest"}}

// unplaced says that a label has room nowhere.
const unplaced = "-"

// classes says of each label from which width on it has room beside the others:
// what stands on a narrow strip stands on every wider one.
// Taken are shares of the width where a round number stands already.
func (z stripSizes) classes(labels []stripLabel, taken []float64) []string {
	out := make([]string, len(labels))
	for i := range out {
		out[i] = unplaced
	}
	for _, w := range stripWidths {
		for i := range labels {
			if out[i] == unplaced && z.hasRoom(labels, out, i, w.width) && z.clear(labels[i], taken, w.width) {
				out[i] = w.class
			}
		}
	}
	return out
}

// clear reports whether a label touches no round number, of 8 pixels' radius.
func (z stripSizes) clear(l stripLabel, taken []float64, width float64) bool {
	from := l.at*width + l.off
	to := from + z.letter*float64(utf8.RuneCountInString(l.text))
	return !slices.ContainsFunc(taken, func(at float64) bool { return from < at*width+10 && at*width-10 < to })
}

// hasRoom reports whether a label touches none of those placed, and the edge.
func (z stripSizes) hasRoom(labels []stripLabel, placed []string, i int, width float64) bool {
	const gap = 5 // pixels
	span := func(l stripLabel) (from, to float64) {
		from = l.at*width + l.off
		return from, from + z.letter*float64(utf8.RuneCountInString(l.text))
	}
	from, to := span(labels[i])
	for k, l := range labels {
		if a, b := span(l); placed[k] != unplaced && from < b+gap && a < to+gap {
			return false
		}
	}
	return to <= width
}
