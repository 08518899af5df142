package html

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"

	"hairpin/dynamics/page"
)

// stripSizes are heights of the strip's rows in pixels of the screen. Its width
// is that of where it stands: places along it are given in percent.
type stripSizes struct {
	class                    string
	keys, band, ribbon, foot float64
	letter                   float64 // width of a letter
	scales                   bool    // marks of loudness on the left, of tension on the right
}

var (
	onScreen = stripSizes{class: "hp-strip", keys: 15, band: 56, ribbon: 7, foot: 16, letter: 8.4}
	onPoster = stripSizes{class: "hp-strip hp-strip-poster", keys: 22, band: 270, ribbon: 14, foot: 22, letter: 9.5, scales: true}
)

// strip is the whole piece in one line, as wide as its place: keys, tension with
// both levels over it, verdicts, phrases and the places that matter. Phrases and
// places are links to their measures.
func (w *whole) strip(z stripSizes) template.HTML {
	var b svg
	height := z.keys + z.band + z.ribbon + z.foot
	b.f(`<svg xmlns="http://www.w3.org/2000/svg" class="%s" width="100%%" height="%s" role="group" aria-label="The whole piece">`, z.class, num(height))
	b.f(`<rect class="hp-strip-sheet" y="%s" width="100%%" height="%s"/>`, num(z.keys), num(z.band))
	w.keys(&b, z)
	w.band(&b, z)
	if z.scales {
		w.scales(&b, z)
	}
	w.ribbons(&b, z)
	w.phrases(&b, z)
	w.spots(&b, z)
	b.f(`</svg>`)
	return template.HTML(b.String())
}

// percent is a share of the width.
func percent(share float64) string { return fmt.Sprintf("%.2f%%", 100*share) }

func (w *whole) keys(b *svg, z stripSizes) {
	labels := make([]stripLabel, len(w.Keys))
	for i, k := range w.Keys {
		labels[i] = stripLabel{k.from, 3, k.name}
	}
	for i, class := range z.classes(labels, nil) {
		if x := percent(labels[i].at); class != unplaced {
			b.f(`<rect class="hp-strip-tick%s" x="%s" y="0" width="1" height="%s"/>`, class, x, num(z.keys+z.band))
			b.f(`<text class="hp-strip-key%s" x="%s" dx="3" y="%s">%s</text>`, class, x, num(z.keys*0.8), html.EscapeString(labels[i].text))
		}
	}
}

// band draws tension as an area, the printed level as a full line, the proposed
// one as a broken line, on a drawing of its own that is stretched to the width.
func (w *whole) band(b *svg, z stripSizes) {
	b.f(`<svg y="%s" width="100%%" height="%s" viewBox="0 0 %d 100" preserveAspectRatio="none" aria-hidden="true">`, num(z.keys), num(z.band), pieces)
	b.f(`<path class="hp-strip-tension" d="%s"/>`, stepped(w.Tension))
	if w.Long != nil {
		b.f(`<path class="hp-strip-long" d="%s"/>`, traced(w.Long, 0, 100, 4))
	}
	lo, hi := w.levels()
	if w.Printed != nil {
		b.f(`<path class="hp-strip-halo" d="%s"/><path class="hp-printed" d="%[1]s"/>`, traced(w.Printed, lo, hi, exact))
	}
	if w.Proposed != nil {
		b.f(`<path class="hp-strip-halo" d="%s"/><path class="hp-shaped" d="%[1]s"/>`, traced(w.Proposed, lo, hi, 2*untrembling))
	}
	w.takesOnStrip(b, lo, hi)
	b.f(`</svg>`)
}

// scales names loudness from pp to ff at the left edge, tension at the right.
func (w *whole) scales(b *svg, z stripSizes) {
	lo, hi := w.levels()
	for i, mark := range [...]string{"pp", "p", "mp", "mf", "f", "ff"} {
		if level := page.PP + float64(i); level > lo && level < hi {
			b.f(`<text class="hp-strip-scale hp-strip-mark" x="3" y="%s">%s</text>`, num(z.keys+z.band*(hi-level)/(hi-lo)+4), mark)
		}
	}
	for _, v := range [...]float64{100, 50} {
		b.f(`<text class="hp-strip-scale" x="100%%" dx="-3" y="%s" text-anchor="end">%.0f</text>`, num(z.keys+z.band*(1-v/100)+min(v/8, 11)), v)
	}
}

// levels is the range of both lines, at least from p to f.
func (w *whole) levels() (lo, hi float64) {
	lo, hi = page.P-0.5, page.F+0.5
	for _, line := range [][]float64{w.Printed, w.Proposed} {
		for _, v := range line {
			lo, hi = min(lo, v-0.5), max(hi, v+0.5)
		}
	}
	lo, hi = takeRange(w.Takes, lo, hi)
	return lo, hi
}

