package form

import (
	"fmt"
	"slices"

	"hairpin/score"
)

// Theme is a theme of a sonata movement beside the first, or what closes its exposition.
type Theme struct {
	Name      ThemeName
	At, Again score.Tick // in the exposition and in the recapitulation
	Steps     int        // of the staff, upward, that the second time has moved
	Semitones int
	Certainty float64
}

// Fifths is how far the second time has moved on the line of fifths.
func (t Theme) Fifths() score.Class { return score.Class(7*t.Semitones - 12*t.Steps) }

// ThemeName is the trade's name of a theme.
type ThemeName string

// The names of themes. Hepokoski and Darcy, Elements of Sonata Theory (2006), chapters 7
// and 9, and Caplin, Classical Form (1998), chapters 8 and 9, from memory: the second theme
// stands in the second key and comes back at home; the closing section follows its last
// perfect cadence.
const (
	SecondTheme ThemeName = "second theme"
	Closing     ThemeName = "closing section"
)

// What a sonata is told by. Choices of ours.
const (
	leastDevelopment = 8    // a development has a share of one in so many of the exposition at least
	tuneAlike        = 0.64 // melodies from here on are one theme's
	tuneBars         = 4    // that are compared
	tuneMoved        = 0.9  // the opening in another key must be so like it
	earliest         = 0.22 // share of the exposition before which no second theme starts …
	latest           = 0.62 // … and after which none does
	leastHalf        = 0.2  // certainty of the half cadence before a second theme
	plainHalf        = 0.8  // from here on the second theme is where it is, or not told
	longLead         = 8    // bars: a longer phrase that ends on the dominant, …
	leastLead        = 0.4  // … so surely, leads to the second theme
	leastFull        = 0.5  // and of the full close before the closing section
	mostClosing      = 0.34 // of the exposition
)

// sonata tells sonata form by the theme that comes back in its own key, followed by
// second themes that were first heard in another key and come back moved to the home
// key, as far behind the first as they were at first. The exposition ends with the
// last full close of what the recapitulation tells again: Hepokoski and Darcy, Elements
// of Sonata Theory (2006), chapter 2, from memory. Where no phrase starts with the bar in which
// the theme comes back, one a bar away serves if a repeat sign ends the exposition; themes are
// not told then.
func (p *page) sonata(phrases []Phrase, f *Form) bool {
	back, second := p.recapitulation(f)
	if back == nil {
		return false
	}
	expEnd := p.expositionEnd(phrases, f, *back, *second)
	again := f.phraseNear(back.Bar)
	exact := again >= 0 && f.Ideas[again].Bar == back.Bar
	if expEnd < 0 || !exact && !p.repeatBefore(phrases, f, expEnd) || again <= expEnd || leastDevelopment*(f.Ideas[again].Bar-f.Ideas[expEnd].Bar) < f.Ideas[expEnd].Bar {
		return false
	}
	f.Type, f.TypeCertainty = Sonata, min(back.Certainty, second.Certainty)
	f.TypeWhy = fmt.Sprintf("the opening comes back, and after it music that was first heard %s", moved(-second.Steps, -second.Semitones))
	last := len(phrases) - 1
	f.Sections = []Section{
		{Span: Span{phrases[0].Start, phrases[expEnd].Start}, First: 0, Last: expEnd - 1, Name: Exposition, Letter: "A", Of: -1, From: phrases[0].Start, Certainty: 1, Why: "the beginning"},
		{Span: Span{phrases[expEnd].Start, phrases[again].Start}, First: expEnd, Last: again - 1, Name: Development, Letter: "B", Of: -1, From: phrases[expEnd].Start, Certainty: f.TypeCertainty, Why: "after the last close that is told again"},
		{Span: Span{phrases[again].Start, phrases[last].End}, First: again, Last: last, Name: Recapitulation, Letter: "A", Prime: true, From: phrases[0].Start, Subdominant: !back.inKey(), Certainty: back.Certainty, Why: back.Why},
	}
	if exact {
		f.Themes = p.themes(phrases, f, expEnd, again)
	}
	p.sonataCoda(phrases, f, expEnd, again)
	return true
}

