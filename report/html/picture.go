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
// else: a heading, and the systems with their curves. Systems are whole, the
// curves stop where the stretch does. A nil engraving gives bars on a ruler.
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
	systems := systemParts(r, e, wide)
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
		pictureMargin+pictureHeading/2, pictureHeading, html.EscapeString(inWords(r).Title+", "+r.Span(r.From, r.To)))
	y := float64(pictureHead)
	for _, s := range systems {
		b.f(`<svg x="0" y="%s" width="%s" height="%s">%s</svg>`, num(y), num(s.live.Width), num(s.live.Height), s.SVG)
		y += s.live.Height + pictureGap
	}
	b.f("</svg>\n")
	_, err = fmt.Fprint(w, b.String())
	return err
}
