package html

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"path"
	"strings"

	"hairpin/internal/engrave"
	"hairpin/report"
	"hairpin/report/take"
)

//go:embed assets/page.tmpl assets/page.css assets/report.js
var htmlFiles embed.FS

// Pictures are the engraved systems a page shows, and the takes that are drawn over
// them. Without systems bars on a ruler stand in for the staves; the curves stay.
type Pictures struct {
	Wide   *engrave.Engraving // for desk and paper
	Narrow *engrave.Engraving // for a phone
	Why    string             // why a picture is missing, "" if none is
	Takes  []take.Take        // what was played, at most [MostTakes]
}

// mostBytes is what a page may weigh as plain markup; a heavier one is packed.
const mostBytes = 1_000_000

// Write writes the reading as one page that needs nothing else: no network, no
// other file. Its one script says why a measure is tense when it is clicked and
// plays it; without the script the page can still be read and printed, unless
// the piece is so long that its drawings are packed, see [PageParts.pack].
func Write(w io.Writer, r *report.Reading, p Pictures) error {
	return write(w, r, p, false)
}

// WriteHandout writes the shown stretch, a phrase, as such a page that prints on
// one sheet: the staves with their curves, how it ends, what to try.
func WriteHandout(w io.Writer, r *report.Reading, p Pictures) error {
	return write(w, r, p, true)
}

func write(w io.Writer, r *report.Reading, p Pictures, handout bool) error {
	parts := newPageParts(r, p)
	parts.Handout = handout
	parts.shrink(p.engravings())
	if parts.Undrawn != "" {
		parts.Undrawn += " " + next(r)
	}
	style, err := htmlStyle(p)
	if err != nil {
		return err
	}
	style += printStyle(parts)
	data := newReportData(Drawn(r), parts)
	b, err := htmlPage(parts, data, style)
	if err == nil && !handout && b.Len() > mostBytes {
		if err = parts.pack(data); err == nil {
			b, err = htmlPage(parts, data, style)
		}
	}
	if err != nil {
		return err
	}
	_, err = b.WriteTo(w)
	return err
}

func htmlPage(parts *PageParts, data *reportData, style string) (*bytes.Buffer, error) {
	text, err := data.packed()
	if err != nil {
		return nil, err
	}
	code, err := script()
	if err != nil {
		return nil, err
	}
	page := struct {
		*PageParts
		Style  template.CSS
		Script template.JS
		Data   string
		Policy string
	}{parts, template.CSS(style), code, text, policy(style, string(code))}
	t, err := pageTemplate()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	return &b, t.Execute(&b, page)
}

// policy allows the page its own style sheet, script and fonts, and nothing else.
func policy(style, script string) string {
	return "default-src 'none'; style-src " + hashed(style) + "; script-src " + hashed(script) +
		"; font-src data:; img-src data:; base-uri 'none'; form-action 'none'"
}

func hashed(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
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
	Undrawn      string        // where the drawing ends, see [Undrawn]
	Defs         template.HTML // must stand before the systems
	Wide, Narrow []SystemPart
	HasWide      bool
	HasNarrow    bool
	Alone        bool // the wide systems must serve a phone as well
	Packed       bool // the systems are in the data
	Handout      bool // printed on one sheet, see [WriteHandout]
	Strip        template.HTML
	Takes        *TakeParts // nil if there are none
	Places       []Place
	Tries        []Place // those of them that are suggestions
	PhraseBars   []int   // index of the measure in which each phrase begins
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
	parts := inWords(r, p.Takes)
	parts.Undrawn = Undrawn(r)
	drawn := Drawn(r)
	parts.Rows = pageRows(drawn)
	drawParts(drawn, parts, p)
	return parts
}

// inWords are the pieces that need no staves.
func inWords(r *report.Reading, takes []take.Take) *PageParts {
	parts := &PageParts{Words: r.Words(), Takes: newTakeParts(r, takes)}
	parts.Overview, parts.Cautions = signedAll(parts.Overview), signedAll(parts.Cautions)
	if r.Score.Title == "" {
		parts.Title = plainName(parts.Title)
	}
	parts.Strip = newWhole(r, takes).strip(onScreen)
	parts.Places = places(r, &parts.Words)
	for _, p := range parts.Places {
		switch p.Kind {
		case "try":
			parts.Tries = append(parts.Tries, p)
		case "phrase":
			parts.PhraseBars = append(parts.PhraseBars, p.Bar)
		}
	}
	return parts
}

// plainName is a file's name without its folder and ending: a title of a kind.
func plainName(file string) string {
	name := path.Base(strings.ReplaceAll(file, "\\", "/"))
	return strings.TrimSuffix(name, path.Ext(name))
}

// drawParts fills in what is seen of the score.
func drawParts(r *report.Reading, parts *PageParts, p Pictures) {
	parts.Why = p.Why
	parts.Defs = template.HTML(engrave.Defs(p.engravings()...) + patternDefs)
	lines := takeLines(r, p.Takes)
	neither := p.Wide == nil && p.Narrow == nil
	if p.Wide != nil || neither {
		parts.Wide = systemParts(r, p.Wide, wide, lines)
	}
	if p.Narrow != nil || neither {
		parts.Narrow = systemParts(r, p.Narrow, narrow, lines)
	}
	parts.HasWide, parts.HasNarrow = len(parts.Wide) > 0, len(parts.Narrow) > 0
	parts.Alone = !parts.HasNarrow
}

func systemParts(r *report.Reading, e *engrave.Engraving, z sizes, takes []takeLine) (out []SystemPart) {
	systems := rulerSystems(r, z)
	if e != nil {
		systems = e.Systems
	}
	c := contentOf(r, takes)
	for _, s := range systems {
		if sys := newPanel(r, c, s, z); sys != nil {
			out = append(out, sys.draw())
		}
	}
	return out
}

// svg collects markup.
type svg struct{ strings.Builder }

func (b *svg) f(format string, args ...any) { fmt.Fprintf(&b.Builder, format, args...) }
