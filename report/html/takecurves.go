package html

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"hairpin/report/take"
	"hairpin/score"
)

// takesOver draws the takes' loudness over the curves of the band.
func (p *panel) takesOver(s scale) {
	for _, l := range p.takes {
		p.takeLine(l, func(b takeBeat) (float64, bool) { return s.y(b.level), b.loud })
	}
}

// takeTempi draws how fast the takes go in a small band of its own.
func (p *panel) takeTempi() {
	lo, hi, ok := tempoRange(p.takes)
	if !ok {
		return
	}
	s := scale{math.Log(lo), math.Log(hi), p.y + p.z.text*1.3, p.z.band * 0.36}
	p.f(`<g class="hp-grid">`)
	for _, v := range [...]float64{lo, hi} {
		y := s.y(math.Log(v))
		p.f(`<path d="M%s %sH%s"/><text x="%s" y="%s" text-anchor="end">%.0f</text>`,
			num(p.left()-p.z.text/2), num(y), num(p.right()), num(p.left()-p.z.text*0.8), num(y+p.z.text/3), v)
	}
	p.f(`</g>`)
	for _, l := range p.takes {
		p.takeLine(l, func(b takeBeat) (float64, bool) { return s.y(math.Log(max(b.tempo, 1))), b.tempo > 0 })
	}
	p.f(`<text class="hp-line-label" x="%s" y="%s">tempo, beats a minute</text>`, num(p.left()), num(s.top-p.z.text*0.3))
	p.y = s.top + s.height + p.z.text*0.4
}

// takeLine draws one take: its dash, its marker on every beat, its number where a
// stretch begins. Between stretches there is a gap.
func (p *panel) takeLine(l takeLine, height func(takeBeat) (y float64, ok bool)) {
	var path, marks, names svg
	for _, run := range l.runs {
		pen, first := false, true
		for _, b := range run {
			y, ok := height(b)
			if ok = ok && b.at >= p.from && b.at < p.to; !ok {
				pen = false
				continue
			}
			x := p.x(b.at)
			path.f("%s%s %s", map[bool]string{true: "L", false: "M"}[pen], num(x), num(y))
			marks.f("%s", takeMark(l.n, x, y, p.z.text*0.22))
			if first {
				off := -0.35 * p.z.text // every other below, for takes that begin alike
				if l.n%2 == 0 {
					off = 1.05 * p.z.text
				}
				names.f(`<text class="hp-line-label" x="%s" y="%s" text-anchor="middle">%d</text>`, num(x), num(y+off), l.n)
			}
			pen, first = true, false
		}
	}
	if path.Len() > 0 {
		p.f(`<g class="hp-take hp-take-%d"><path class="hp-take-halo" d="%s"/><path class="hp-take-line" d="%[2]s"/><path class="hp-take-mark" d="%[3]s"/>%[4]s</g>`, l.n, path.String(), marks.String(), names.String())
	}
}

// takeMark is the marker of a take as a path: round, square, triangle, cross.
func takeMark(n int, x, y, r float64) string {
	switch n {
	case 1:
		return fmt.Sprintf("M%s %sa%s %[3]s 0 1 0 %[4]s 0a%[3]s %[3]s 0 1 0 -%[4]s 0Z", num(x-r), num(y), num(r), num(2*r))
	case 2:
		return fmt.Sprintf("M%s %sh%s v%[3]sh-%[3]sZ", num(x-r), num(y-r), num(2*r))
	case 3:
		return fmt.Sprintf("M%s %sl%s %sh-%sZ", num(x), num(y-1.2*r), num(1.2*r), num(2*r), num(2.4*r))
	}
	return fmt.Sprintf("M%s %sl%s %[3]sm0 -%[3]sl-%[3]s %[3]s", num(x-r), num(y-r), num(2*r))
}

// said is a verdict on a take within a system.
type said struct {
	from, to score.Tick
	texts    []string // from the longest; the last is the shortest
	sign     string   // of the verdict: how its line is drawn
}

// takeVerdicts writes under the curves what became of the page and the harmony, two
// rows a take, those with nothing to say left out.
func (p *panel) takeVerdicts() {
	for _, l := range p.takes {
		p.verdictRow(l, p.onPage(l))
		p.verdictRow(l, p.onHarmony(l))
	}
}

// onPage is what became of hairpins and levels, the last time they were played.
func (p *panel) onPage(l takeLine) (out []said) {
	for _, h := range l.Hairpins {
		out = p.say(out, l, h.Judged, "")
	}
	for _, v := range l.Levels {
		out = p.say(out, l, v.Judged, "")
	}
	return ordered(out)
}

