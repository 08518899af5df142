package form

import "hairpin/score"

// What repeat signs tell. Choices of ours.
const (
	mostBinary = 64   // bars: two repeated halves of a longer piece may be a sonata's
	mostStanza = 40   // bars of a bar form
	firstLeast = 0.2  // share of the piece that the first part has at least …
	firstMost  = 0.65 // … and at most
)

// byRepeats tells a short piece by its repeat signs, where nothing else does: two repeated
// parts are binary, rounded if the opening comes back in the second; a first part
// alone that is repeated, in music of several voices, makes a bar form. Laitz, The
// Complete Musician, from memory.
func (p *page) byRepeats(phrases []Phrase, f *Form) {
	ends, n := p.repeatEnds(), len(p.bars)
	_, song := p.voice()
	if f.Type != "" || len(ends) == 0 || float64(ends[0]) < firstLeast*float64(n) || float64(ends[0]) > firstMost*float64(n) {
		return
	}
	var kind Type
	switch {
	case len(ends) == 2 && ends[1] >= n-1 && n <= mostBinary && !song:
		kind = Binary
	case len(ends) == 1 && n <= mostStanza && n-ends[0] >= leastBars && len(p.s.Parts) > 1:
		kind = BarForm
	default:
		return
	}
	i := f.phraseNear(ends[0])
	if i <= 0 || len(f.Sections) > 0 && f.Sections[0].Name != "" {
		return
	}
	a, b := wholeOf(phrases), wholeOf(phrases)
	a.Last, a.End = i-1, phrases[i].Start
	b.First, b.Start, b.From, b.Letter, b.Why = i, phrases[i].Start, phrases[i].Start, "B", "after the repeat sign"
	for _, r := range f.Returns {
		if kind == Binary && r.Opening && r.Bar >= ends[0]+leastBars && r.Count >= leastBars {
			kind = RoundedBinary
		}
	}
	f.Sections = []Section{a, b}
	f.Type, f.TypeCertainty, f.TypeWhy = kind, 0.8, "the repeat signs"
}

// repeatEnds are the bars after the parts that are repeated, each once.
func (p *page) repeatEnds() (out []int) {
	for _, r := range p.s.Repeats {
		if b := p.barAfter(r.At); !r.Forward && (len(out) == 0 || b > out[len(out)-1]) {
			out = append(out, b)
		}
	}
	return out
}

// barAfter is the bar that starts at a bar line.
func (p *page) barAfter(at score.Tick) int { return p.barAt(max(at-1, 0)) + 1 }
