package form

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// voice is what is sung: the part, the stretch, and how many lines of text stand under most notes.
type voice struct {
	part int
	Span
	lines int
}

// voice finds what is sung; ok is false if nothing is.
func (p *page) voice() (v voice, ok bool) {
	part, most := -1, fewestSyllables
	for i, n := range p.syllables() {
		if n > most || n == most && part >= 0 && i < part {
			part, most = i, n
		}
	}
	if part < 0 {
		return voice{}, false
	}
	var lines []int
	v.part, v.Start = part, -1
	for _, y := range p.s.Syllables {
		if y.Part == part {
			lines = append(lines, y.Verses)
			if v.Start < 0 || y.At < v.Start {
				v.Start = y.At
			}
		}
	}
	for _, n := range p.s.Notes {
		if n.Part == part && n.Staff <= 1 && n.Pitched() {
			v.End = max(v.End, n.End())
		}
	}
	slices.Sort(lines)
	v.lines = lines[len(lines)/2]
	return v, true
}

// lastWord is the bar of the last syllable of what is sung, -1 if nothing is.
func (p *page) lastWord() int {
	sung, ok := p.voice()
	bar := -1
	for _, y := range p.s.Syllables {
		if ok && y.Part == sung.part {
			bar = max(bar, p.barAt(y.At))
		}
	}
	return bar
}

// syllables counts those of each part that can be sung: a mark that was entered as text,
// a wedge or an f, has no vowel.
func (p *page) syllables() map[int]int {
	count := map[int]int{}
	for _, y := range p.s.Syllables {
		if strings.ContainsFunc(strings.ToLower(y.Text), vowel) {
			count[y.Part]++
		}
	}
	return count
}

// vowel reports whether a letter may be one: those beyond ASCII all may.
func vowel(r rune) bool { return strings.ContainsRune("aeiouy", r) || r > 127 && unicode.IsLetter(r) }

// frame names what is played before the voice enters and after it ends.
func (p *page) frame(phrases []Phrase, f *Form) {
	sung, ok := p.voice()
	if !ok {
		return
	}
	if i := f.phraseAt(p.opening(sung.Start)); i > 0 && f.Ideas[i].Bar-p.firstBar() >= leastFrame {
		k := f.cut(phrases, i, "the voice enters")
		f.joinSections(0, k)
		f.Sections[0].Name, f.Sections[0].Letter = Prelude, ""
	}
	after := p.barAt(max(sung.End-1, 0)) + 1
	i := slices.IndexFunc(f.Ideas, func(x Idea) bool { return x.Bar >= after-1 && x.Start > sung.Start })
	if i > 0 && len(p.bars)-f.Ideas[i].Bar >= leastFrame && (f.Ideas[i].Bar-after <= 1 || f.starts(i)) {
		k := f.cut(phrases, i, "the voice has ended")
		f.endWith(k, phrases)
		f.Sections[k].Name, f.Sections[k].Letter, f.Sections[k].Prime, f.Sections[k].Of = Postlude, "", false, -1
	}
}

// strophic tells a song with several verses under repeated music, and names its prelude,
// verse and postlude.
func (p *page) strophic(phrases []Phrase, f *Form) bool {
	sung, ok := p.voice()
	if ok && p.writtenOut(phrases, f, sung) {
		return true
	}
	if !ok || sung.lines < 2 || !p.repeatsMost(sung) { // a second line without a repeat is a translation
		return false
	}
	f.Type, f.Verses, f.TypeCertainty = Strophic, sung.lines, 0.9
	f.TypeWhy = fmt.Sprintf("%d lines of text under the same notes", sung.lines)
	f.Sections = []Section{wholeOf(phrases)}
	p.frame(phrases, f)
	for i := range f.Sections {
		if s := &f.Sections[i]; s.Start < sung.End && (s.Name == "") {
			s.Name = Verse
		}
	}
	if len(f.Sections) == 1 {
		f.Sections[0].Name = ""
	}
	return true
}

// starts reports whether a section starts with a phrase.
func (f *Form) starts(phrase int) bool {
	return slices.ContainsFunc(f.Sections, func(s Section) bool { return s.First == phrase })
}

// repeatsMost reports whether a repeat sign stands in the last quarter of what is sung, or after
// it: one before that closes the first part of a bar form.
func (p *page) repeatsMost(sung voice) bool {
	return p.repeatsIn(sung.End-(sung.End-sung.Start)/4, p.s.Length())
}