// themes finds the second theme and the closing section.
func (p *page) themes(phrases []Phrase, f *Form, expEnd, again int) (out []Theme) {
	bars := f.Ideas[expEnd].Bar
	homes := p.homes(f, expEnd, again)
	second := p.secondTheme(phrases, f, homes, again)
	if second < 0 {
		return nil
	}
	t := homes[second]
	t.Name = SecondTheme
	out = append(out, t)
	for i := expEnd - 1; i > second; i-- {
		if phrases[i-1].Close != FullClose || phrases[i-1].Certainty < leastFull {
			continue
		}
		n := bars - f.Ideas[i].Bar
		if t := homes[i]; t.Certainty > 0 && n >= leastFrame && float64(n) <= mostClosing*float64(bars) && t.Again > out[0].Again {
			t.Name = Closing
			out = append(out, t)
		}
		break
	}
	return out
}

// secondTheme is the phrase with which the second theme starts, -1 where it is not plain: the
// one where the recapitulation turns home, if up to there it went along with the exposition
// and the phrase leads no further; or the first after a half cadence; or the first with
// which music starts that comes back at home.
func (p *page) secondTheme(phrases []Phrase, f *Form, homes []Theme, again int) int {
	expEnd := len(homes)
	fits := func(i int) bool {
		return homes[i].Certainty > 0 && float64(f.Ideas[i].Bar) <= latest*float64(f.Ideas[expEnd].Bar)
	}
	closes := func(i int, c Close, least float64) bool {
		return i >= 0 && phrases[i].Close == c && phrases[i].Certainty >= least
	}
	leads := func(i int) bool { return f.Ideas[i].Count > longLead && closes(i, OpenClose, leastLead) }
	if i := f.departure(f.Ideas[again].Bar); i > 0 && i < expEnd && fits(i) && !leads(i) && !startsTransition(phrases, i) {
		return i
	}
	for i := 1; i < expEnd; i++ {
		switch late := float64(f.Ideas[i].Bar) >= earliest*float64(f.Ideas[expEnd].Bar); {
		case !late || !closes(i-1, OpenClose, leastHalf) || leads(i):
		case (startsTransition(phrases, i) || standsOnDominant(phrases, f, i) && !standsOnDominant(phrases, f, i-1)) && i+1 < expEnd && fits(i+1):
		case closes(i-2, FullClose, leastFull) && f.Ideas[i-1].Count <= leastBars: // the theme may have started with that phrase
			return -1
		case fits(i):
			return i
		case closes(i-1, OpenClose, plainHalf): // here it starts, and is told otherwise
			return -1
		}
	}
	for i := 1; i < expEnd; i++ {
		if bar := f.Ideas[i].Bar; fits(i) && slices.ContainsFunc(f.Returns, func(r Return) bool {
			return homeward(r.Semitones) && (r.FirstBar == bar || r.FirstBar == bar-1)
		}) {
			return i
		}
	}
	return -1
}

// startsTransition reports whether a phrase ends on the dominant of another key right after
// a close in the key of the piece: the second theme may be what comes then.
func startsTransition(phrases []Phrase, i int) bool {
	home, before := phrases[len(phrases)-1].Tonic, phrases[i-1]
	return (before.Close == FullClose || before.Close == OpenClose) && before.Tonic == home && phrases[i].Close == OpenClose && phrases[i].Tonic != home
}

// standsOnDominant reports whether a short phrase ends on the dominant as the one before did.
func standsOnDominant(phrases []Phrase, f *Form, i int) bool {
	return f.Ideas[i].Count <= leastBars && phrases[i].Close == OpenClose && phrases[i-1].Close == OpenClose && phrases[i].Tonic == phrases[i-1].Tonic
}

