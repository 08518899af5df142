package musicxml

import (
	"fmt"
	"strconv"

	"hairpin/score"
)

// builder fills a score from a document.
type builder struct {
	s      *score.Score
	sheet  *sheet
	limits Limits
	small  SmallPrint
	jumps  jumpSet
	index  []int // 0, 1, 2 … as far as there are note elements: what Note.Source points into
}

func build(sh *sheet, root *node, limits Limits, small SmallPrint) (*score.Score, error) {
	b := &builder{s: &score.Score{}, sheet: sh, limits: limits, small: small}
	b.header(root)
	b.chooseDivision()
	if err := b.layMeasures(); err != nil {
		return nil, err
	}
	b.s.Notes = make([]score.Note, 0, sh.notes)
	b.index = make([]int, sh.notes)
	for i := range b.index {
		b.index[i] = i
	}
	readers := make([]*partReader, len(sh.parts))
	for i := range sh.parts {
		r, err := b.readPart(i)
		if err != nil {
			return nil, err
		}
		readers[i] = r
	}
	b.metres()
	for _, r := range readers {
		if err := r.resolve(); err != nil {
			return nil, err
		}
	}
	b.joinHairpins(readers)
	b.finish()
	return b.s, nil
}

// baseDivision makes every score's quarter note divisible by 3 and down to a
// 64th, so that beats and nominal measure lengths are whole.
const (
	baseDivision   = 48
	maxDivision    = 1 << 26
	maxOffsetParts = 100       // of a division; finer offsets are rounded
	fallback       = 2_903_040 // 2^10·3^4·5·7
)

// chooseDivision finds the ticks of a quarter note in which every duration of
// the document is whole, and its offsets too if that can be had.
func (b *builder) chooseDivision() {
	d, exact := int64(baseDivision), true
	durations, offsets := int64(1), int64(1) // the finest parts of a division that are named
	for _, p := range b.sheet.parts {
		for _, c := range p.cells {
			if c.node == nil {
				continue
			}
			for e := c.node.child; e != nil; e = e.next {
				switch e.name {
				case "attributes":
					num, den, ok := decimal(e.get("divisions"))
					if ok && num > 0 && exact {
						d, exact = lcm(d, num/gcd(num, den), maxDivision)
					}
				case "note", "backup", "forward":
					durations = max(durations, parts(e.find("duration")))
				case "direction", "harmony", "sound":
					offsets = max(offsets, min(parts(e.find("offset")), maxOffsetParts))
				}
			}
		}
	}
	switch {
	case exact && d*max(durations, offsets) <= maxDivision:
		d *= max(durations, offsets)
	case exact && d*durations <= maxDivision:
		d *= durations
	default:
		d = fallback
		b.warn(Where{}, "the divisions of the parts have no common measure; times are rounded to %d parts of a quarter note", d)
	}
	b.s.Division = score.Tick(d)
}

// parts is the denominator of a value that is no whole number of divisions.
func parts(n *node) int64 {
	if n == nil {
		return 1
	}
	_, den, _ := decimal(n.text)
	return den
}

// layMeasures finds how long every measure is and where it starts.
func (b *builder) layMeasures() error {
	lengths := make([]score.Tick, len(b.sheet.measures))
	for i := range b.sheet.parts {
		if err := b.measureLengths(i, lengths); err != nil {
			return err
		}
	}
	start := score.Tick(0)
	b.s.Measures = make([]score.Measure, len(lengths))
	for i, n := range b.sheet.measures {
		number := clip(n.attr("number"))
		if number == "" {
			number = strconv.Itoa(i + 1)
		}
		b.s.Measures[i] = score.Measure{Number: number, Start: start, Length: lengths[i]}
		start += lengths[i]
		if int64(start/b.s.Division) > b.limits.Length {
			return &UnsupportedError{Where: Where{Measure: n.attr("number")}, Text: fmt.Sprintf("the piece is longer than %d quarter notes", b.limits.Length), Limit: "length"}
		}
	}
	return nil
}

// measureLengths raises lengths to what one part needs.
func (b *builder) measureLengths(part int, lengths []score.Tick) error {
	c := newCursor(b.s.Division, b.limits)
	c.where.Part = b.sheet.parts[part].id
	for i, cell := range b.sheet.parts[part].cells {
		if cell.node == nil {
			continue
		}
		c.where.Measure = b.sheet.measures[i].attr("number")
		c.enter()
		for e := cell.node.child; e != nil; e = e.next {
			c.pass(e, b.limits.Divisions)
		}
		if c.err != nil {
			return c.err
		}
		lengths[i] = max(lengths[i], c.reach)
	}
	return nil
}

// maxWarnings keeps a file full of oddities from drowning the report.
const maxWarnings = 500

func (b *builder) warn(w Where, format string, args ...any) {
	switch n := len(b.s.Warnings); {
	case n < maxWarnings:
		b.s.Warnings = append(b.s.Warnings, score.Warning{Part: clip(w.Part), Measure: clip(w.Measure), Text: oneLine(fmt.Sprintf(format, args...))})
	case n == maxWarnings:
		b.s.Warnings = append(b.s.Warnings, score.Warning{Text: fmt.Sprintf("more than %d irregularities; the rest is not listed", maxWarnings)})
	}
}
