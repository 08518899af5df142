package html

import (
	"html/template"
	"math"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/internal/engrave"
	"hairpin/report"
	"hairpin/score"
)

// pageRow is one beat of the table that says in numbers what the curves draw.
type pageRow struct {
	At, Chord, Numeral, Key             string
	Tension, Dissonance, Distance, Pull int
	Printed, Shaped, Beat               string
	Verdict                             string
}

// pageRows are the shown beats.
func pageRows(r *report.Reading) (out []pageRow) {
	shaped, both := shapedCurve(r)
	spans, v, c, m := r.SpanVerdicts(), 0, 0, 0
	for _, t := range beats(r) {
		for m+1 < len(r.Harmony.Moments) && r.Harmony.Moments[m].End <= t {
			m++
		}
		for c+1 < len(r.Harmony.Chords) && r.Harmony.Chords[c].End <= t {
			c++
		}
		for v+1 < len(spans) && spans[v].End <= t {
			v++
		}
		row := pageRow{At: r.Place(t), Printed: "–", Shaped: "–", Beat: "–"}
		if m < len(r.Harmony.Moments) {
			row.tension(r.Harmony.Contribution(r.Harmony.Moments[m].Tension))
		}
		if c < len(r.Harmony.Chords) && r.Harmony.Chords[c].Start <= t {
			ch := r.Harmony.Chords[c]
			row.Chord, row.Numeral, row.Key = ch.Name(), ch.Roman(), ch.Key.Name()
		}
		if v < len(spans) && spans[v].Start <= t && t < spans[v].End {
			row.Verdict = string(spans[v].Kind)
		}
		if r.Page.Marked {
			row.Printed = report.Shade(r.Page.Whole.At(t))
		}
		if both {
			row.Shaped, row.Beat = report.Shade(shaped.At(t)), report.Shade(r.Shaping.At(t))
		}
		out = append(out, row)
	}
	return out
}

// tension fills in a total and the points that its parts bring.
func (row *pageRow) tension(t tonal.Tension) {
	points := report.WholePoints(t)
	row.Tension, row.Dissonance, row.Distance, row.Pull = int(math.Round(t.Total)), points[0], points[1], points[2]
}

// beats are the shown beats of every measure.
func beats(r *report.Reading) (out []score.Tick) {
	for _, m := range r.Score.Measures {
		for _, t := range m.Every(m.Unit(r.Score.Division)) {
			if r.Shows(t, t+1) {
				out = append(out, t)
			}
		}
	}
	return out
}

// shapedCurve is the proposed level of the whole, as a player can play it.
func shapedCurve(r *report.Reading) (page.Curve, bool) {
	return r.Line, len(r.Line.Segments) > 0
}

// rulerSystems stand in for an engraving: bars of equal width with their numbers, on
// which the curves can be drawn all the same.
func rulerSystems(r *report.Reading, z sizes) (out []engrave.System) {
	const margin = 40.0
	height := 3 * z.text
	for i := 0; i < len(r.Score.Measures); i += z.bars {
		s := engrave.System{Width: z.width, Height: height}
		n := min(z.bars, len(r.Score.Measures)-i)
		x0, bar := margin+4*z.text, (z.width-2*margin-4*z.text)/float64(z.bars)
		var b svg
		b.f(`<svg class="eng-system" viewBox="0 0 %s %s">`, num(z.width), num(height))
		for k := range n {
			m, x := r.Score.Measures[i+k], x0+float64(k)*bar
			b.f(`<path class="hp-barline" d="M%s %sV%s"/><text class="hp-ruler" x="%[1]s" y="%[4]s">%[5]s</text>`,
				num(x), num(z.text), num(height-engraveBlank), num(z.text*0.9), template.HTMLEscapeString(m.Number))
			s.Measures = append(s.Measures, engrave.MeasureBox{
				Index: i + k, X0: x, X1: x + bar, Top: z.text, Bottom: height - engraveBlank,
				Anchors: []engrave.Anchor{{Onset: 0, X: x + bar*0.05}, {Onset: r.Score.Quarters(m.Length), X: x + bar}},
			})
		}
		b.f(`</svg>`)
		s.SVG = b.String()
		out = append(out, s)
	}
	return out
}
