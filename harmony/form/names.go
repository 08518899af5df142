package form

import (
	"fmt"
	"slices"
	"strings"

	"hairpin/score"
)

// Type is the trade's name of a form, "" where the evidence is not plain.
type Type string

// The forms that are told by name. Common practice, no source, unless stated.
const (
	Ternary  Type = "ternary"  // A–B–A
	WithTrio Type = "trio"     // a dance or scherzo, its trio, the first part again
	Rondo    Type = "rondo"    // the opening at least three times, with two contrasts
	Sonata   Type = "sonata"   // see sonata
	Strophic Type = "strophic" // several verses are sung to the same music
	Fugal    Type = "fugue"    // see Fugue

	Variations    Type = "variations"     // a theme and its variations
	Binary        Type = "binary"         // two parts, each repeated
	RoundedBinary Type = "rounded binary" // and in the second the opening comes back
	BarForm       Type = "bar form"       // A–A–B: the first part twice, and another
)

// Name is the trade's name of a section, "" where it has none beside its letter.
type Name string

// The names of sections.
const (
	Prelude        Name = "prelude" // before the voice enters
	Verse          Name = "verse"
	Interlude      Name = "interlude"
	Contrast       Name = "contrasting part" // sung between verses, to other music
	Postlude       Name = "postlude"         // after the voice ends
	Trio           Name = "trio"
	Minuet         Name = "minuet"
	Scherzo        Name = "scherzo"
	TheTheme       Name = "theme" // of variations
	Variation      Name = "variation"
	Introduction   Name = "introduction" // before the theme that comes back
	Exposition     Name = "exposition"
	Development    Name = "development"
	Recapitulation Name = "recapitulation"
	Coda           Name = "coda" // after the last return has ended
)

// What names are told by. Choices of ours.
const (
	fewestSyllables = 16   // less is no song
	leastFrame      = 2    // bars of a prelude or postlude
	leastCoda       = 4    // bars …
	mostCoda        = 0.25 // … and this share of the piece at most
	codaNew         = 0.3  // likeness to what follows the model from which the copy still goes on
	leastNamed      = 0.58 // certainty from which letters are told by a name
	farOff          = 1.5  // how much farther apart a recapitulation's themes may lie than the exposition's
)

// nameParts fills in the type of the form and the names of the sections.
func (p *page) nameParts(phrases []Phrase, f *Form) {
	switch {
	case f.fugal(phrases), p.strophic(phrases, f), p.variations(phrases, f), p.printedDance(phrases, f), p.sonata(phrases, f):
	default:
		p.frame(phrases, f)
		p.introduction(phrases, f)
		p.coda(phrases, f)
		p.plain(f)
		p.byRepeats(phrases, f)
	}
	f.reletter()
	f.Outline = outline(f.Sections)
	switch {
	case f.Type == Strophic || f.Type == Sonata || f.Type == Variations || f.byRepeats() || f.Sections[0].Name == Minuet || f.Sections[0].Name == Scherzo:
		f.Outline = "" // the names tell more
	case !f.plainLetters():
		f.Outline = ""
		for i := range f.Sections {
			if f.Sections[i].Name == "" {
				f.Sections[i].Letter, f.Sections[i].Prime = "", false
			}
		}
	}
}

// reletter lets the letters begin with A, where what they stood for at first has a name now.
func (f *Form) reletter() {
	to, first := map[string]string{}, map[string]int{}
	for i := range f.Sections {
		s := &f.Sections[i]
		if s.Letter == "" {
			continue
		}
		if _, known := to[s.Letter]; !known {
			to[s.Letter], first[s.Letter] = letter(len(to), 'A'), i
			s.Prime, s.Of, s.From = false, -1, s.Start
		} else if s.Of >= 0 && f.Sections[s.Of].Letter == "" {
			s.Of = first[s.Letter]
		}
		s.Letter = to[s.Letter]
	}
}

// byRepeats reports whether the form is told by its repeat signs.
func (f *Form) byRepeats() bool {
	return f.Type == Binary || f.Type == RoundedBinary || f.Type == BarForm
}

