package musicxml

import (
	"math"
	"slices"
	"strconv"

	"hairpin/score"
)

// oddMeasures warns of measures that do not hold what their time signature says.
func (b *builder) oddMeasures() {
	for i, m := range b.s.Measures {
		w := Where{Measure: m.Number}
		switch {
		case m.Length == 0:
			b.warn(w, "nothing in the measure takes time; it was read as having no length")
		case m.Nominal > 0 && m.Length > m.Nominal+b.unseen(), m.Length < m.Nominal-b.unseen() && b.isCut(i):
			b.warn(w, "the measure lasts %s, by its time signature %s; it was read as written", b.count(m.Length), b.count(m.Nominal))
		}
	}
}

// unseen is a length that nobody misses: tuplets rounded by the source.
func (b *builder) unseen() score.Tick { return b.s.Division / 32 }

// isCut reports whether a short measure stands where none belongs: not at an
// end of the piece or section, not marked as meant, and not completed by a neighbour.
func (b *builder) isCut(i int) bool {
	list := b.s.Measures
	m := list[i]
	if i == 0 || i == len(list)-1 || b.sheet.measures[i].attr("implicit") == "yes" {
		return false
	}
	if list[i-1].Length+m.Length == m.Nominal || m.Length+list[i+1].Length == m.Nominal {
		return false
	}
	bar := func(t score.Tick) bool { _, ok := slices.BinarySearch(b.s.DoubleBar, t); return ok }
	return !bar(m.Start) && !bar(m.End())
}

// shortPart warns where a part ends before the measure does.
func (r *partReader) shortPart(m score.Measure) {
	if r.reach > 0 && r.reach < m.Length-r.b.unseen() {
		r.warn("the part ends after %s of a measure of %s; the rest was read as silent", r.b.count(r.reach), r.b.count(m.Length))
	}
	if r.reach > 0 && r.reach < m.Length {
		if r.over == nil {
			r.over = map[score.Tick]score.Tick{}
		}
		r.over[m.Start+r.reach] = m.End()
	}
}

// count is a time in quarter notes, as a warning prints it.
func (b *builder) count(t score.Tick) string {
	n := strconv.FormatFloat(math.Round(1000*b.s.Quarters(t))/1000, 'f', -1, 64)
	if n == "1" {
		return "1 quarter note"
	}
	return n + " quarter notes"
}