// stepped is an area of columns, 0 at the foot and 100 at the head.
func stepped(values []float64) string {
	var b strings.Builder
	b.WriteString("M0 100")
	last := -1.0
	for i, v := range values {
		if v = math.Round(v); v != last {
			fmt.Fprintf(&b, "H%dV%.0f", i, 100-v)
			last = v
		}
	}
	fmt.Fprintf(&b, "H%dV100Z", len(values))
	return b.String()
}

// traced is a line through values, without turns smaller than a tolerance.
func traced(values []float64, lo, hi, tolerance float64) string {
	points := make([]point, len(values))
	for i, v := range values {
		points[i] = point{float64(i) + 0.5, 100 * (1 - (v-lo)/(hi-lo))}
	}
	points[0].x, points[len(points)-1].x = 0, float64(len(values))
	var b strings.Builder
	for i, p := range thinned(points, tolerance*100/(hi-lo)) {
		fmt.Fprintf(&b, "%c%s %s", "ML"[min(i, 1)], num(p.x), num(p.y))
	}
	return b.String()
}

func (w *whole) ribbons(b *svg, z stripSizes) {
	y := z.keys + z.band
	for _, v := range w.Verdicts {
		b.f(`<rect x="%s" y="%s" width="%s" height="%s" fill="url(#hp-p-%s)"><title>%s</title></rect>`,
			percent(v.from), num(y), percent(v.to-v.from), num(z.ribbon), verdictClass(v.kind), html.EscapeString(v.note))
	}
}

// phrases are the links of the strip: each over the whole height, with the
// number of its first measure at the foot.
func (w *whole) phrases(b *svg, z stripSizes) {
	y, height := z.keys+z.band+z.ribbon, z.keys+z.band+z.ribbon+z.foot
	labels := make([]stripLabel, len(w.Phrases))
	for i, p := range w.Phrases {
		labels[i] = stripLabel{p.from, 2, p.name}
	}
	classes := z.classes(labels, w.badged())
	for i, p := range w.Phrases {
		b.f(`<a href="#m%d" data-bar="%d" data-from="%s" data-to="%s" aria-label="%s"><rect class="hp-strip-area" x="%s" y="0" width="%s" height="%s"/>`,
			p.bar+1, p.bar, percent(p.from), percent(p.to), html.EscapeString(p.note), percent(p.from), percent(p.to-p.from), num(height))
		b.f(`<rect class="hp-strip-phrase" x="%s" y="%s" width="%s" height="2"/>`, percent(p.from+0.001), num(y+2), percent(max(p.to-p.from-0.002, 0.001)))
		if class := classes[i]; class != unplaced {
			b.f(`<text aria-hidden="true" class="hp-strip-number%s" x="%s" dx="2" y="%s">%s</text>`, class, percent(p.from), num(y+z.foot*0.93), html.EscapeString(p.name))
		}
		b.f(`</a>`)
	}
}

// badged are the places of the suggestions' numbers, which stand clear of the curves.
func (w *whole) badged() (out []float64) {
	for _, s := range w.Places {
		if s.name != "▲" {
			out = append(out, s.at)
		}
	}
	return out
}

// spots are the places that matter: numbers of suggestions at the foot of the
// strip, the most tense moment at its head.
func (w *whole) spots(b *svg, z stripSizes) {
	for i, s := range w.Places {
		y := z.keys + z.band + z.ribbon + z.foot - 8.5 - 17*float64(w.below(i))
		if s.name == "▲" {
			y = z.keys + 7
		}
		b.f(`<a href="#m%d" data-bar="%d" aria-label="%s">`, s.bar+1, s.bar, html.EscapeString(s.note))
		if s.name == "▲" {
			b.f(`<svg x="%s" y="%s" width="1" height="1" overflow="visible"><path class="hp-strip-summit" d="M-6 -5H6L0 5Z"/></svg></a>`, percent(s.at), num(y))
			continue
		}
		b.f(`<circle class="hp-badge" cx="%s" cy="%s" r="8"/><text aria-hidden="true" class="hp-badge-text" x="%[1]s" y="%[3]s" text-anchor="middle">%[4]s</text></a>`,
			percent(min(max(s.at, 0.007), 0.993)), num(y), num(y+4.2), s.name)
	}
}

// below counts the numbers that stand so near before this one in the list that
// it must stand higher on a telephone: at most two.
func (w *whole) below(i int) int {
	const near = 0.05
	n := 0
	for _, s := range w.Places[:i] {
		if math.Abs(s.at-w.Places[i].at) < near {
			n++
		}
	}
	return min(n, 2)
}