// departure is the phrase with which the music begins that comes back at home where, from
// bar from on, music in the old key came back before it at the same distance, -1 if there
// is none.
func (f *Form) departure(from int) int {
	for i := 1; i < len(f.Returns); i++ {
		a, b := f.Returns[i-1], f.Returns[i]
		gap, before := b.Bar-a.Bar-a.Count, b.FirstBar-a.FirstBar-a.Count
		if a.Bar < from || !a.inKey() || !homeward(b.Semitones) || gap < 0 || gap > leastSection || abs(gap-before) > 1 {
			continue
		}
		for _, bar := range [...]int{b.FirstBar, b.FirstBar + 1, b.FirstBar - 1} {
			if k := f.phraseAt(bar); k > 0 {
				return k
			}
		}
	}
	return -1
}

// homes are the phrases of the exposition, up to phrase expEnd, as themes that come back at
// home; without certainty those that do not, or start too early for a second theme.
func (p *page) homes(f *Form, expEnd, again int) []Theme {
	out := make([]Theme, expEnd)
	for i := range out {
		if float64(f.Ideas[i].Bar) >= earliest*float64(f.Ideas[expEnd].Bar) {
			out[i], _ = p.pairedHome(f, i, again)
		}
	}
	return out
}

// pairedHome is phrase i of the exposition where its tune comes back at home in the
// recapitulation, the best such place.
func (p *page) pairedHome(f *Form, i, again int) (t Theme, ok bool) {
	x := f.Ideas[i]
	n := min(tuneBars, max(x.Count, leastFrame))
	for bar := f.Ideas[again].Bar + 1; bar+n <= len(p.bars); bar++ {
		steps, semitones, some := shift(p.bars[x.Bar:x.Bar+n], p.bars[bar:bar+n])
		if !some || !homeward(semitones) {
			continue
		}
		if l := p.tune(x.Bar, bar, n, steps); l >= tuneAlike && l > t.Certainty {
			t, ok = Theme{At: x.Start, Again: x.Start + p.bars[bar].span.Start - p.bars[x.Bar].span.Start, Steps: steps, Semitones: semitones, Certainty: l}, true
		}
	}
	return t, ok
}

// tune is how like the melody of n bars from bar j on is to that from bar i on, on average.
func (p *page) tune(i, j, n, steps int) float64 {
	sum := 0.0
	for k := range n {
		sum += max(common(p.bars[i+k].top, p.bars[j+k].top, steps), likeness(&p.bars[i+k], &p.bars[j+k], steps))
	}
	return sum / float64(n)
}

// sonataCoda names what follows the exposition's end in the recapitulation: after its
// repeat sign, or after the bars that answer the exposition's last ones.
func (p *page) sonataCoda(phrases []Phrase, f *Form, expEnd, again int) {
	bar := p.recapitulationEnd(phrases, f, expEnd, again)
	i := f.phraseAt(bar)
	if bar < 0 || i < 0 || len(p.bars)-bar < leastCoda || float64(len(p.bars)-bar) > mostCoda*float64(len(p.bars)) {
		return
	}
	k := f.cut(phrases, i, "the exposition's end has been told again")
	f.endWith(k, phrases)
	f.Sections[k].callCoda(phrases[i-1].Certainty)
}

// repeatBefore reports whether a repeat sign ends a part just before a phrase, or with its upbeat.
func (p *page) repeatBefore(phrases []Phrase, f *Form, i int) bool {
	bar := f.Ideas[i].Bar
	return p.repeatsIn(min(phrases[i].Start, p.bars[max(bar-1, 0)].span.Start), p.bars[bar].span.Start)
}

// recapitulationEnd is the bar after the recapitulation, -1 where it is not plain.
func (p *page) recapitulationEnd(phrases []Phrase, f *Form, expEnd, again int) int {
	const gap = 4 // bars that may be new before the exposition's end
	end, from := f.Ideas[expEnd].Bar, f.Ideas[again].Bar
	for i := again + 1; i < len(phrases); i++ {
		if p.repeatBefore(phrases, f, i) {
			return f.Ideas[i].Bar
		}
	}
	best := -1
	for _, r := range f.Returns {
		if left := end - r.FirstBar - r.Count; homeward(r.Semitones) && r.Bar > from && r.FirstBar < end && left <= gap {
			best = r.Bar + end - r.FirstBar
		}
	}
	return best
}

