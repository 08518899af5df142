package form

import (
	"cmp"
	"fmt"
	"slices"

	"hairpin/score"
)

// What verses that are written out are told by. Choices of ours.
const (
	leastVerse  = 6   // bars that are sung
	verseAlike  = 0.7 // of the bars of the first verse come again in the second …
	verseVaried = 0.6 // … and in later ones
	verseCovers = 0.7 // of what is sung, at least, is verses
	verseStrays = 2   // bars by which a verse may stretch
	leastOther  = 6   // sung bars between two verses that are a part of their own
)

// strophes are verses that are written out, by the first bar of each.
type strophes struct {
	starts []int
	length int     // bars of the first that are sung
	covers float64 // share of what is sung
}

// writtenOut tells a song whose verses are written out, each to the tune of the first, and
// names its prelude, interludes, verses, a part that contrasts, and its postlude.
func (p *page) writtenOut(phrases []Phrase, f *Form, sung voice) bool {
	first, end := p.opening(sung.Start), p.barAt(max(sung.End-1, 0))+1
	v := newPage(p.s, sung.part+1)
	x := v.strophes(first, end)
	if len(x.starts) < 2 || x.covers < verseCovers || p.repeated(x.starts) {
		return false
	}
	list := v.parts(x, end)
	if first-p.firstBar() >= leastFrame {
		list = append([]part{{p.firstBar(), Prelude}}, list...)
	}
	sections := p.sectionsOf(phrases, f, list)
	if sections == nil {
		return false
	}
	f.Sections = sections
	f.Type, f.TypeCertainty = Strophic, x.covers
	f.TypeWhy = fmt.Sprintf("the voice sings its first %d bars %d times", x.length, len(x.starts))
	f.Verses = p.countVerses(f, sung)
	return true
}

// repeated reports whether one pair of repeat signs holds two of the bars: they are then
// parts of one verse.
func (p *page) repeated(bars []int) bool {
	from := score.Tick(0)
	for _, r := range p.s.Repeats {
		n := 0
		for _, b := range bars {
			n += btoi(!r.Forward && p.bars[b].span.End > from && p.bars[b].span.Start < r.At)
		}
		if n > 1 {
			return true
		}
		from = r.At
	}
	return false
}

// countVerses adds up the lines of text under the verses.
func (p *page) countVerses(f *Form, sung voice) (n int) {
	for _, s := range f.Sections {
		if s.Name != Verse {
			continue
		}
		var lines []int
		for _, y := range p.s.Syllables {
			if y.Part == sung.part && y.At >= s.Start && y.At < s.End {
				lines = append(lines, y.Verses)
			}
		}
		slices.Sort(lines)
		if k := len(lines); k > 0 && len(p.s.Repeats) > 0 {
			n += lines[k/2]
		} else {
			n++
		}
	}
	return n
}

// strophes finds, in the voice alone, the verses that cover most of what is sung, long
// ones before many.
func (v *page) strophes(first, end int) (best strophes) {
	returns := v.returns()
	for second := first + leastVerse; second < end; second++ {
		from := v.firstTimes(returns, second)
		if from[second] != first && (second+1 >= end || from[second+1] != first+1) {
			continue
		}
		x := strophes{starts: []int{first}}
		for b := first; b < second; b++ {
			if v.sung(b) {
				x.length = b + 1 - first
			}
		}
		for b := second; b < end && x.length >= leastVerse; b++ {
			least := verseAlike
			if len(x.starts) > 1 {
				least = verseVaried
			}
			if v.sings(from, first, b, x.length, least) {
				x.starts = append(x.starts, b)
				b += x.length - 1
			}
		}
		all := 0
		for b := first; b < end; b++ {
			all += btoi(v.sung(b))
		}
		x.covers = min(1, float64(x.length*len(x.starts))/float64(max(all, 1)))
		if len(x.starts) > 1 && cmp.Or(cmp.Compare(x.covers, best.covers+0.02), cmp.Compare(x.length, best.length)) > 0 {
			best = x
		}
	}
	return best
}

