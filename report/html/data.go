package html

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"html/template"
	"strings"

	"hairpin/report"
)

// reportData is what the script of a page that stands alone works with.
type reportData struct {
	Bars   []LiveBar              `json:"bars"`
	Wide   []LiveSystem           `json:"wide"`
	Narrow []LiveSystem           `json:"narrow"`
	Places []Place                `json:"places"`
	Why    map[string]*report.Why `json:"why"` // by moment, "12:3"
	Sound  *played                `json:"sound"`
	Packed map[string]string      `json:"packed,omitempty"` // markup of a heavy page by the id of its place
}

// newReportData gathers it. What cannot be had, such as sound for a score
// without notes, is left out.
func newReportData(r *report.Reading, parts *PageParts) *reportData {
	d := &reportData{Bars: liveBars(r), Wide: liveSystems(parts.Wide), Narrow: liveSystems(parts.Narrow), Places: parts.Places, Why: map[string]*report.Why{}}
	explainer := r.Explainer()
	for i, b := range d.Bars {
		if m := r.Score.Measures[i]; !r.Shows(m.Start, m.End()) {
			continue
		}
		for _, at := range b.Beats {
			if w, err := explainer.Why(at); err == nil {
				d.Why[at] = signedWhy(w)
			}
		}
	}
	if p, err := newPlayed(r); err == nil {
		d.Sound = p
	}
	return d
}

// signedWhy writes the accidentals of an explanation as signs.
func signedWhy(w *report.Why) *report.Why {
	out := *w
	out.Heading, out.Because, out.Propose = signed(w.Heading), signed(w.Because), signed(w.Propose)
	out.Rows = make([][3]string, len(w.Rows))
	for i, row := range w.Rows {
		out.Rows[i] = [3]string{row[0], row[1], signed(row[2])}
	}
	return &out
}

// Explain is why a moment is tense, as a page shows it.
func Explain(r *report.Reading, at string) (*report.Why, error) {
	w, err := r.Explainer().Why(at)
	if err != nil {
		return nil, err
	}
	return signedWhy(w), nil
}

// packed is the data as text that may stand in a page: JSON, gzip, base64.
func (d *reportData) packed() (string, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if err := json.NewEncoder(z).Encode(d); err != nil {
		return "", err
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b.Bytes()), nil
}

// pack moves the drawings and the table of beats of a heavy page into its data,
// from which the page's script puts them back in their places.
func (p *PageParts) pack(d *reportData) error {
	d.Packed = map[string]string{"hp-wide": joinedSystems(p.Wide), "hp-narrow": joinedSystems(p.Narrow)}
	var rows bytes.Buffer
	t, err := pageTemplate()
	if err != nil {
		return err
	}
	if err := t.ExecuteTemplate(&rows, "rows", p); err != nil {
		return err
	}
	d.Packed["hp-rows"] = rows.String()
	empty := func(list []SystemPart) []SystemPart { return list[:min(len(list), 0)] }
	p.Packed, p.Wide, p.Narrow, p.Rows = true, empty(p.Wide), empty(p.Narrow), nil
	return nil
}

func joinedSystems(list []SystemPart) string {
	var b strings.Builder
	for _, s := range list {
		b.WriteString(`<div class="hp-line">` + string(s.SVG) + "</div>\n")
	}
	return b.String()
}

// script is the report's own script, built from web/src/report.ts.
func script() (template.JS, error) {
	text, err := htmlFiles.ReadFile("assets/report.js")
	return template.JS(text), err
}
