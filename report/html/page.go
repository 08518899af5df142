package html

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"hairpin/internal/engrave"
	"hairpin/report"
)

//go:embed assets/page.tmpl assets/page.css
var htmlFiles embed.FS

// Pictures are the engraved systems a page shows. Without them bars on a ruler
// stand in for the staves; the curves stay.
type Pictures struct {
	Wide   *engrave.Engraving // for desk and paper
	Narrow *engrave.Engraving // for a phone
	Why    string             // why a picture is missing, "" if none is
}

// mostBytes is what a page may weigh before the layout for phones is left out:
// a phone then shows the wide one and scrolls in it.
const mostBytes = 1_000_000

// Write writes the reading as one page that needs nothing else: no network, no
// script, no other file. It can be printed.
func Write(w io.Writer, r *report.Reading, p Pictures) error {
	b, err := htmlPage(r, p)
	if err == nil && b.Len() > mostBytes && p.Wide != nil && p.Narrow != nil {
		p.Narrow = nil
		b, err = htmlPage(r, p)
	}
	if err != nil {
		return err
	}
	_, err = b.WriteTo(w)
	return err
}

func htmlPage(r *report.Reading, p Pictures) (*bytes.Buffer, error) {
	parts := newPageParts(r, p)
	parts.Alone = parts.Narrow == nil
	parts.shrink(p.engravings())
	style, err := htmlStyle(p)
	if err != nil {
		return nil, err
	}
	style += printStyle(parts)
	page := struct {
		*PageParts
		Style  template.CSS
		Policy string
	}{parts, template.CSS(style), policy(style)}
	t, err := pageTemplate()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	return &b, t.Execute(&b, page)
}

// policy allows the page its own style sheet and fonts, and nothing else.
func policy(style string) string {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'"
}

// htmlStyle is the style sheet with the engraving's fonts in it.
func htmlStyle(p Pictures) (string, error) {
	css, err := htmlFiles.ReadFile("assets/page.css")
	if err != nil {
		return "", err
	}
	printed := &engrave.Engraving{Faces: []engrave.Face{{Family: engrave.TextFamily}, {Family: engrave.TextFamily, Bold: true}}}
	fonts, err := engrave.Fonts(append(p.engravings(), printed)...)
	if err != nil {
		return "", err
	}
	return engrave.FontCSS(fonts) + string(css), nil
}

func (p Pictures) engravings() (list []*engrave.Engraving) {
	for _, e := range []*engrave.Engraving{p.Wide, p.Narrow} {
		if e != nil {
			list = append(list, e)
		}
	}
	return list
}

// PageParts is the content of a page, in pieces; the local page shows the same.
type PageParts struct {
	report.Words
	Why          string        // why there is no engraving
	Defs         template.HTML // must stand before the systems
	Wide, Narrow []SystemPart
	Alone        bool // the wide systems must serve a phone as well
	Rows         []pageRow
}

// SystemPart is one system with its curves.
type SystemPart struct {
	SVG    template.HTML
	height float64 // for a width of 1
	live   LiveSystem
}

// newPageParts makes the pieces of a page.
func newPageParts(r *report.Reading, p Pictures) *PageParts {
	parts := &PageParts{Words: r.Words()}
	parts.Rows = pageRows(r)
	drawParts(r, parts, p)
	return parts
}

// draw fills in what is seen of the score.
func drawParts(r *report.Reading, parts *PageParts, p Pictures) {
	parts.Why = p.Why
	parts.Defs = template.HTML(engrave.Defs(p.engravings()...) + patternDefs)
	neither := p.Wide == nil && p.Narrow == nil
	if p.Wide != nil || neither {
		parts.Wide = systemParts(r, p.Wide, wide)
	}
	if p.Narrow != nil || neither {
		parts.Narrow = systemParts(r, p.Narrow, narrow)
	}
}

func systemParts(r *report.Reading, e *engrave.Engraving, z sizes) (out []SystemPart) {
	systems := rulerSystems(r, z)
	if e != nil {
		systems = e.Systems
	}
	for _, s := range systems {
		if sys := newPanel(r, s, z); sys != nil {
			out = append(out, sys.draw())
		}
	}
	return out
}

// svg collects markup.
type svg struct{ strings.Builder }

func (b *svg) f(format string, args ...any) { fmt.Fprintf(&b.Builder, format, args...) }