// plainLetters reports whether the letters of the sections tell something: the form has a
// name, or something comes back for certain, and they are few.
func (f *Form) plainLetters() bool {
	const most = 4 // letters
	if f.Type != "" || f.Outline == "" {
		return true
	}
	letters, back := map[string]bool{}, false
	last := ""
	if f.leadsHome() {
		return false
	}
	for _, s := range f.Sections {
		if s.Of >= 0 && s.Letter != last {
			if back = true; s.Certainty < leastNamed {
				return false
			}
		}
		letters[s.Letter], last = true, s.Letter
	}
	return back && len(letters) <= most
}

// leadsHome reports whether long music comes back a fourth higher or a fifth lower in the second half, and the first
// section not twice: the letters of such a piece, mostly a sonata's, hide what it is.
func (f *Form) leadsHome() bool {
	firsts, last := 0, ""
	for _, s := range f.Sections {
		firsts += btoi(s.Letter == "A" && last != "A")
		last = s.Letter
	}
	moved := 0 // bars
	for _, r := range f.Returns {
		if (r.Semitones%12+12)%12 == 5 && r.Between() >= leastSection && 2*r.Bar >= len(f.Bars) {
			moved += r.Count
		}
	}
	return firsts < 3 && moved >= leastSection
}

// fugal tells a fugue, which has no other parts.
func (f *Form) fugal(phrases []Phrase) bool {
	if f.Fugue == nil {
		return false
	}
	f.Type, f.TypeCertainty = Fugal, sameNotes
	f.TypeWhy = fmt.Sprintf("a subject alone, its answer, and %d entries in all", len(f.Fugue.Entries))
	f.Sections = []Section{wholeOf(phrases)}
	return true
}

// wholeOf is the piece as one section.
func wholeOf(phrases []Phrase) Section {
	last := len(phrases) - 1
	return Section{Span: Span{phrases[0].Start, phrases[last].End}, Last: last, Letter: "A", Of: -1, From: phrases[0].Start, Certainty: 1, Why: "the beginning"}
}

// plain tells the forms that the letters of the sections show: the first section again
// after one or more others.
func (p *page) plain(f *Form) {
	var letters []string
	var body []int
	for i, s := range f.Sections {
		if s.Name == Coda || s.Name == Prelude || s.Name == Postlude || s.Name == Introduction {
			continue
		}
		if n := len(letters); n == 0 || letters[n-1] != s.Letter {
			letters, body = append(letters, s.Letter), append(body, i)
		}
	}
	if h := headAgain(letters); h > 0 {
		n := len(body)
		f.joinSections(body[n-h], f.after(body[n-1]))
		f.joinSections(body[h], body[n-h])
		f.joinSections(body[0], body[h])
		last := &f.Sections[body[0]+2]
		last.Of = body[0]
		p.plain(f)
		return
	}
	certainty := 1.0
	for _, i := range body {
		if f.Sections[i].Of >= 0 {
			certainty = min(certainty, f.Sections[i].Certainty)
		}
	}
	switch text := strings.Join(letters, ""); {
	case p.hasTrio(f, letters, body):
		f.Type, f.TypeCertainty = WithTrio, max(certainty, 0.7)
		f.TypeWhy = "repeated parts, a middle part with a signature of its own, the first part again"
		f.joinSections(body[1], body[len(body)-1])
		f.Sections[body[1]].Name = Trio
	case certainty < leastNamed:
	case text == "ABA" && !f.leadsHome() && p.weighs(f, body[1], body[2]):
		f.Type, f.TypeCertainty, f.TypeWhy = Ternary, certainty, "a middle part, and the first part again"
	case returnsEachTime(letters):
		f.Type, f.TypeCertainty, f.TypeWhy = Rondo, certainty, "the first part comes back between others"
	}
}

// after is the index after section i and those of its letter that follow at once.
func (f *Form) after(i int) int {
	j := i + 1
	for j < len(f.Sections) && f.Sections[j].Letter == f.Sections[i].Letter {
		j++
	}
	return j
}

