package html

import (
	"fmt"
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/tension"
	"hairpin/report"
	"hairpin/report/take"
	"hairpin/score"
)

// whole is the shown stretch as plain rows, for the strip above the staves. Its
// times are shares of the stretch, 0 to 1; tension is 0 to 100, levels are steps.
type whole struct {
	Tension  []float64 // the mean in each of equal pieces
	Long     []float64 // the long line of tension in the same pieces, nil if there is none
	Printed  []float64 // at the same places; nil if the page prints none
	Proposed []float64 // nil if nothing is proposed
	Keys     []stretch
	Phrases  []stretch
	Verdicts []stretch
	Places   []spot
	Bars     []bar
	Takes    []takeLine

	share func(score.Tick) float64 // of the stretch, at a time
}

// stretch is a named piece of the whole.
type stretch struct {
	from, to   float64
	name, note string
	kind       verdict.Kind
	bar        int // index of the measure it begins in
}

// spot is a place that matters.
type spot struct {
	at   float64
	name string // "1" for a suggestion, "▲" for the most tense moment
	note string
	bar  int
}

// bar is a bar line and the printed number of the measure after it.
type bar struct {
	at     float64
	number string
}

// pieces is how many columns the whole is drawn in: enough for the course of a
// movement, few enough to stay a line and no fur.
const pieces = 200

// newWhole gathers the rows.
func newWhole(r *report.Reading, takes []take.Take) *whole {
	w := &whole{Takes: takeLines(r, takes)}
	share := func(t score.Tick) float64 {
		return min(max(float64(t-r.From)/float64(max(r.To-r.From, 1)), 0), 1)
	}
	w.share = share
	w.Tension = meanTension(r, share, func(m tension.Moment) float64 { return m.Tension.Total })
	w.Long = meanTension(r, share, func(m tension.Moment) float64 { return m.LongLine.Total })
	if r.Page.Marked {
		w.Printed = sampled(r.Page.Whole, r)
	}
	if c, ok := shapedCurve(r); ok {
		w.Proposed = sampled(c, r)
	}
	w.Keys, w.Phrases, w.Verdicts = keysOf(r, share), phrasesOf(r, share), verdictsOf(r, share)
	w.Places = append(triesOf(r, share), summitOf(r, share)...)
	for _, m := range r.Score.Measures {
		if r.Shows(m.Start, m.End()) {
			w.Bars = append(w.Bars, bar{share(m.Start), m.Number})
		}
	}
	return w
}

// meanTension is the mean of a tension in each piece.
func meanTension(r *report.Reading, share func(score.Tick) float64, of func(tension.Moment) float64) []float64 {
	out := make([]float64, pieces)
	for _, m := range r.Harmony.Moments {
		from, to := share(m.Start)*pieces, share(m.End)*pieces
		for i := int(from); i < pieces && float64(i) < to; i++ {
			out[i] += of(m) * (min(to, float64(i+1)) - max(from, float64(i)))
		}
	}
	return out
}

// sampled is a level in the middle of each piece.
func sampled(c page.Curve, r *report.Reading) []float64 {
	out := make([]float64, pieces)
	for i := range out {
		out[i] = c.At(r.From + score.Tick((float64(i)+0.5)/pieces*float64(r.To-r.From)))
	}
	return out
}

// measureOf is the index of the measure that a moment lies in.
func measureOf(s *score.Score, t score.Tick) int {
	i, found := slices.BinarySearchFunc(s.Measures, t, func(m score.Measure, t score.Tick) int { return int(m.Start - t) })
	if !found {
		i--
	}
	return min(max(i, 0), len(s.Measures)-1)
}

// keysOf are the local keys, one after another, each from where it is entered.
func keysOf(r *report.Reading, share func(score.Tick) float64) (out []stretch) {
	for _, k := range r.KeySpans() {
		out = append(out, stretch{from: share(k.Start), to: share(k.End), name: report.English.ShortKey(k.Key),
			note: report.English.Key(k.Key) + " from " + r.At(k.Start), bar: measureOf(r.Score, k.Start)})
	}
	return out
}

func phrasesOf(r *report.Reading, share func(score.Tick) float64) (out []stretch) {
	for i, p := range r.Phrases() {
		first := measureOf(r.Score, p.Start)
		out = append(out, stretch{from: share(p.Start), to: share(p.End), name: r.PhraseBars(p.Start, p.End).First,
			note: fmt.Sprintf("Phrase %d, %s", i+1, r.PhraseBars(p.Start, p.End).Named()), bar: first})
	}
	return out
}

func verdictsOf(r *report.Reading, share func(score.Tick) float64) (out []stretch) {
	for _, v := range r.SpanVerdicts() {
		if v.Kind != verdict.Calm && r.Shows(v.Start, v.End) {
			out = append(out, stretch{from: share(v.Start), to: share(v.End), kind: v.Kind,
				note: r.Span(v.Start, v.End) + ": " + string(v.Kind), bar: measureOf(r.Score, v.Start)})
		}
	}
	return out
}

// triesOf are the suggestions.
func triesOf(r *report.Reading, share func(score.Tick) float64) (out []spot) {
	for i, s := range r.Suggestions() {
		t := tickAt(r, float64(s.Onset))
		out = append(out, spot{share(t), fmt.Sprint(i + 1), fmt.Sprintf("To try, %d: %s", i+1, signed(s.Text)), measureOf(r.Score, t)})
	}
	return out
}

// summitOf is the most tense moment, as the words name it.
func summitOf(r *report.Reading, share func(score.Tick) float64) []spot {
	at, ok := r.Tensest()
	if !ok {
		return nil
	}
	return []spot{{share(at), "▲", report.Capital(r.TensestWords(at)), measureOf(r.Score, at)}}
}

// tickAt is the moment so many quarter notes after the start.
func tickAt(r *report.Reading, quarters float64) score.Tick {
	return score.Tick(math.Round(quarters * float64(r.Score.Division)))
}
