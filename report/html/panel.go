package html

import (
	"fmt"
	"html"
	"html/template"
	"sort"
	"strings"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/internal/engrave"
	"hairpin/report"
	"hairpin/score"
)

// sizes are the lengths of a layout in units of its systems.
type sizes struct {
	width  float64 // of a system
	class  string
	text   float64 // size of labels
	gap    float64 // between rows
	band   float64 // height of the curves
	stroke float64 // width of the level lines
	bars   int     // in a line of the ruler
	anchor string  // what the names of its measures begin with
}

// The layouts. Labels are readable at arm's length: about 3 mm on paper 186 mm
// wide, 14 px on a telephone 366 px wide.
var (
	wide   = sizes{width: 2000, class: "hp-w", text: 30, gap: 8, band: 250, stroke: 5, bars: 6, anchor: "m"}
	narrow = sizes{width: 1100, class: "hp-n", text: 40, gap: 10, band: 300, stroke: 7, bars: 3, anchor: "n"}
)

// panel is one system with what is drawn under it.
type panel struct {
	svg
	r           *report.Reading
	z           sizes
	s           engrave.System
	first, last int // measures
	from, to    score.Tick
	at          []moment // from left to right
	y           float64  // where the next row begins
	*content
}

// content is what all systems draw a part of.
type content struct {
	takes    []takeLine
	spans    []verdict.Verdict
	badges   map[score.Tick]string
	shaped   page.Curve
	proposes bool    // there is a proposal
	lo, hi   float64 // of the level's scale
}

func contentOf(r *report.Reading, takes []takeLine) *content {
	c := &content{takes: takes, spans: r.SpanVerdicts(), badges: badges(r)}
	c.shaped, c.proposes = shapedCurve(r)
	c.lo, c.hi = levelRange(r.Page.Whole, c.shaped, takes)
	return c
}

// over are the members of a list, in order of time and not over one another, that
// lie in a stretch or reach into it.
func over[T any](list []T, from, to score.Tick, span func(*T) (start, end score.Tick)) []T {
	first := sort.Search(len(list), func(i int) bool { _, end := span(&list[i]); return end > from })
	rest := list[first:]
	return rest[:sort.Search(len(rest), func(i int) bool { start, _ := span(&rest[i]); return start >= to })]
}

func (p *panel) spansHere() []verdict.Verdict {
	return over(p.spans, p.from, p.to, func(v *verdict.Verdict) (_, _ score.Tick) { return v.Start, v.End })
}

// moment ties a tick to a place.
type moment struct {
	t score.Tick
	x float64
}

// newPanel is nil for a system outside the stretch that is shown.
func newPanel(r *report.Reading, c *content, s engrave.System, z sizes) *panel {
	p := &panel{r: r, content: c, z: z, s: s}
	var boxes []engrave.MeasureBox
	for _, m := range s.Measures {
		if m.Index < len(r.Score.Measures) {
			boxes = append(boxes, m)
		}
	}
	if len(boxes) == 0 {
		return nil
	}
	p.s.Measures = boxes
	p.first, p.last = boxes[0].Index, boxes[len(boxes)-1].Index
	p.from, p.to = r.Score.Measures[p.first].Start, r.Score.Measures[p.last].End()
	if !r.Shows(p.from, p.to) {
		return nil
	}
	p.at = moments(r.Score, boxes)
	return p
}

// moments joins the anchors of measures: from the last note of one measure time
// runs on to the first of the next, past the bar line.
func moments(s *score.Score, boxes []engrave.MeasureBox) (out []moment) {
	for i, b := range boxes {
		m := s.Measures[b.Index]
		for _, a := range b.Anchors {
			t := m.Start + score.Tick(a.Onset*float64(s.Division)+0.5)
			if t >= m.End() && i+1 < len(boxes) {
				continue
			}
			if k := len(out); k == 0 || t > out[k-1].t && a.X > out[k-1].x {
				out = append(out, moment{t, a.X})
			}
		}
	}
	return out
}

// x is where a moment stands; outside the system it is its nearer end.
func (p *panel) x(t score.Tick) float64 { return between(p.at, t) }

func between(at []moment, t score.Tick) float64 {
	i := sort.Search(len(at), func(i int) bool { return at[i].t > t })
	switch {
	case len(at) == 0:
		return 0
	case i == 0:
		return at[0].x
	case i == len(at):
		return at[i-1].x
	}
	a, b := at[i-1], at[i]
	return a.x + (b.x-a.x)*float64(t-a.t)/float64(b.t-a.t)
}

// left and right are where the music of the system begins and ends.
func (p *panel) left() float64  { return p.at[0].x }
func (p *panel) right() float64 { return p.s.Measures[len(p.s.Measures)-1].X1 }

func (p *panel) label() string {
	a, b := p.r.Score.Measures[p.first].Number, p.r.Score.Measures[p.last].Number
	if a == b {
		return "Measure " + a
	}
	return "Measures " + a + " to " + b
}

// draw is the system and, on the same x, numerals, verdicts, curves and phrases.
func (p *panel) draw() SystemPart {
	p.y = p.s.Height - engraveBlank
	staff := strings.Replace(p.s.SVG, `class="eng-system"`,
		fmt.Sprintf(`class="eng-system" width="%s" height="%s"`, num(p.s.Width), num(p.s.Height)), 1)
	p.f("%s", staff)
	p.numerals()
	p.ribbons()
	p.curves()
	p.takeTempi()
	p.takeVerdicts()
	p.phraseRow()
	p.barTargets()
	height := p.y + p.z.gap
	picture := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" class="hp-system %s" viewBox="0 0 %s %s" role="img" aria-label="%s">%s</svg>`,
		p.z.class, num(p.s.Width), num(height), html.EscapeString(p.summary()), p.String())
	return SystemPart{template.HTML(picture), height / p.s.Width, p.live(height)}
}

// engraveBlank is the empty margin below an engraved system.
const engraveBlank = 10

// summary is the system in a sentence, for who cannot see it.
func (p *panel) summary() string {
	var said []string
	for _, v := range p.spansHere() {
		if v.Start < p.to && v.End > p.from {
			said = append(said, fmt.Sprintf("%s: the harmony %s, %s", p.r.Span(max(v.Start, p.from), min(v.End, p.to)), report.HarmonyDoes(v.Harmony), v.Kind))
		}
	}
	return p.label() + ". " + strings.Join(said, "; ") + ". The table of beats below has the numbers."
}

// barTargets are transparent areas over each measure: links lead to them, and
// the page's script listens to them.
func (p *panel) barTargets() {
	for i, m := range p.s.Measures {
		x0, x1 := m.X0, m.X1
		if i == 0 {
			x0 = min(x0, p.left()-p.z.text)
		}
		p.f(`<rect class="hp-bar" id="%s%d" data-measure="%d" x="%s" y="0" width="%s" height="%s"></rect>`,
			p.z.anchor, m.Index+1, m.Index, num(x0), num(x1-x0), num(p.y))
	}
}

// num is a coordinate to a tenth of a unit.
func num(f float64) string {
	s := fmt.Sprintf("%.1f", f)
	return strings.TrimSuffix(s, ".0")
}
