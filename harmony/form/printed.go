package form

import (
	"regexp"
	"slices"
	"strings"
)

// The names of parts as scores print them above the staff, in the languages of engravers.
// Common practice, no source.
var (
	printedVariation = regexp.MustCompile(`(?i)^var(\.|iation|iazione|iatio)?\s*[0-9ivx]+\b`)
	printedTrio      = regexp.MustCompile(`(?i)^(trio\b|(menuett?o?|minuett?o?|scherzo) (ii|2)\b|alternativo\b|altern\.)`)
	printedCoda      = regexp.MustCompile(`(?i)^coda\b`)
	printedMinuet    = regexp.MustCompile(`(?i)\b(menuett?o?|minuett?o?)\b`)
	printedScherzo   = regexp.MustCompile(`(?i)\bscherzo\b`)
)

// heads are the bars above which a name is printed, in order, each once.
func (p *page) heads(name *regexp.Regexp) (out []int) {
	for _, w := range p.s.Words {
		if name.MatchString(strings.TrimSpace(w.Text)) {
			out = append(out, p.opening(w.At))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// variations tells a theme and its variations where the score prints their names, or where
// repeat signs cut it into the same two lengths again and again.
func (p *page) variations(phrases []Phrase, f *Form) bool {
	const least = 2
	list := p.heads(printedVariation)
	why := "the variations are named in the score"
	if len(list) < least {
		list, why = p.strophesOfRepeats(), "repeat signs cut the piece into the same two lengths again and again"
	}
	if len(list) < least {
		return false
	}
	parts := []part{{p.firstBar(), TheTheme}}
	for _, b := range list {
		parts = append(parts, part{b, Variation})
	}
	if coda := p.afterVariation(phrases, f, list); coda > 0 {
		parts = append(parts, part{coda, Coda})
	}
	sections := p.sectionsOf(phrases, f, parts)
	if len(sections) < len(parts) {
		return false
	}
	f.Sections, f.Type, f.TypeCertainty, f.TypeWhy = sections, Variations, 0.9, why
	return true
}

// afterVariation is the bar in which the last variation, as long as the theme, has ended
// with a close, if music of some length follows; 0 if none does.
func (p *page) afterVariation(phrases []Phrase, f *Form, list []int) int {
	if heads := p.heads(printedCoda); len(heads) > 0 && heads[len(heads)-1] > list[len(list)-1] {
		return heads[len(heads)-1]
	}
	length := list[0] - p.firstBar()
	bar := list[len(list)-1] + length
	i := f.phraseNear(bar)
	if i <= 0 || len(p.bars)-bar < leastCoda || len(p.bars)-bar > length || // longer: its repeats are written out
		phrases[i-1].Close < SoftClose {
		return 0
	}
	return f.Ideas[i].Bar
}

// strophesOfRepeats are the first bars of the second and later parts of two repeated
// lengths each, unlike each other, if at least four such pairs follow each other.
func (p *page) strophesOfRepeats() (out []int) {
	const least = 4
	cuts := []int{p.firstBar()}
	for _, r := range p.s.Repeats {
		if b := p.barAt(max(r.At-1, 0)) + 1; !r.Forward && b > cuts[len(cuts)-1] {
			cuts = append(cuts, b)
		}
	}
	if len(cuts) < 2*least+1 {
		return nil
	}
	one, two := cuts[1]-cuts[0], cuts[2]-cuts[1]
	if one == two || min(one, two) < leastBars {
		return nil
	}
	n := 1
	for ; 2*n+2 < len(cuts); n++ {
		a, b := cuts[2*n+1]-cuts[2*n], cuts[2*n+2]-cuts[2*n+1]
		if abs(a-one) > 1 || abs(b-two) > 1 { // a first ending is one bar more
			break
		}
		out = append(out, cuts[2*n])
	}
	if n < least {
		return nil
	}
	if 4*(len(p.bars)-cuts[2*n]) >= 3*(one+two) { // the last one may go on to a coda
		out = append(out, cuts[2*n])
	}
	return out
}

// printedDance tells a minuet or scherzo and its trio where the score prints the trio's name.
func (p *page) printedDance(phrases []Phrase, f *Form) bool {
	list := p.heads(printedTrio)
	if len(list) == 0 || list[0] < leastSection {
		return false
	}
	trio := list[0]
	parts := []part{{p.firstBar(), p.dance()}, {trio, Trio}}
	for _, r := range f.Returns {
		if r.Opening && r.Count >= leastSection && r.Bar >= trio+leastSection {
			parts = append(parts, part{r.Bar, p.dance()})
			break
		}
	}
	if heads := p.heads(printedCoda); len(heads) > 0 && heads[len(heads)-1] > parts[len(parts)-1].bar+leastBars {
		parts = append(parts, part{heads[len(heads)-1], Coda})
	}
	sections := p.sectionsOf(phrases, f, parts)
	if len(sections) < len(parts) {
		return false
	}
	f.Sections, f.Type, f.TypeCertainty = sections, WithTrio, 0.9
	f.TypeWhy = "the trio is named in the score"
	return true
}

// dance is the printed name of the first part.
func (p *page) dance() Name {
	text := p.s.Title
	for _, w := range p.s.Words {
		if p.opening(w.At) <= p.firstBar()+1 {
			text += " " + w.Text
		}
	}
	switch {
	case printedMinuet.MatchString(text):
		return Minuet
	case printedScherzo.MatchString(text):
		return Scherzo
	}
	return ""
}