// onHarmony is what went with the harmony or against it.
func (p *panel) onHarmony(l takeLine) (out []said) {
	for _, m := range l.Moves {
		if m.Verdict != "flat" {
			out = p.say(out, l, m.Judged, " the harmony")
		}
	}
	return ordered(out)
}

// decibels is a change with its sign, +0 for none.
func decibels(x float64) string {
	return strings.Replace(fmt.Sprintf("%+.0f dB", math.Round(x)+0), "-", "−", 1)
}

// say adds a verdict if it stands in the system; of, if not empty, is what it is on.
func (p *panel) say(list []said, l takeLine, j take.Judged, of string) []said {
	s := said{from: tickWithin(p.r, float64(j.Onset)), to: tickWithin(p.r, float64(j.End)), sign: verdictSign(j.Verdict)}
	if s.to <= p.from || s.from >= p.to {
		return list
	}
	word, asks := strings.CutSuffix(l.Word(j), "?")
	mark := map[bool]string{true: "?"}[asks]
	s.texts = []string{word + of + mark + " " + decibels(float64(j.Change)), word + of + mark, word + mark}
	return append(list, s)
}

// verdictSign is the class that a verdict's line is drawn in.
func verdictSign(verdict string) string {
	switch verdict {
	case "contrary", "against", "flat":
		return verdict
	}
	return "followed"
}

// ordered sorts by place; of several at one place the last played stays.
func ordered(list []said) (out []said) {
	slices.SortStableFunc(list, func(a, b said) int { return int(a.from - b.from) })
	for _, s := range list {
		if k := len(out); k > 0 && (s.from == out[k-1].from || s.from < out[k-1].to) {
			if s.from == out[k-1].from && s.to == out[k-1].to {
				out[k-1] = s
			}
			continue
		}
		out = append(out, s)
	}
	return out
}

func (p *panel) verdictRow(l takeLine, list []said) {
	if len(list) == 0 {
		return
	}
	top, h := p.y+p.z.gap, p.z.text*1.25
	p.f(`<g class="hp-said"><g class="hp-take hp-take-%d"><path class="hp-take-mark" d="%s"/></g><text x="%s" y="%s" text-anchor="end">%[1]d</text>`,
		l.n, takeMark(l.n, p.left()-p.z.text*0.7, top+h*0.5, p.z.text*0.22), num(p.left()-p.z.text*1.1), num(top+p.z.text*0.95))
	for i, s := range list {
		x0, x1 := p.x(max(s.from, p.from)), p.end(min(s.to, p.to))
		room := p.right() - x0
		if i+1 < len(list) {
			room = p.x(min(list[i+1].from, p.to)) - x0
		}
		x1 = max(x1-p.z.text*0.3, x0+p.z.text*0.4)
		p.f(`<path class="hp-said-%s" d="M%s %sV%sH%s"/>`, s.sign, num(x0), num(top+h*0.8), num(top+h), num(x1))
		p.f(`<text x="%s" y="%s">%s</text>`, num(x0+p.z.text*0.15), num(top+p.z.text*0.85), html.EscapeString(p.fitting(s.texts, room-p.z.text*0.3)))
	}
	p.f(`</g>`)
	p.y = top + h
}

// fitting is the longest text that has room, "" if none has.
func (p *panel) fitting(texts []string, room float64) string {
	for _, t := range texts {
		if p.z.text*plainWide*float64(utf8.RuneCountInString(t)) < room {
			return t
		}
	}
	return ""
}

// legendSample is a take's line as the legend shows it.
func legendSample(n int) template.HTML {
	var b svg
	b.f(`<svg class="hp-sample hp-take hp-take-%d" viewBox="0 0 60 24" aria-hidden="true"><path class="hp-take-line" d="M2 12H58"/><path class="hp-take-mark" d="%s%s"/></svg>`,
		n, takeMark(n, 14, 12, 5), takeMark(n, 46, 12, 5))
	return template.HTML(b.String())
}

// takesOnStrip draws the takes over the whole piece.
func (w *whole) takesOnStrip(b *svg, lo, hi float64) {
	for _, l := range w.Takes {
		b.f(`<g class="hp-take hp-take-%d">`, l.n)
		for _, run := range l.runs {
			var line []point
			for _, x := range run {
				if x.loud {
					line = append(line, point{w.share(x.at) * pieces, 100 * (1 - (x.level-lo)/(hi-lo))})
				}
			}
			var d svg
			for i, q := range thinned(line, 2) {
				d.f("%c%s %s", "ML"[min(i, 1)], num(q.x), num(q.y))
			}
			b.f(`<path class="hp-take-line" d="%s"/>`, d.String())
		}
		b.f(`</g>`)
	}
}
