package practice

import (
	"fmt"
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/score"
)

// Plan is a way to a hard passage in four steps.
type Plan struct {
	Rests    int     // measures of rest between the steps
	From, To float64 // range of tempi in beats a minute; 0: from half the score's tempo to all of it
	Names    report.Names
}

// Check says, as a [report.ChoiceError], what cannot be practised.
func (p Plan) Check() error {
	switch {
	case p.Rests < 0 || p.Rests > 16:
		return &report.ChoiceError{Text: fmt.Sprintf("%d measures of rest cannot be put between the steps", p.Rests), Hint: "choose 0 to 16"}
	case p.From != 0 && !(p.From >= 10 && p.From <= p.To && p.To <= 400):
		return &report.ChoiceError{Text: fmt.Sprintf("a range of %g to %g beats a minute cannot be practised", p.From, p.To), Hint: "write it as 50-80, between 10 and 400"}
	}
	return nil
}

// longestPractice is how many measures a passage may have.
const longestPractice = 32

// Steps writes the shown measures as steps, in their own metre: the chords in
// twice their length, in their length, struck on every beat, and the figuration
// as written. Each step is repeated, and each says its range of tempi: every one
// begins at the slow end, and every next one goes further up.
func Steps(r *report.Reading, p Plan) (*musicxml.File, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	window := score.Stretch{From: r.From, To: r.To}
	blocks := score.Cut(blocks(r), window)
	if n := len(blocks.Measures); n > longestPractice {
		return nil, &report.ChoiceError{Text: fmt.Sprintf("%d measures are too many to practise in steps", n), Hint: fmt.Sprintf("choose at most %d with --measures", longestPractice)}
	}
	blocks.Fermatas, blocks.Slurs, blocks.Words = nil, nil, nil
	part := practised(r)
	b := newBook(r.Score, part)
	b.p, b.low, b.high = p, p.From, p.To
	if b.low == 0 {
		b.low, b.high = tempoRange(r, blocks.Measures[0])
	}
	b.add("long chords", slower(blocks, 2))
	b.add("chords", blocks)
	b.add("each beat", struck(blocks))
	b.add("as written", b.figuration(score.Cut(r.Score, window), part))
	b.out.Title = titled(r, "practice of "+r.Span(r.From, r.To))
	b.caution(r.Page.Whole, window)
	from := r.From
	return labelled(r, b.out, p.Names, func(at score.Tick) score.Tick { return 2 * (at - from) })
}

// practised is the part to be practised: the one chosen, or the one with most notes there.
func practised(r *report.Reading) int {
	parts := r.ShownParts()
	count := make([]int, len(r.Score.Parts))
	for _, n := range r.Score.Notes {
		if n.Onset >= r.From && n.Onset < r.To {
			count[n.Part]++
		}
	}
	return slices.MaxFunc(parts, func(a, b int) int { return count[a] - count[b] })
}

// tempoRange is half the score's tempo and all of it, in beats a minute.
func tempoRange(r *report.Reading, m score.Measure) (low, high float64) {
	const usual = 80
	quarters := 0.0
	for _, t := range r.Score.Tempos {
		if t.At <= r.From || quarters == 0 {
			quarters = t.PerMin
		}
	}
	long := r.Score.Quarters(m.Beat(r.Score.Division))
	high = usual
	if quarters > 0 {
		high = min(max(math.Round(quarters/long), 20), 400)
	}
	return math.Round(high / 2), high
}

