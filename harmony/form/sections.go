package form

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hairpin/score"
)

// What speaks for a new section, in points of our own: one strong sign or two
// weaker ones make it. Choices of ours, after Lerdahl and Jackendoff (1983), A
// Generative Theory of Tonal Music, grouping preference rules 4 and 6: where several
// marks meet, and where parallel music starts, the larger groups start.
const (
	pointsBar    = 2.0  // double bar or repeat sign
	pointsSign   = 2.5  // new key signature or metre, for eight bars or more
	pointsBack   = 2.0  // eight bars or more, or the opening, come back here after other music …
	pointsStarts = 1.2  // … or start that will come back, or fewer bars do
	pointsAtOnce = 0.6  // music starts that is repeated at once
	pointsLeaves = 0.7  // a return ends
	pointsFull   = 0.7  // after a full close
	pointsRest   = 0.5  // everything is silent
	newSection   = 1.75 // from here on
	leastSection = 8    // bars
	leastShare   = 16   // and this share of the piece: 1/16

	leastContrast = 10 // the same for what only contrasts: 1/10
)

// sections cuts the piece at the phrase ends where most signs meet and names what
// comes back.
func (p *page) sections(phrases []Phrase, f *Form) []Section {
	marks := p.marks(phrases, f)
	starts := p.starts(marks, f)
	var out []Section
	for k, first := range starts {
		last := len(phrases) - 1
		if k+1 < len(starts) {
			last = starts[k+1] - 1
		}
		s := Section{First: first, Last: last, Of: -1, From: phrases[first].Start, Why: strings.Join(marks[first].why, ", ")}
		s.Span = Span{phrases[first].Start, phrases[last].End}
		s.Certainty = marks[first].points / (marks[first].points + newSection)
		if first == 0 {
			s.Why, s.Certainty = "the beginning", 1
		}
		out = append(out, s)
	}
	p.name(out, f)
	return out
}

// starts are the phrases with which sections start: of those that are marked enough
// the most marked first, each if it leaves room to those before and after it.
func (p *page) starts(marks []mark, f *Form) []int {
	least := max(leastSection, len(p.bars)/leastShare)
	var order []int
	for i := 1; i < len(marks); i++ {
		if marks[i].points >= newSection && len(p.bars)-f.Ideas[i].Bar >= least/2 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(marks[j].points, marks[i].points) })
	out := []int{0}
	for _, i := range order {
		out = f.withStart(out, firstBack(i, least, marks, f), least)
	}
	return contrasts(f.toldAlike(out, least), marks, f)
}

// withStart adds a phrase to those that sections start with, if it leaves so many bars to
// those before and after it.
func (f *Form) withStart(starts []int, i, least int) []int {
	k, known := slices.BinarySearch(starts, i)
	if known || k == 0 || f.Ideas[i].Bar-f.Ideas[starts[k-1]].Bar < least || k < len(starts) && f.Ideas[starts[k]].Bar-f.Ideas[i].Bar < least {
		return starts
	}
	return slices.Insert(starts, k, i)
}

// toldAlike adds the starts inside music that comes back: it is divided as it was at first.
func (f *Form) toldAlike(starts []int, least int) []int {
	for _, r := range f.Returns {
		for _, s := range slices.Clone(starts) {
			off := f.Ideas[s].Bar - r.FirstBar
			if i := f.phraseAt(r.Bar + off); off > 0 && off <= r.Count-leastBars && i > 0 {
				starts = f.withStart(starts, i, least)
			}
		}
	}
	return starts
}

// firstBack is the earliest phrase, within so many bars before phrase i, with which earlier
// music returns: a section that comes back starts at its first bar.
func firstBack(i, least int, marks []mark, f *Form) int {
	first := i
	for j := i - 1; j > 0 && marks[i].back && f.Ideas[i].Bar-f.Ideas[j].Bar < least; j-- {
		if marks[j].back && marks[j].points >= newSection && f.leadsTo(f.Ideas[j].Bar, f.Ideas[i].Bar) {
			first = j
		}
	}
	return first
}