// headAgain is how many letters, two or more, stand at the beginning and again at the end,
// around others: a first part of several sections, a middle part, and the first part again.
// 0 if none do.
func headAgain(letters []string) int {
	n := len(letters)
	for h := (n - 1) / 2; h > 1; h-- {
		middle := letters[h : n-h]
		if slices.Equal(letters[:h], letters[n-h:]) && !slices.ContainsFunc(middle, func(l string) bool { return slices.Contains(letters[:h], l) }) {
			return h
		}
	}
	return 0
}

// joinSections makes the sections from i up to j one.
func (f *Form) joinSections(i, j int) {
	f.Sections[i].Last, f.Sections[i].End = f.Sections[j-1].Last, f.Sections[j-1].End
	f.Sections = slices.Delete(f.Sections, i+1, j)
	for k := range f.Sections {
		switch of := &f.Sections[k].Of; {
		case *of >= j:
			*of -= j - i - 1
		case *of > i:
			*of = i
		}
	}
}

// weighs reports whether the sections from i up to j are long enough for the middle part
// of a form: an eighth of the piece.
func (p *page) weighs(f *Form, i, j int) bool {
	const share = 8
	return share*(f.Ideas[f.Sections[j].First].Bar-f.Ideas[f.Sections[i].First].Bar) >= len(p.bars)
}

// returnsEachTime reports whether every second letter is the first one, at least three
// times, and the others differ from it and among each other.
func returnsEachTime(letters []string) bool {
	if len(letters) < 5 || letters[1] == letters[3] {
		return false
	}
	for i, l := range letters {
		if (l == letters[0]) != (i%2 == 0) {
			return false
		}
	}
	return true
}

// hasTrio reports whether the last part is the first again, after others, the first has
// repeat signs inside and the second starts with a new key signature or has repeats of
// its own, in a measure of two or three beats: a dance or a scherzo.
func (p *page) hasTrio(f *Form, letters []string, body []int) bool {
	n := len(letters)
	if _, song := p.voice(); song || n < 3 || letters[n-1] != letters[0] || slices.Contains(letters[1:n-1], letters[0]) {
		return false
	}
	first, second, third := f.Sections[body[0]].Start, f.Sections[body[1]].Start, f.Sections[body[n-1]].Start
	m := p.s.Measures[p.s.MeasureAt(p.bars[p.barAt(second)].span.Start)]
	if m.Beats != 3 && m.Beats != 2 && m.Beats != 6 {
		return false
	}
	return p.repeatsIn(first, second) && (p.repeatsIn(second+1, third) || hit(Signs(p.s), second, p.bars[p.opening(second)].span.End))
}

// repeatsIn reports whether a repeat sign ends a part in a stretch.
func (p *page) repeatsIn(from, to score.Tick) bool {
	return slices.ContainsFunc(p.s.Repeats, func(r score.Repeat) bool { return !r.Forward && r.At > from && r.At <= to })
}

// cut makes a section start with phrase i, with a letter of its own if it has none; the
// index of that section.
func (f *Form) cut(phrases []Phrase, i int, why string) int {
	k := slices.IndexFunc(f.Sections, func(s Section) bool { return i >= s.First && i <= s.Last })
	if f.Sections[k].First == i {
		return k
	}
	rest := f.Sections[k]
	f.Sections[k].Last, f.Sections[k].End = i-1, phrases[i].Start
	rest.First, rest.Start, rest.From, rest.Why = i, phrases[i].Start, phrases[i].Start, why
	rest.Of = -1
	f.Sections = slices.Insert(f.Sections, k+1, rest)
	for j := range f.Sections {
		if f.Sections[j].Of > k {
			f.Sections[j].Of++
		}
	}
	return k + 1
}

// callCoda names a section coda, which has no letter, as sure as the close before it.
func (s *Section) callCoda(certainty float64) {
	s.Name, s.Letter, s.Prime, s.Of, s.Certainty = Coda, "", false, -1, max(certainty, sameIdea)
}

