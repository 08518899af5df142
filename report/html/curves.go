package html

import (
	"fmt"
	"math"

	"hairpin/dynamics/page"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// scale carries values to heights of the band.
type scale struct{ lo, hi, top, height float64 }

func (s scale) y(v float64) float64 {
	return s.top + s.height*(1-(min(max(v, s.lo), s.hi)-s.lo)/(s.hi-s.lo))
}

// levelRange is what the level scale must hold, with half a step to spare: as
// little as possible, so that a fraction of a step is seen.
func levelRange(printed, shaped page.Curve, takes []takeLine) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range [...]page.Curve{printed, shaped} {
		for _, g := range c.Segments {
			lo, hi = min(lo, g.From, g.To), max(hi, g.From, g.To)
		}
	}
	if lo, hi = takeRange(takes, lo, hi); lo > hi {
		lo, hi = page.MP, page.MF
	}
	lo, hi = max(lo-0.4, page.PPP-0.6), hi+0.4 // silence lies on the floor of the band
	if need := 2.0; hi-lo < need {
		lo, hi = (lo+hi-need)/2, (lo+hi+need)/2
	}
	return lo, hi
}

// curves draws tension and levels over one another.
func (p *panel) curves() {
	top := p.y + p.z.gap
	tension := scale{0, 100, top, p.z.band}
	level := scale{p.lo, p.hi, top, p.z.band}
	p.grid(tension, level)
	p.tension(tension)
	label, busy := p.summit(tension)
	p.levels(level, busy)
	p.f("%s", label)
	p.y = top + p.z.band
}

// grid draws the frame: the scale of marks with a line each, and that of tension.
func (p *panel) grid(tension, level scale) {
	x0, x1 := p.left(), p.right()
	p.f(`<g class="hp-grid">`)
	for v := math.Ceil(level.lo); v <= level.hi; v++ {
		y := level.y(v)
		p.f(`<path d="M%s %sH%s"/>`, num(x0-p.z.text/2), num(y), num(x1))
		crowded := level.height/(level.hi-level.lo) < p.z.text*0.9
		if p.r.Page.Marked && !(crowded && int(v)%2 == 0) { // then only ppp, p, mf, ff
			p.f(`<text class="hp-mark" x="%s" y="%s" text-anchor="end">%s</text>`, num(x0-p.z.text*0.8), num(y+p.z.text/3), page.Mark(v))
		}
	}
	for _, m := range p.s.Measures {
		p.f(`<path class="hp-barline" d="M%s %sV%s"/>`, num(m.X1), num(tension.top), num(tension.top+tension.height))
	}
	p.f(`</g>`)
}

// part is one share of the tension, drawn on top of those before it.
type tensionPart struct {
	class string
	upTo  func(t tonal.Tension) float64 // the shares up to this one, of the total
}

// tension draws the total as an area in three shades: distance lowest and
// lightest, then pull, then dissonance.
func (p *panel) tension(s scale) {
	share := p.r.Harmony.Contribution
	parts := []tensionPart{
		{"hp-dissonance", func(t tonal.Tension) float64 { return t.Total }},
		{"hp-pull", func(t tonal.Tension) float64 { c := share(t); return c.Distance + c.Pull }},
		{"hp-distance", func(t tonal.Tension) float64 { return share(t).Distance }},
	}
	for _, part := range parts {
		p.f(`<path class="hp-area %s" d="%s"/>`, part.class, p.area(s, part.upTo))
	}
}

// summit writes the number of the system's most tense moment where it stands:
// name and scale of the area in one. It also says where that label begins and ends.
func (p *panel) summit(s scale) (label string, busy [2]float64) {
	top, at := -1.0, 0.0
	p.eachMoment(func(x0, x1 float64, t tonal.Tension) {
		if t.Total > top {
			top, at = t.Total, x0
		}
	})
	text := fmt.Sprintf("tension %.0f", top)
	at = min(at, p.right()-p.z.text*0.62*float64(len(text)))
	y := max(s.y(top)-p.z.text*0.25, s.top+p.z.text*0.8)
	label = fmt.Sprintf(`<text class="hp-line-label hp-total-label" x="%s" y="%s">%s</text>`, num(at), num(y), text)
	return label, [2]float64{at, at + p.z.text*0.62*float64(len(text))}
}

// area is a stepped curve closed along the bottom of the band.
func (p *panel) area(s scale, value func(tonal.Tension) float64) string {
	var b svg
	bottom := s.y(0)
	x, y := p.x(p.from), bottom
	b.f("M%s %.0f", num(x), y)
	p.eachMoment(func(x0, x1 float64, t tonal.Tension) {
		if num(x0) != num(x) {
			b.f("H%s", num(x0))
		}
		if to := s.y(value(t)); math.Round(to) != math.Round(y) {
			b.f("H%sV%.0f", num(x0), to)
			y = to
		}
		x = x1
	})
	b.f("H%sV%.0fZ", num(x), bottom)
	return b.String()
}