// leadsTo reports whether four bars or more come back from a bar, or the one after it, on,
// and lie before their model of another bar's return as far as these bars lie apart, a section
// more or less: what comes back there is no return inside the part before.
func (f *Form) leadsTo(bar, next int) bool {
	at := func(bar int) int {
		return slices.IndexFunc(f.Returns, func(r Return) bool { return r.Count >= leastBars && (r.Bar == bar || r.Bar == bar+1) })
	}
	i, j := at(bar), at(next)
	if i < 0 || j < 0 || f.Returns[i].Opening {
		return i >= 0
	}
	a, b := f.Returns[i], f.Returns[j]
	return abs(b.FirstBar-a.FirstBar-b.Bar+a.Bar) <= leastSection
}

// contrasts adds a start where the opening comes back after a section that begins with
// it as well: of the phrases between that are new and after all that comes back, the most
// marked. What is told again must have been left.
func contrasts(starts []int, marks []mark, f *Form) []int {
	out := starts[:1:1]
	for k := 1; k < len(starts); k++ {
		if f.opens(starts[k-1]) && f.opens(starts[k]) {
			end := len(f.Bars)
			if k+1 < len(starts) {
				end = f.Ideas[starts[k+1]].Bar
			}
			if i := contrast(starts[k-1], starts[k], end, marks, f); i > 0 {
				marks[i].add(pointsLeaves, "the opening is left before it comes back")
				out = append(out, i)
			}
		}
		out = append(out, starts[k])
	}
	return out
}

// opens reports whether a phrase begins with the opening of the piece.
func (f *Form) opens(phrase int) bool {
	_, again := opening(f.Returns, f.Ideas[phrase].Bar)
	return phrase == 0 || again
}

// contrast is the phrase that leaves the music of phrase first before it comes back with
// phrase again and up to bar end, 0 if none does.
func contrast(first, again, end int, marks []mark, f *Form) int {
	from, to := f.Ideas[first].Bar, f.Ideas[again].Bar
	told := from + leastSection
	for _, r := range f.Returns {
		if r.Bar >= to && r.Bar < end && r.FirstBar >= from && r.FirstBar < to {
			told = max(told, r.FirstBar+r.Count)
		}
	}
	best := 0
	for i := first + 1; i < again; i++ {
		x := f.Ideas[i]
		if x.Of < 0 && !marks[i].echo && x.Bar >= told && to-x.Bar >= max(leastSection, len(f.Bars)/leastContrast) && (best == 0 || marks[i].points > marks[best].points) {
			best = i
		}
	}
	return best
}

// echoes reports whether a phrase of a bar or two only closes again as the one before it did: an
// echo or a codetta belongs to what it closes. Common practice, no source.
func (f *Form) echoes(phrases []Phrase, i int) bool {
	const most = 2 // bars
	before, x := phrases[i-1], phrases[i]
	return f.Ideas[i].Count <= most && before.Close >= SoftClose && x.Close >= SoftClose && x.Tonic == before.Tonic
}

// mark is what speaks for a section that starts with a phrase.
type mark struct {
	points float64
	why    []string
	back   bool // earlier music returns
	echo   bool // it only closes again: see echoes
}

func (m *mark) add(points float64, why string) {
	m.points += points
	m.why = append(m.why, why)
}

func (p *page) marks(phrases []Phrase, f *Form) []mark {
	out := make([]mark, len(phrases))
	bars, signs := p.lines(), Signs(p.s)
	e := edges(f.Returns)
	for i := 1; i < len(phrases); i++ {
		m, b := &out[i], &p.bars[f.Ideas[i].Bar]
		m.echo = f.echoes(phrases, i)
		from, to := phrases[i].Start, max(b.span.Start, phrases[i].Start)
		early := p.bars[max(f.Ideas[i].Bar-1, 0)].span.Start // a return may start with the bar of its upbeat
		if hit(bars, from, to) {
			m.add(pointsBar, "double bar or repeat sign")
		}
		if hit(signs, from, to) {
			m.add(pointsSign, "new key signature or metre")
		}
		switch {
		case hit(e.backs, early, to), hit(e.backs, to, p.bars[min(f.Ideas[i].Bar+1, len(p.bars)-1)].span.Start):
			m.add(pointsBack, "earlier music returns")
			m.back = true
		case hit(e.begins, early, to):
			m.add(pointsStarts, "music starts that comes back")
		case hit(e.again, early, to):
			m.add(pointsAtOnce, "music starts that is repeated")
		}
		switch {
		case hit(e.whole, early, to):
			m.add(pointsStarts, "the end of a long return or of its model")
		case hit(e.ends, early, to):
			m.add(pointsLeaves, "the end of music that returns")
		}
		if before := phrases[i-1]; before.Close == FullClose {
			m.add(pointsFull*before.Certainty, "after a full close")
		}
		if b := &p.bars[max(f.Ideas[i].Bar-1, 0)]; len(b.dots) == 0 {
			m.add(pointsRest, "after silence")
		}
	}
	return out
}