// recapitulation are the return of the opening and that of the second themes; nil if
// they are not plain.
func (p *page) recapitulation(f *Form) (back, second *Return) {
	for _, takesUp := range [...]func(Return) bool{p.takesUp, p.takesUpBelow} {
		for i := range f.Returns {
			b := &f.Returns[i]
			if !takesUp(*b) || 5*b.Bar < 2*len(p.bars) || b.Certainty < sameIdea {
				continue
			}
			if p.told(f, *b) {
				return nil, nil
			}
			if s := f.homeAfter(i); s != nil {
				return b, s
			}
		}
	}
	return nil, nil
}

// homeAfter is the first return after return i that leads a theme home, about as far behind it
// as at first; nil if there is none.
func (f *Form) homeAfter(i int) *Return {
	b := f.Returns[i]
	for j := i + 1; j < len(f.Returns); j++ {
		s := &f.Returns[j]
		apart, before := s.Bar-b.Bar, s.FirstBar-b.FirstBar
		if homeward(s.Semitones) && s.FirstBar+s.Count <= b.Bar && before > 0 && apart > 0 && s.Likeness >= alike+0.2 &&
			float64(max(apart, before)) <= farOff*float64(min(apart, before))+leastBars {
			return s
		}
	}
	return nil
}

// takesUp reports whether a return takes up the opening in its key.
func (p *page) takesUp(r Return) bool { return r.Opening && r.FirstBar <= p.firstBar()+1 }

// takesUpBelow reports whether a return takes up the opening on the subdominant, note for
// note: some recapitulations start so.
func (p *page) takesUpBelow(r Return) bool {
	return r.FirstBar <= p.firstBar()+1 && r.Count >= leastBars && r.Likeness >= tuneMoved && ((r.Semitones%12)+12)%12 == 5
}

// told reports whether the opening came back after other music before a return of it already: a rondo
// does so, a sonata does not.
func (p *page) told(f *Form, back Return) bool {
	return slices.ContainsFunc(f.Returns, func(r Return) bool {
		return r.Opening && r.Bar < back.Bar && r.Between() >= leastSection && r.Count >= leastSection
	})
}

// homeward reports whether a move of so many semitones brings music from the key of a dominant, or from that
// a third above, to the home key: a fourth up or a fifth down, a third down or a sixth up.
func homeward(semitones int) bool {
	up := ((semitones % 12) + 12) % 12
	return up == 5 || up == 9 || up == 8
}

// expositionEnd is the phrase that starts after the exposition: at the repeat sign, or
// after the close, a full one before others, that is nearest to where the music would be if it went on as the
// recapitulation does to the end; -1 if there is none.
func (p *page) expositionEnd(phrases []Phrase, f *Form, back, second Return) int {
	like := min(len(p.bars)-second.Bar+second.FirstBar, f.toldUpTo(back, second)+leastSection) // a coda may follow
	best, near := -1, 0
	for i := 1; i < len(f.Ideas); i++ {
		bar := f.Ideas[i].Bar
		if bar < second.FirstBar+min(second.Count, leastSection) || bar >= back.Bar {
			continue
		}
		if p.repeatBefore(phrases, f, i) {
			return i
		}
		d := abs(bar - like)
		switch phrases[i-1].Close {
		case FullClose:
		case SoftClose:
			d += leastBars
		default:
			continue
		}
		if best < 0 || d < near {
			best, near = i, d
		}
	}
	return best
}

// toldUpTo is the bar up to which the recapitulation tells the exposition again, at home.
func (f *Form) toldUpTo(back, second Return) int {
	end, bar := second.FirstBar+second.Count, second.Bar
	for _, r := range f.Returns {
		if r.Bar > bar && homeward(r.Semitones) && r.FirstBar >= end && r.FirstBar+r.Count <= back.Bar {
			end, bar = r.FirstBar+r.Count, r.Bar
		}
	}
	return end
}
