package musicxml

import (
	"strconv"

	"hairpin/score"
)

// clef is a clef that we write.
type clef int

const (
	treble clef = iota
	bass
	percussion
)

// bottom is the clef's lowest line, in steps of the scale from C0: E4 or G2.
func (c clef) bottom() int { return [...]int{4*7 + 2, 2*7 + 4, 0}[c] }

// strain is how hard a note is to read in the clef: nothing up to one ledger
// line, then the square of the further ones.
func (c clef) strain(p score.Pitch) float64 {
	step := p.Octave*7 + p.Step - c.bottom()
	lines := max((step-8)/2, -step/2, 1)
	return float64((lines - 1) * (lines - 1))
}

// chooseClefs finds for each staff of the part the clefs that are easiest to
// read in all, a change counting as much as three chords with three ledger lines
// each (our own measure; common practice has no figure).
func (b *scoreWriter) chooseClefs() {
	const change, unusual = 12, 3
	for staff := 1; staff <= b.part.staves; staff++ {
		if b.s.Parts[b.part.index].Percussion {
			b.part.clefs = append(b.part.clefs, repeated(percussion, len(b.s.Measures)))
			continue
		}
		strains := b.strains(staff)
		first := [2]float64{0, unusual} // of the first clef: the upper staff is a treble one, the others bass
		if staff > 1 {
			first = [2]float64{unusual, 0}
		}
		b.part.clefs = append(b.part.clefs, easiest(strains, first, change))
	}
}

func repeated(c clef, count int) []clef {
	list := make([]clef, count)
	for i := range list {
		list[i] = c
	}
	return list
}

// strains adds up, for each measure of a staff, what its chords cost in the
// treble and in the bass; the note that is hardest to read stands for its chord.
func (b *scoreWriter) strains(staff int) [][2]float64 {
	type moment struct {
		measure int
		at      score.Tick
	}
	hardest := map[moment][2]float64{}
	for _, n := range b.s.Notes {
		if n.Part != b.part.index || max(n.Staff, 1) != staff || n.Unpitched {
			continue
		}
		for i := b.s.MeasureAt(n.Onset); i < len(b.s.Measures) && (b.s.Measures[i].Start < n.End() || b.s.Measures[i].Start <= n.Onset); i++ {
			k := moment{i, max(n.Onset, b.s.Measures[i].Start)}
			x := hardest[k]
			for c := range x {
				x[c] = max(x[c], clef(c).strain(n.Pitch))
			}
			hardest[k] = x
		}
	}
	out := make([][2]float64, len(b.s.Measures))
	for k, x := range hardest {
		for c := range x {
			out[k.measure][c] += x[c]
		}
	}
	return out
}

// easiest is the sequence of clefs that costs least.
func easiest(strains [][2]float64, first [2]float64, change float64) []clef {
	cost, from := first, make([][2]clef, len(strains))
	for i, x := range strains {
		next := cost
		for c := range next {
			from[i][c] = clef(c)
			if other := 1 - c; i > 0 && cost[other]+change < cost[c] {
				next[c], from[i][c] = cost[other]+change, clef(other)
			}
			next[c] += x[c]
		}
		cost = next
	}
	last := treble
	if cost[bass] < cost[treble] {
		last = bass
	}
	out := make([]clef, len(strains))
	for i := len(strains) - 1; i >= 0; i-- {
		out[i] = last
		last = from[i][last]
	}
	return out
}

func (b *scoreWriter) writeClef(x *xmlWriter, staff int, c clef) {
	var attrs []string
	if b.part.staves > 1 {
		attrs = []string{"number", strconv.Itoa(staff)}
	}
	x.open("clef", attrs...)
	x.leaf("sign", [...]string{"G", "F", "percussion"}[c])
	if line := [...]string{"2", "4", ""}[c]; line != "" {
		x.leaf("line", line)
	}
	x.close()
}