// hit reports whether a sorted list has a member in [from, to].
func hit(at []score.Tick, from, to score.Tick) bool {
	i, _ := slices.BinarySearch(at, from)
	return i < len(at) && at[i] <= to
}

// lines are the double bars and repeat signs.
func (p *page) lines() []score.Tick {
	out := slices.Clone(p.s.DoubleBar)
	for _, r := range p.s.Repeats {
		out = append(out, r.At)
	}
	slices.Sort(out)
	return out
}

// Signs are the moments, sorted, at which key signature or metre change for at least
// eight measures, after at least as many: shorter changes are written for a passage.
func Signs(s *score.Score) []score.Tick {
	var keys, times []score.Tick
	for i, k := range s.Keys {
		if i > 0 && k.Fifths != s.Keys[i-1].Fifths {
			keys = append(keys, k.At)
		}
	}
	for i, m := range s.Times {
		if i > 0 && m.Text != s.Times[i-1].Text {
			times = append(times, m.At)
		}
	}
	out := append(lasting(s, keys), lasting(s, times)...)
	slices.Sort(out)
	return slices.Compact(out)
}

// lasting are the changes before and after which eight measures pass without another.
func lasting(s *score.Score, changes []score.Tick) []score.Tick {
	var out []score.Tick
	before := 0
	for i, at := range changes {
		m, next := s.MeasureAt(at), len(s.Measures)
		if i+1 < len(changes) {
			next = s.MeasureAt(changes[i+1])
		}
		if m-before >= leastSection && next-m >= leastSection {
			out = append(out, at)
		}
		if next > m {
			before = m
		}
	}
	return out
}

// seams are the moments, sorted, at which returns start and end.
type seams struct {
	backs  []score.Tick // long returns, and those of the opening, start after other music
	begins []score.Tick // other returns start, and what will come back after other music
	again  []score.Tick // music starts that is repeated at once
	whole  []score.Tick // a long return, or its first time, ends
	ends   []score.Tick // other music that comes back ends, or its return
}

func edges(list []Return) (e seams) {
	for _, r := range list {
		e.ends = append(e.ends, r.First.End, r.Again.End)
		switch {
		case r.Between() < leastBars:
			e.again = append(e.again, r.First.Start)
			continue
		case r.Opening:
			e.backs = append(e.backs, r.Again.Start)
		case r.Count >= leastSection:
			e.backs, e.whole = append(e.backs, r.Again.Start), append(e.whole, r.First.End, r.Again.End)
		}
		e.begins = append(e.begins, r.First.Start, r.Again.Start)
	}
	for _, list := range [][]score.Tick{e.backs, e.begins, e.again, e.whole, e.ends} {
		slices.Sort(list)
	}
	return e
}

// What makes two sections the same. Choices of ours.
const (
	sameShare  = 0.5  // of a section that comes back: more than this
	sameAll    = 0.88 // from here on it is unchanged
	sameOpens  = 8    // bars: a section that opens as an earlier one for so long is that one
	opensShare = 0.75 // of them
	sureShare  = 0.85 // how sure it is that a section of old bars alone comes back
)

