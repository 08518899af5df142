package html

import (
	"fmt"
	"strings"
	"unicode"
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
const leastWidth = 0.8

// systemGap is the space below a printed system in millimetres, as in page.css.
const systemGap = 3.0

// printStyle sets the width of printed systems for both papers, and what stands at
// the foot of every sheet: a sheet that is wider for its height than 74:100 is Letter.
func printStyle(parts *PageParts) string {
	var heights []float64
	for _, s := range parts.Wide {
		heights = append(heights, s.height)
	}
	width := func(p paper) float64 {
		if parts.Handout {
			return 100 * oneSheet(p, heights, parts.printedHandout())
		}
		return 100 * bestWidth(p, heights, parts.printedHead())
	}
	return fmt.Sprintf("@media print{.hp-wide .hp-line{width:%.1f%%}.hp-system{max-height:%.0fmm}}\n"+
		"@media print and (min-aspect-ratio:74/100){.hp-wide .hp-line{width:%.1f%%}.hp-system{max-height:%.0fmm}}\n"+
		"@page{@bottom-left{content:\"%s\"}@bottom-right{content:counter(page)\" / \"counter(pages)}}\n",
		width(a4), a4.height-systemGap-1, width(letter), letter.height-systemGap-1, styleText(parts.Title))
}

// styleText is text that may stand in quotes in a style sheet inside a page.
func styleText(s string) string {
	var b strings.Builder
	for _, c := range s {
		if unicode.IsLetter(c) || unicode.IsDigit(c) || strings.ContainsRune(" .,:;()-", c) {
			b.WriteRune(c)
		} else {
			fmt.Fprintf(&b, "\\%x ", c)
		}
	}
	return b.String()
}

// oneSheet is the share of the paper's width at which all systems stand on one
// sheet with the rest, in millimetres; no less than half, or nobody can read them.
func oneSheet(p paper, heights []float64, rest float64) float64 {
	const least = 0.5
	sum := 0.0
	for _, h := range heights {
		sum += h * p.width
	}
	return min(max((p.height-rest-systemGap*float64(len(heights)))/max(sum, 1), least), 1)
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

// Printed text, for estimates: the height of a line in millimetres, and how many
// letters it has in the font that the page carries.
const (
	lineHeight  = 5.05
	lineLetters = 112
)

func printedLines(s string) float64 {
	return lineHeight * float64(1+(utf8.RuneCountInString(s)-1)/lineLetters)
}

// printedHead estimates the height of what is printed before the score, in
// millimetres.
func (p *PageParts) printedHead() float64 {
	const title, strip, heading = 12.0, 30.0, 9.0
	h := title + strip
	for _, line := range [...]string{p.Why, p.Undrawn} {
		if line != "" {
			h += printedLines(line)
		}
	}
	if len(p.Tries) > 0 {
		h += heading + p.printedTries()
	}
	return h
}

// printedTries is the height of the suggestions.
func (p *PageParts) printedTries() (h float64) {
	const gap, smaller = 1.5, 0.92
	for _, t := range p.Tries {
		h += smaller*printedLines(t.Text) + gap
	}
	return h
}

// printedHandout is the height of all that a handout prints beside its systems.
func (p *PageParts) printedHandout() float64 {
	const title, spare = 14.0, 12.0
	h := title + spare + p.printedTries() + printedLines(p.Care())
	for _, ph := range p.Phrases {
		h += printedLines(ph.Measures+ph.Ended()) + 2
	}
	for _, line := range [...]string{p.Why, p.Undrawn} {
		if line != "" {
			h += printedLines(line)
		}
	}
	return h
}

// Care is what every page says about practising.
func (p *PageParts) Care() string {
	return " Long loud practice can harm hands and hearing: rest often, practise loud passages softly too."
}