// phraseAt is the phrase that starts with a bar, or with the upbeat to it, -1 if none does.
func (f *Form) phraseAt(bar int) int {
	return slices.IndexFunc(f.Ideas, func(x Idea) bool { return x.Bar == bar })
}

// introduction names what stands before the theme that comes back, in a piece without words.
func (p *page) introduction(phrases []Phrase, f *Form) {
	bar := f.themeBar(p.firstBar())
	i := f.phraseAt(bar)
	if _, ok := p.voice(); ok || i <= 0 || bar-p.firstBar() < leastFrame || p.repeatBefore(phrases, f, i) {
		return
	}
	k := f.cut(phrases, i, "the theme starts that comes back")
	if k != 1 {
		return
	}
	f.Sections[0].Name, f.Sections[0].Letter = Introduction, ""
	for j := range f.Sections {
		if f.Sections[j].Of == 0 {
			f.Sections[j].Of = 1
		}
	}
}

// themeBar is the bar that most returns of the opening go back to, if it is not the first.
func (f *Form) themeBar(first int) int {
	count, best := map[int]int{}, -1
	for _, r := range f.Returns {
		if bar := firstTime(f.Returns, r); r.Opening && bar > first && r.Count >= leastBars {
			if count[bar]++; count[bar] > 1 && (best < 0 || count[bar] > count[best]) {
				best = bar
			}
		}
	}
	return best
}

// coda names what follows the last return, after a full close, if it is new and short.
func (p *page) coda(phrases []Phrase, f *Form) {
	i := p.codaPhrase(phrases, f)
	if i < 0 || p.lastWord() > f.Ideas[i].Bar {
		return // as long as words are sung it is no coda
	}
	k := f.cut(phrases, i, "the music that came back has ended")
	f.endWith(k, phrases)
	f.Sections[k].callCoda(phrases[i-1].Certainty)
}

// introduces reports whether a return takes up the introduction alone.
func (f *Form) introduces(r Return) bool {
	return len(f.Sections) > 0 && f.Sections[0].Name == Introduction && r.First.End <= f.Sections[0].End
}

// endWith lets a section go on to the end of the piece.
func (f *Form) endWith(k int, phrases []Phrase) {
	last := len(phrases) - 1
	f.Sections = f.Sections[:k+1]
	f.Sections[k].Last, f.Sections[k].End = last, phrases[last].End
}

// codaPhrase is the phrase that the coda starts with, -1 if there is none: the first
// after the last long return, or return of the opening, at a double bar or after a close.
func (p *page) codaPhrase(phrases []Phrase, f *Form) int {
	last := f.lastReturn()
	if last == nil {
		return -1
	}
	end := last.Bar + last.Count
	for i := 1; i < len(f.Ideas); i++ {
		bar := f.Ideas[i].Bar
		left := len(p.bars) - bar
		switch {
		case bar < end-1:
			continue
		case bar > end+leastBars || left < leastCoda || float64(left) > mostCoda*float64(len(p.bars)):
			return -1
		case p.goesOnLike(*last, bar) && bar < end:
			continue
		case p.goesOnLike(*last, bar):
			return -1
		case hit(p.lines(), phrases[i].Start, p.bars[bar].span.Start) || phrases[i-1].Close >= SoftClose:
			return i
		}
	}
	return -1
}

// lastReturn is the last long return, or return of the opening; nil if there is none.
func (f *Form) lastReturn() (last *Return) {
	for i := range f.Returns {
		r := &f.Returns[i]
		long := r.Opening && !f.introduces(*r) || r.Count >= leastSection
		if long && (r.Between() >= leastBars || r.Count >= 2*leastSection) && (last == nil || r.Bar+r.Count > last.Bar+last.Count) {
			last = r
		}
	}
	return last
}

// goesOnLike reports whether the music from a bar on is still like what follows the model
// of a return: a copy that varies more and more is no coda.
func (p *page) goesOnLike(r Return, bar int) bool {
	model := r.FirstBar + bar - r.Bar
	n := min(leastCoda, len(p.bars)-bar, r.Bar-model)
	return n > 0 && model >= 0 && p.alike(model, bar, n, r.Steps) >= codaNew
}
