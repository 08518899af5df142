package html

import (
	"fmt"
	"unicode/utf8"
)

// paper is the printable area of a sheet in millimetres, inside margins of 12 mm.
type paper struct{ width, height float64 }

var (
	a4     = paper{210 - 24, 297 - 24}
	letter = paper{215.9 - 24, 279.4 - 24}
)

// Systems are never cut when printed, so every page may end in a blank. They
// are printed a little narrower where that fits more of them on a page. No
// narrower than this, or notes get too small to read on the stand.
const leastWidth = 0.82

// systemGap is the space below a printed system in millimetres, as in page.css.
const systemGap = 3.0

// printStyle sets the width of printed systems for both papers: a sheet that is
// wider for its height than 74:100 is Letter.
func printStyle(parts *PageParts) string {
	var heights []float64
	for _, s := range parts.Wide {
		heights = append(heights, s.height)
	}
	width := func(p paper) float64 { return 100 * bestWidth(p, heights, parts.printedHead()) }
	return fmt.Sprintf("@media print{.hp-wide .hp-line{width:%.1f%%}.hp-system{max-height:%.0fmm}}\n"+
		"@media print and (min-aspect-ratio:74/100){.hp-wide .hp-line{width:%.1f%%}.hp-system{max-height:%.0fmm}}\n",
		width(a4), a4.height-systemGap-1, width(letter), letter.height-systemGap-1)
}

// bestWidth is the share of the paper's width at which least of the pages stays
// blank; heights are those of the systems for a width of 1, head is what stands
// before the first system, in millimetres.
func bestWidth(p paper, heights []float64, head float64) float64 {
	best, least := 1.0, 2.0
	for w := 1.0; w >= leastWidth; w -= 0.005 {
		const dear = 0.35 // a narrower system must earn its loss of size
		cost := dear * (1 - w)
		for _, off := range [...]float64{-2, 0, 2} { // the head is an estimate
			cost += blank(p, heights, head+off, w) / 3
		}
		if cost < least {
			best, least = w, cost
		}
	}
	return best
}

// blank is the share of the pages before the last that stays white below the last system.
func blank(p paper, heights []float64, head, w float64) float64 {
	used, lost, pages := head, 0.0, 0.0
	for used > p.height { // a long head fills whole pages
		used -= p.height
	}
	for _, h := range heights {
		h = min(h*w*p.width, p.height-systemGap-1) // a higher one is made to fit
		if used+h > p.height {
			lost, pages = lost+(p.height-used)/p.height, pages+1
			used = 0
		}
		used += h + systemGap
	}
	if pages == 0 {
		return 0
	}
	return lost / pages
}

// printedHead estimates the height of what is printed before the score, in
// millimetres: the page's fixed parts, and lines of text in the font it carries.
func (p *PageParts) printedHead() float64 {
	const fixed, line, letters = 70.0, 5.05, 118
	lines := func(s string, most int) float64 { return line * float64(1+(utf8.RuneCountInString(s)-1)/most) }
	h := fixed
	if p.Why != "" {
		h += lines(p.Why, letters)
	}
	return h
}

// Care is what every page says about practising.
func (p *PageParts) Care() string {
	return " Long loud practice can harm hands and hearing: rest often, practise loud passages softly too."
}