// sung reports whether more than an upbeat is sung in a bar.
func (v *page) sung(b int) bool {
	x := &v.bars[b]
	return slices.ContainsFunc(x.dots, func(d dot) bool { return 2*d.at < x.full }) || len(x.dots) > 1
}

// firstTimes says for each bar which one before bar second it repeats, in the old key;
// itself if none.
func (v *page) firstTimes(returns []Return, second int) []int {
	out := make([]int, len(v.bars))
	for b := range out {
		out[b] = b
	}
	for _, r := range returns {
		for k := 0; k < r.Count && r.inKey(); k++ {
			if r.Bar+k >= second {
				out[r.Bar+k] = out[r.FirstBar+k]
			}
		}
	}
	return out
}

// sings reports whether at least a share of the first verse is sung again from bar b on, from its start.
func (v *page) sings(from []int, first, b, length int, least float64) bool {
	n, starts := 0, false
	for k := 0; k < length+verseStrays && b+k < len(from); k++ {
		if off := from[b+k] - first; from[b+k] < b && off >= 0 && off < length && abs(off-k) <= verseStrays {
			n++
			starts = starts || k <= 1
		}
	}
	return starts && float64(n) >= least*float64(length)
}

// part is a part of a song by its first bar.
type part struct {
	bar  int
	name Name
}

// parts are the verses, what is sung between them and what is played.
func (v *page) parts(x strophes, end int) (out []part) {
	for i, b := range x.starts {
		out = append(out, part{b, Verse})
		next := end
		if i+1 < len(x.starts) {
			next = x.starts[i+1]
		}
		over := b + x.length
		for over < next && v.sung(over) && next-over < leastOther { // the verse goes on
			over++
		}
		sung := 0
		for k := over; k < next; k++ {
			sung += btoi(v.sung(k))
		}
		switch {
		case sung >= leastOther:
			out = append(out, part{over, Contrast})
		case sung == 0 && next-over >= leastFrame && next < end:
			out = append(out, part{over, Interlude})
		}
	}
	if len(v.bars)-end >= leastFrame {
		out = append(out, part{end, Postlude})
	}
	return out
}

// sectionsOf cuts the piece into parts, at the phrases that start with them or a bar away;
// nil if one that makes the form starts with no phrase.
func (p *page) sectionsOf(phrases []Phrase, f *Form, list []part) (out []Section) {
	for _, x := range list {
		i := f.phraseNear(x.bar)
		if len(out) == 0 {
			i = 0
		}
		if n := len(out); i < 0 || n > 0 && i <= out[n-1].First {
			if x.name == Interlude || x.name == Contrast || x.name == Postlude || x.name == Coda {
				continue
			}
			return nil
		}
		s := Section{First: i, Name: x.name, Of: -1, From: phrases[i].Start, Certainty: 0.8, Why: string(x.name)}
		s.Start = phrases[i].Start
		s.call(out)
		out = append(out, s)
	}
	for i := range out {
		last := len(phrases) - 1
		if i+1 < len(out) {
			last = out[i+1].First - 1
		}
		out[i].Last, out[i].End = last, phrases[last].End
	}
	return out
}

// call gives a named section its letter: verses, variations and dances are A, what
// contrasts is B, what stands before, between and after has none.
func (s *Section) call(before []Section) {
	switch s.Name {
	case Prelude, Interlude, Postlude, Coda:
		return
	case Contrast, Trio:
		s.Letter = "B"
		return
	}
	s.Letter = "A"
	if k := slices.IndexFunc(before, func(x Section) bool { return x.Letter == "A" }); k >= 0 {
		s.Prime, s.Of, s.From = s.Name == Verse || s.Name == Variation, k, before[k].Start
	}
}

// phraseNear is the phrase that starts with a bar, or else with the one after or before it.
func (f *Form) phraseNear(bar int) int {
	for _, b := range [...]int{bar, bar + 1, bar - 1} {
		if i := f.phraseAt(b); i >= 0 {
			return i
		}
	}
	return -1
}