// beatName names the beat of a measure as a note value.
func beatName(m score.Measure) string {
	names := map[int]string{1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second"}
	if m.Compound() {
		return "dotted " + names[m.BeatUnit/2]
	}
	if name := names[m.BeatUnit]; name != "" {
		return name
	}
	return "beat"
}

// book gathers the steps in one score.
type book struct {
	out       *score.Score
	p         Plan
	low, high float64
	step      int
	key       int
}

const practiceSteps = 4

func newBook(s *score.Score, part int) *book {
	p := s.Parts[part]
	return &book{key: 100, out: &score.Score{
		Composer: s.Composer, Division: s.Division,
		Parts: []score.Part{{ID: "P1", Name: p.Name, Staves: max(p.Staves, 2)}},
	}}
}

// add appends a step with its heading, its tempo and its rests.
func (b *book) add(what string, s *score.Score) {
	at, first := b.out.Length(), len(b.out.Measures)
	b.step++
	b.measures(s, at)
	b.music(s, at)
	end := b.out.Length()
	b.out.Repeats = append(b.out.Repeats,
		score.Repeat{At: at, Measure: first, Forward: true}, score.Repeat{At: end, Measure: len(b.out.Measures) - 1})
	name, quarters := beatName(s.Measures[0]), s.Quarters(s.Measures[0].Beat(s.Division))
	top := b.low + (b.high-b.low)*float64(b.step)/practiceSteps
	text := fmt.Sprintf("%d. %s: %s = %.0f–%.0f", b.step, what, name, b.low, top)
	b.out.Words = append(b.out.Words, score.Words{Place: score.Place{At: at, Staff: 1}, Written: at, Text: text})
	b.out.Tempos = append(b.out.Tempos, score.Tempo{At: at, PerMin: b.low * quarters})
	for range b.p.Rests {
		if b.step < practiceSteps {
			b.rest(s.Measures[len(s.Measures)-1])
		}
	}
}

// rest appends an empty measure.
func (b *book) rest(like score.Measure) {
	if like.Nominal > 0 {
		like.Length = like.Nominal
	}
	like.Start, like.Pickup, like.Number = b.out.Length(), false, fmt.Sprint(len(b.out.Measures)+1)
	b.out.Measures = append(b.out.Measures, like)
}

func (b *book) measures(s *score.Score, at score.Tick) {
	for _, m := range s.Measures {
		m.Start += at
		m.Number = fmt.Sprint(len(b.out.Measures) + 1)
		b.out.Measures = append(b.out.Measures, m)
	}
}

// music appends notes and marks at a time.
func (b *book) music(s *score.Score, at score.Tick) {
	o := b.out
	for _, n := range s.Notes {
		n.Onset += at
		n.Measure = o.MeasureAt(n.Onset)
		o.Notes = append(o.Notes, n)
	}
	for _, k := range s.Keys {
		if k.Fifths != b.key || k.NonStandard != "" {
			k.At += at
			b.key, o.Keys = k.Fifths, append(o.Keys, k)
		}
	}
	for _, t := range s.Times {
		t.At += at
		o.Times = append(o.Times, t)
	}
	for _, d := range s.Dynamics {
		d.At, d.Written = d.At+at, d.Written+at
		o.Dynamics = append(o.Dynamics, d)
	}
	for _, w := range s.Words {
		w.At, w.Written = w.At+at, w.Written+at
		o.Words = append(o.Words, w)
	}
	for _, h := range s.Hairpins {
		h.Start, h.End = h.Start+at, h.End+at
		o.Hairpins = append(o.Hairpins, h)
	}
	for _, d := range s.Dashes {
		d.Start, d.End = d.Start+at, d.End+at
		o.Dashes = append(o.Dashes, d)
	}
	for _, l := range s.Slurs {
		l.Start, l.End = l.Start+at, l.End+at
		o.Slurs = append(o.Slurs, l)
	}
}

// caution says on the page that loud passages want rest.
func (b *book) caution(printed page.Curve, w score.Stretch) {
	for _, g := range printed.Segments {
		if g.Start < w.To && g.End > w.From && max(g.From, g.To) >= page.F {
			place := score.Place{Staff: 1}
			b.out.Words = append(b.out.Words, score.Words{Place: place, Text: "loud passage: softly first; rest hands and ears between steps"})
			return
		}
	}
}