// name gives the sections their letters: a section whose bars come, for the most
// part or at its opening, from earlier ones of one letter is that one again.
func (p *page) name(list []Section, f *Form) {
	source := p.sources(f)
	at := make([]int, len(p.bars)) // by bar: the first section of its letter
	letters := 0
	for i := range list {
		s := &list[i]
		from, to := p.stretch(list, i, f)
		of, share, changed := cover(source, at, from, to)
		back, opens := opening(f.Returns, from)
		if opens && of < 0 {
			of, changed = at[back.FirstBar], true
		}
		if of < 0 {
			s.Letter, of = letter(letters, 'A'), i
			letters++
		} else {
			s.Of, s.Letter, s.Prime = of, list[of].Letter, share < sameAll || changed
			s.From = list[of].Start
			if o := source[from].bar; o >= 0 && o < from {
				s.From = p.bars[o].span.Start
			}
			s.Certainty = max(s.Certainty*(0.5+0.5*share), sureShare*share)
			if opens {
				s.Certainty = max(s.Certainty, back.Certainty)
			}
			s.Why = strings.TrimPrefix(fmt.Sprintf("%s, %.0f %% of its bars come from %s", s.Why, 100*share, s.Letter), ", ")
		}
		for b := from; b < to; b++ {
			at[b] = of
		}
	}
}

// opening is the return of the opening at a bar, with the bar of its upbeat before, or from
// the one after it on.
func opening(list []Return, bar int) (r Return, ok bool) {
	for _, r := range list {
		if r.Opening && abs(r.Bar-bar) <= 1 {
			return r, true
		}
	}
	return Return{}, false
}

// stretch are the bars of section i.
func (p *page) stretch(list []Section, i int, f *Form) (from, to int) {
	from, to = f.Ideas[list[i].First].Bar, len(p.bars)
	if i == 0 {
		from = 0
	}
	if i+1 < len(list) {
		to = f.Ideas[list[i+1].First].Bar
	} else if r := f.lastReturn(); r != nil && r.Bar+r.Count >= from+leastBars && float64(to-r.Bar-r.Count) <= mostCoda*float64(to) {
		to = r.Bar + r.Count // what follows may be a coda
	}
	return from, max(from, to)
}

// origin is where a bar comes from, -1 if it is new.
type origin struct {
	bar     int
	changed bool // transposed or varied
}

func (p *page) sources(f *Form) []origin {
	out := make([]origin, len(p.bars))
	for i := range out {
		out[i].bar = -1
	}
	for _, r := range f.Returns {
		for k := range r.Count {
			out[r.Bar+k] = origin{r.FirstBar + k, r.moves() || likeness(&p.bars[r.FirstBar+k], &p.bars[r.Bar+k], 0) < sameNotes}
		}
	}
	for _, x := range f.Ideas {
		for k := 0; x.Likeness >= sameStart && k < min(x.Count, f.Ideas[x.Of].Count); k++ {
			if o := &out[x.Bar+k]; o.bar < 0 {
				*o = origin{f.Ideas[x.Of].Bar + k, x.Prime}
			}
		}
	}
	return out
}

// cover finds the section that most of the bars before from, or the opening ones of
// the stretch, come from, among the first of each letter; -1 if there is none.
func cover(source []origin, at []int, from, to int) (of int, share float64, changed bool) {
	count, opens, moved := map[int]int{}, map[int]int{}, map[int]int{}
	for b := from; b < to; b++ {
		o := source[b]
		if o.bar < 0 || o.bar >= from {
			continue
		}
		k := at[o.bar]
		count[k]++
		opens[k] += btoi(b < from+sameOpens)
		moved[k] += btoi(o.changed)
	}
	of = -1
	for k, n := range count {
		if of < 0 || n > count[of] || n == count[of] && k < of {
			of = k
		}
	}
	share = float64(count[of]) / float64(max(to-from, 1))
	if of < 0 || share <= sameShare && float64(opens[of]) < opensShare*float64(min(sameOpens, to-from)) {
		return -1, 0, false
	}
	return of, share, 2*moved[of] > count[of]
}

// outline writes the letters in a row, one that follows itself once: "A–B–A'".
func outline(list []Section) string {
	var out []string
	last := ""
	for _, s := range list {
		if s.Letter != "" && s.Letter != last {
			out, last = append(out, prime(s.Letter, s.Prime && s.Of >= 0)), s.Letter
		}
	}
	if len(out) < 2 {
		return ""
	}
	return strings.Join(out, "–")
}
