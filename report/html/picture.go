package html

import (
	"fmt"
	"html"
	"io"
	"regexp"

	"hairpin/internal/engrave"
	"hairpin/report"
)

// Sizes of a picture in units of its systems: margin, height of the heading,
// space below a system; and its width in pixels.
const (
	pictureMargin  = 60
	pictureHead    = 110
	pictureGap     = 50
	picturePixels  = 1200
	pictureHeading = 52
)

// daylight are the colours of page.css for a light screen: a picture keeps them
// wherever it is shown.
var daylight = regexp.MustCompile(`(?s)^:root \{.*?\n\}`)

// WritePicture writes the shown stretch as one drawing (SVG) that needs nothing
// else: a heading, and the systems with their curves. Systems are whole; what of
// them lies outside the stretch is pale. A nil engraving gives bars on a ruler.
func WritePicture(w io.Writer, r *report.Reading, e *engrave.Engraving) error {
	pictures := Pictures{Wide: e}
	style, err := htmlStyle(pictures)
	if err != nil {
		return err
	}
	css, err := Style()
	if err != nil {
		return err
	}
	systems := systemParts(r, e, wide, nil)
	width, height := 0.0, float64(pictureMargin+pictureHead)
	for _, s := range systems {
		width = max(width, s.live.Width)
		height += s.live.Height + pictureGap
	}
	var b svg
	b.f(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%.0f" viewBox="%d 0 %s %s">`, picturePixels,
		picturePixels*height/(width+2*pictureMargin), -pictureMargin, num(width+2*pictureMargin), num(height))
	b.f("<style>%s\n%s</style>", html.EscapeString(style), daylight.Find(css))
	b.f("%s%s", engrave.Defs(pictures.engravings()...), patternDefs)
	b.f(`<rect x="%d" width="100%%" height="100%%" fill="var(--paper)"/>`, -pictureMargin)
	b.f(`<text y="%d" font-size="%d" font-weight="700" fill="var(--ink)" font-family="system-ui, sans-serif">%s</text>`,
		pictureMargin+pictureHeading/2, pictureHeading, html.EscapeString(inWords(r, nil).Title+", "+r.Span(r.From, r.To)))
	y := float64(pictureHead)
	for _, s := range systems {
		b.f(`<svg x="0" y="%s" width="%s" height="%s">%s`, num(y), num(s.live.Width), num(s.live.Height), s.SVG)
		s.live.veil(&b, r.Score.Quarters(r.From), r.Score.Quarters(r.To))
		b.f("</svg>")
		y += s.live.Height + pictureGap
	}
	b.f("</svg>\n")
	_, err = fmt.Fprint(w, b.String())
	return err
}

// veil makes pale what lies outside of a stretch, in quarter notes.
func (s LiveSystem) veil(b *svg, from, to float64) {
	const before = 28 // units from a measure's first note back to its bar line
	if len(s.Anchors) == 0 {
		return
	}
	pale := func(x0, x1 float64) {
		b.f(`<rect class="hp-veil" x="%s" width="%s" height="100%%" fill="var(--paper)" fill-opacity=".78"/>`, num(x0), num(max(x1-x0, 0)))
	}
	if from > s.From {
		pale(s.Anchors[0][1]-before, s.x(from)-before)
	}
	if to < s.To {
		pale(s.x(to)-before, s.Width)
	}
}

// x is where a moment stands, between two anchors in proportion.
func (s LiveSystem) x(q float64) float64 {
	for i := 1; i < len(s.Anchors); i++ {
		if a, b := s.Anchors[i-1], s.Anchors[i]; q < b[0] {
			return a[1] + (b[1]-a[1])*max(q-a[0], 0)/(b[0]-a[0])
		}
	}
	return s.Anchors[len(s.Anchors)-1][1]
}