// eachMoment goes over the tension within the system; what is the same is joined.
func (p *panel) eachMoment(do func(x0, x1 float64, t tonal.Tension)) {
	type piece struct {
		from, to score.Tick
		t        tonal.Tension
	}
	var last piece
	flush := func() {
		if last.to > last.from {
			do(p.x(last.from), p.end(last.to), last.t)
		}
	}
	for _, m := range over(p.r.Harmony.Moments, p.from, p.to, func(m *tension.Moment) (_, _ score.Tick) { return m.Start, m.End }) {
		if m.End <= p.from || m.Start >= p.to || m.End <= m.Start {
			continue
		}
		from, to := max(m.Start, p.from), min(m.End, p.to)
		if from == last.to && m.Tension == last.t {
			last.to = to
			continue
		}
		flush()
		last = piece{from, to, m.Tension}
	}
	flush()
}

// end is where a stretch that ends at t stops: the system's bar line at its end.
func (p *panel) end(t score.Tick) float64 {
	if t >= p.to {
		return p.right()
	}
	return p.x(t)
}

// How far the drawn lines may lie beside the levels, in steps: the proposal by
// less than its own doubt (our choice), the page by nothing that is seen.
const (
	exact       = 0.01
	untrembling = 0.15
)

// levels draws the printed level as a solid line, the proposal as a broken one, and
// what was played over both.
func (p *panel) levels(s scale, busy [2]float64) {
	if p.r.Page.Marked {
		p.line("printed", p.levelPath(s, p.r.Page.Whole, exact))
	}
	if p.proposes {
		p.line("shaped", p.levelPath(s, p.shaped, untrembling))
	}
	p.takesOver(s)
	p.lineLabels(s, p.shaped, p.proposes, busy)
}

// line draws a level over a blank margin of its own, so that it stands out.
func (p *panel) line(name, d string) {
	id := fmt.Sprintf("hp-%s-%s-%d", p.z.class, name, p.first)
	p.f(`<g class="hp-halo"><path id="%s" d="%s"/></g><use href="#%[1]s" class="hp-%[3]s"/>`, id, d, name)
}

// levelPath is a level curve within the system, without turns smaller than a
// tolerance in steps: what no ear tells from a straight line only trembles.
func (p *panel) levelPath(s scale, c page.Curve, tolerance float64) string {
	var line []point
	for _, g := range over(c.Segments, p.from, p.to, func(g *page.Segment) (_, _ score.Tick) { return g.Start, g.End }) {
		if g.End <= p.from || g.Start >= p.to || g.End <= g.Start {
			continue
		}
		from, to := max(g.Start, p.from), min(g.End, p.to)
		for _, t := range p.bends(from, to) {
			slope := (g.To - g.From) / float64(g.End-g.Start)
			x := p.x(t)
			if t == p.to {
				x = p.right()
			}
			line = append(line, point{x, s.y(g.From + slope*float64(t-g.Start))})
		}
	}
	var b svg
	for i, at := range thinned(line, tolerance*s.height/(s.hi-s.lo)) {
		b.f("%c%s %s", "ML"[min(i, 1)], num(at.x), num(at.y))
	}
	return b.String()
}

// bends are the moments at which a line that is straight in time may bend on
// the page: its ends, and every place where the notes' spacing changes.
func (p *panel) bends(from, to score.Tick) []score.Tick {
	out := []score.Tick{from}
	for _, m := range p.at {
		if m.t > from && m.t < to {
			out = append(out, m.t)
		}
	}
	return append(out, to)
}

// lineLabels names the lines where they lie farthest apart and no other label stands.
func (p *panel) lineLabels(s scale, shaped page.Curve, both bool, busy [2]float64) {
	best, gap := p.from, -1.0
	room := 5 * p.z.text
	for _, m := range p.at {
		if m.x > p.right()-room {
			break
		}
		if m.x < busy[1] && m.x+room > busy[0] {
			continue
		}
		if !both {
			best = m.t
			break
		}
		if d := math.Abs(shaped.At(m.t) - p.r.Page.Whole.At(m.t)); d > gap+0.02 {
			best, gap = m.t, d
		}
	}
	x, a := p.x(best), p.r.Page.Whole.At(best)
	b := a - 1
	if both {
		b = shaped.At(best)
	}
	if p.r.Page.Marked {
		name := "printed"
		if p.r.Page.Whole.Unstated(best) {
			name = "no mark yet"
		}
		p.lineLabel("hp-printed-label", name, x, s.y(a), a >= b, s)
	}
	if both {
		p.lineLabel("hp-shaped-label", "proposed", x, s.y(b), a < b, s)
	}
}

// lineLabel writes a name above or below a line, inside the band.
func (p *panel) lineLabel(class, text string, x, y float64, above bool, s scale) {
	if above {
		y -= p.z.text * 0.4
	} else {
		y += p.z.text * 1.05
	}
	y = min(max(y, s.top+p.z.text), s.top+s.height-p.z.text*0.3)
	p.f(`<text class="hp-line-label %s" x="%s" y="%s">%s</text>`, class, num(x+p.z.text*0.2), num(y), text)
}
