package form

import (
	"fmt"
	"strings"
)

// Choices of ours.
const (
	mostIdeas  = 64   // that a phrase is compared with, the first ones
	sameIdea   = 0.6  // from here on two phrases are the same music
	sameStart  = 0.7  // of their first halves, from here on they start alike
	alikeCount = 0.67 // how much shorter one of two phrases that belong together may be
)

// ideas gives every phrase its letter.
func (p *page) ideas(phrases []Phrase) []Idea {
	out := make([]Idea, len(phrases))
	var models []int // the first phrase of each letter
	for i, ph := range phrases {
		out[i] = p.idea(phrases, i)
		best, of := Idea{}, -1
		for _, m := range models {
			if best.Likeness >= 1 {
				break // nothing can be more like it
			}
			if x := p.compare(out[m], out[i]); x.Likeness > best.Likeness {
				best, of = x, m
			}
		}
		if of >= 0 && best.Likeness >= sameIdea {
			best.Letter, best.Of, best.Prime = out[of].Letter, of, best.Kind != Exact
			best.Why = recalls(best)
			out[i] = best
			continue
		}
		out[i].Letter, out[i].Of, out[i].Certainty = letter(len(models), 'a'), -1, ph.Certainty
		out[i].Why = "new music"
		if len(models) < mostIdeas {
			models = append(models, i)
		}
	}
	return out
}

func (p *page) idea(phrases []Phrase, i int) Idea {
	x := Idea{Span: phrases[i].Span, Bar: p.opening(phrases[i].Start)}
	end := len(p.bars)
	if i+1 < len(phrases) {
		end = p.opening(phrases[i+1].Start)
	}
	x.Count = max(end-x.Bar, 0)
	return x
}

// compare reads a phrase as a return of an earlier one.
func (p *page) compare(model, x Idea) Idea {
	n := min(model.Count, x.Count)
	steps, semitones, ok := shift(p.bars[model.Bar:model.Bar+n], p.bars[x.Bar:x.Bar+n])
	if !ok || !p.mayBeSame(model, x, steps) {
		return x
	}
	x.Likeness = p.alike(model.Bar, x.Bar, n, steps) * float64(n) / float64(max(model.Count, x.Count))
	if n >= leastTheme && x.Likeness < sameIdea { // one goes on longer than the other, or otherwise
		x.Likeness = max(x.Likeness, sameIdea*p.alike(model.Bar, x.Bar, min(n, leastBars), steps)/themeAlike)
	}
	x.Kind, x.Semitones = kindOf(x.Likeness, steps, semitones), semitones
	x.Certainty = x.Likeness
	return x
}

// mayBeSame reports whether two phrases are the same music if all their notes below the
// melody are: mostly they are not, and the melody is soon compared.
func (p *page) mayBeSame(model, x Idea, steps int) bool {
	n := min(model.Count, x.Count)
	melody := func(n int) float64 {
		sum := 0.0
		for k := range n {
			sum += (common(p.bars[model.Bar+k].top, p.bars[x.Bar+k].top, steps) + 1) / 2
		}
		return sum / float64(max(n, 1))
	}
	whole := melody(n) * float64(n) / float64(max(model.Count, x.Count))
	return whole >= sameIdea || n >= leastTheme && sameIdea*melody(min(n, leastBars))/themeAlike >= sameIdea
}

// alike is the mean likeness of n bars from bar j on to those from bar i on.
func (p *page) alike(i, j, n, steps int) float64 {
	sum := 0.0
	for k := range n {
		sum += likeness(&p.bars[i+k], &p.bars[j+k], steps)
	}
	return sum / float64(max(n, 1))
}

func recalls(x Idea) string {
	s := fmt.Sprintf("%.0f %% of phrase %d", 100*x.Likeness, x.Of+1)
	if x.Semitones != 0 {
		s += fmt.Sprintf(", %d semitones away", x.Semitones)
	}
	return s
}

// letter is "a", "b" … "z", "a2" …, from the given first letter.
func letter(n int, first byte) string {
	s := string(rune(first) + rune(n%26))
	if n >= 26 {
		s += fmt.Sprint(n/26 + 1)
	}
	return s
}

// units joins phrases in pairs: antecedent and consequent, statement and
// repetition. What is left is a unit of its own, a sentence where it is one.
func (p *page) units(phrases []Phrase, ideas []Idea) []Unit {
	var out []Unit
	for i := 0; i < len(phrases); i++ {
		u := Unit{Span: phrases[i].Span, First: i, Last: i, Bars: ideas[i].Count, Certainty: phrases[i].Certainty, Why: "one phrase"}
		if first, second, sure := p.pair(phrases, ideas, i); second != Single {
			ideas[i].Role, ideas[i+1].Role = first, second
			u.Last, u.End, u.Certainty = i+1, phrases[i+1].End, sure
			u.Bars += ideas[i+1].Count
			u.Why = pairing(second)
			i++
		} else if repeat, sure := p.sentence(ideas[i]); repeat > 0 {
			ideas[i].Role = Sentence
			u.Certainty = sure
			u.Why = fmt.Sprintf("an idea of %d bars, the idea again, a continuation", repeat)
		}
		out = append(out, u)
	}
	return out
}

func pairing(second Role) string {
	if second == Consequent {
		return "two phrases start alike, the second closes more firmly"
	}
	return "a phrase and the same again"
}

// pair says how phrase i and the next belong together, Single if they do not, or if
// the next belongs better to the one after it.
func (p *page) pair(phrases []Phrase, ideas []Idea, i int) (first, second Role, certainty float64) {
	if i+1 >= len(phrases) {
		return Single, Single, 0
	}
	a, b := ideas[i], ideas[i+1]
	n := min(a.Count, b.Count)
	if n == 0 || float64(n) < alikeCount*float64(max(a.Count, b.Count)) {
		return Single, Single, 0
	}
	half := (n + 1) / 2
	start := p.alike(a.Bar, b.Bar, half, 0)
	firmer := phrases[i+1].Close > phrases[i].Close && phrases[i+1].Close >= SoftClose
	switch {
	case start >= sameStart && firmer:
		return Antecedent, Consequent, start * (1 + phrases[i+1].Certainty) / 2
	case p.alike(a.Bar, b.Bar, n, 0) >= sameStart:
		return Statement, Repetition, start
	}
	return Single, Single, 0
}

// sentence is the length of the idea that a phrase repeats at once, at its start,
// and how sure that is; 0 if it repeats none. The repetition may stand on another
// degree; what follows is as long as the two together, or up to twice as long.
func (p *page) sentence(x Idea) (bars int, certainty float64) {
	for n := x.Count / 4; n >= 1 && 6*n >= x.Count; n-- {
		steps, _, ok := shift(p.bars[x.Bar:x.Bar+n], p.bars[x.Bar+n:x.Bar+2*n])
		if !ok {
			continue
		}
		if l := p.alike(x.Bar, x.Bar+n, n, steps); l >= sameIdea && !p.goesOn(x, n) {
			return n, l
		}
	}
	return 0, 0
}

// goesOn reports whether the idea of n bars comes a third time: a pattern, no sentence.
func (p *page) goesOn(x Idea, n int) bool {
	third := x.Bar + 2*n
	steps, _, ok := shift(p.bars[x.Bar:x.Bar+n], p.bars[third:third+n])
	return ok && p.alike(x.Bar, third, n, steps) >= sameIdea
}

// prime writes a letter with its mark.
func prime(letter string, changed bool) string {
	return letter + strings.Repeat("'", btoi(changed))
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
