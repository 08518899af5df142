package html

import (
	"bytes"
	"html/template"

	"hairpin/harmony/tonal"
	"hairpin/report"
	"hairpin/score"
)

// Live is a reading for the local page: pieces of the same page that
// [report.Reading.HTML] writes, and where time lies in its systems.
type Live struct {
	Title    string       `json:"title"`
	Composer string       `json:"composer"`
	Overview string       `json:"overview"`
	Score    string       `json:"score"`
	Tables   string       `json:"tables"`
	Defs     string       `json:"defs"`
	Strip    string       `json:"strip"`
	Places   []Place      `json:"places"`
	From     float64      `json:"from"` // the shown stretch, quarter notes
	To       float64      `json:"to"`
	Systems  []LiveSystem `json:"systems"`
	Measures []LiveBar    `json:"measures"`
	Parts    []string     `json:"parts"`
	Marked   bool         `json:"marked"` // the page prints loudness
	Print    string       `json:"print"`  // style sheet for paper
}

// LiveSystem is where time lies in a system.
type LiveSystem struct {
	From    float64      `json:"from"` // quarter notes from the start as written
	To      float64      `json:"to"`
	Width   float64      `json:"width"`   // units
	Height  float64      `json:"height"`  // units
	Anchors [][2]float64 `json:"anchors"` // quarter notes, x in units; in between in proportion
}

// LiveBar is a measure.
type LiveBar struct {
	Number string   `json:"number"`
	From   float64  `json:"from"`  // quarter notes
	Beats  []string `json:"beats"` // moments in it at which chords change: "12:3"
}

// NewLive makes the pieces. With an engraving of one layout only that one is drawn.
func NewLive(r *report.Reading, p Pictures) (*Live, error) {
	parts := newPageParts(r, p)
	return newLive(r, parts, p, true)
}

// Begin makes the pieces while only the first systems are engraved: the tables
// stay away, for they would have to move.
func Begin(r *report.Reading, p Pictures) (*Live, error) {
	parts := inWords(r, p.Takes)
	drawParts(r, parts, p)
	return newLive(r, parts, p, false)
}

func newLive(r *report.Reading, parts *PageParts, p Pictures, whole bool) (*Live, error) {
	out := parts.live()
	into := map[string]*string{"overview": &out.Overview, "score": &out.Score}
	if whole {
		into["tables"] = &out.Tables
	}
	out.Defs, out.Marked, out.Measures = string(parts.Defs), r.Page.Marked, liveBars(r)
	out.Strip, out.Places = string(parts.Strip), parts.Places
	out.From, out.To = r.Score.Quarters(r.From), r.Score.Quarters(r.To)
	if err := parts.fill(into); err != nil {
		return nil, err
	}
	shown := parts.Wide
	if p.Wide == nil && p.Narrow != nil {
		shown = parts.Narrow
	}
	out.Systems, out.Print = liveSystems(shown), printStyle(parts)
	for _, p := range r.Score.Parts {
		out.Parts = append(out.Parts, p.Name)
	}
	return out, nil
}

// InWords are the pieces that need no picture: title and overview, ready long
// before the staves are drawn.
func InWords(r *report.Reading) (*Live, error) {
	parts := inWords(r, nil)
	out := parts.live()
	out.Strip = string(parts.Strip) // its patterns come with the staves
	out.Defs, out.Places = patternDefs, parts.Places
	return out, parts.fill(map[string]*string{"overview": &out.Overview})
}

func liveSystems(list []SystemPart) (out []LiveSystem) {
	for _, s := range list {
		out = append(out, s.live)
	}
	return out
}

func (p *PageParts) live() *Live { return &Live{Title: p.Title, Composer: p.Composer} }

// fill writes parts of the page's template.
func (p *PageParts) fill(into map[string]*string) error {
	t, err := pageTemplate()
	if err != nil {
		return err
	}
	for name, to := range into {
		var b bytes.Buffer
		if err := t.ExecuteTemplate(&b, name, p); err != nil {
			return err
		}
		*to = b.String()
	}
	return nil
}

func pageTemplate() (*template.Template, error) {
	return template.New("page.tmpl").Funcs(template.FuncMap{"verdictClass": verdictClass, "signed": signed, "sample": legendSample, "next": func(i int) int { return i + 1 }}).ParseFS(htmlFiles, "assets/page.tmpl")
}

// live is where time lies in the panel.
func (p *panel) live(height float64) LiveSystem {
	s := p.r.Score
	out := LiveSystem{From: s.Quarters(p.from), To: s.Quarters(p.to), Width: p.s.Width, Height: height}
	for _, m := range p.at {
		out.Anchors = append(out.Anchors, [2]float64{thousandth(s.Quarters(m.t)), m.x})
	}
	return out
}

func liveBars(r *report.Reading) []LiveBar {
	out := make([]LiveBar, len(r.Score.Measures))
	for i, m := range r.Score.Measures {
		out[i] = LiveBar{Number: m.Number, From: r.Score.Quarters(m.Start), Beats: []string{r.At(m.Start)}}
		for _, c := range over(r.Harmony.Chords, m.Start, m.End(), func(c *tonal.Chord) (_, _ score.Tick) { return c.Start, c.End }) {
			if c.Start > m.Start && c.Start < m.End() {
				out[i].Beats = append(out[i].Beats, r.At(c.Start))
			}
		}
	}
	return out
}

// Style is the style sheet of pages, without fonts.
func Style() ([]byte, error) { return htmlFiles.ReadFile("assets/page.css") }
