package html

import (
	"html"
	"strconv"
	"strings"
	"unicode/utf8"

	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
	"hairpin/report"
	"hairpin/score"
)

// tag is a label that wants a place in a row.
type tag struct {
	x, width float64
	key      string
	text     string
	doubt    bool
	given    bool // the user's own
}

// numerals writes the Roman numerals under the staff, in as many rows as they need.
func (p *panel) numerals() {
	const most = 3
	ends := make([]float64, 1, most)
	row := p.z.text * 1.3
	top := p.y
	p.f(`<g class="hp-numerals">`)
	for _, t := range p.tags() {
		i := 0
		for i < len(ends) && t.x < ends[i] {
			i++
		}
		if i == len(ends) && i < most {
			ends = append(ends, 0)
		}
		if i == most {
			continue // three crowded rows: the table has it
		}
		ends[i] = t.x + t.width + p.z.text*0.35
		p.numeral(t, top+row*float64(i)+p.z.text)
	}
	p.f(`</g>`)
	p.y = top + row*float64(len(ends))
}

// tags are the labels of the system's chords.
func (p *panel) tags() (out []tag) {
	var key tonal.Key
	chords := over(p.r.Harmony.Chords, p.from, p.to, func(c *tonal.Chord) (_, _ score.Tick) { return c.Start, c.End })
	for _, c := range chords {
		if c.End <= p.from || c.Start >= p.to {
			continue
		}
		t := tag{x: p.x(max(c.Start, p.from)) - p.z.text*0.4, text: accidentals(c.Roman()), doubt: c.Certainty == tonal.Unsure && !c.Given, given: c.Given}
		if len(out) == 0 || c.Key != key {
			t.key = report.English.ShortKey(c.Key) + ":"
		}
		if c.Start < p.from && c.Start > p.r.Harmony.Chords[0].Start {
			t.text = "(" + t.text + ")"
		}
		key = c.Key
		if t.doubt {
			t.text += "?"
		}
		t.width = p.z.text * 0.56 * float64(utf8.RuneCountInString(t.text))
		if t.key != "" {
			w := p.z.text * (0.6*float64(utf8.RuneCountInString(t.key)) + 0.3)
			if len(out) == 0 {
				t.x -= min(w, t.x)
			}
			t.width += w
		}
		out = append(out, t)
	}
	return out
}

// numeral writes one label; figures stand small and high.
func (p *panel) numeral(t tag, y float64) {
	class := ""
	if t.doubt {
		class = ` class="hp-doubt"`
	}
	if t.given {
		p.f(`<rect class="hp-given" x="%s" y="%s" width="%s" height="%s" rx="4"/>`,
			num(t.x-p.z.text*0.15), num(y-p.z.text*0.95), num(t.width+p.z.text*0.25), num(p.z.text*1.22))
	}
	p.f(`<text%s x="%s" y="%s">`, class, num(t.x), num(y))
	if t.key != "" {
		p.f(`<tspan class="hp-key">%s</tspan> `, html.EscapeString(t.key))
	}
	up := false
	for i, piece := range figures(t.text) {
		switch {
		case piece == "":
		case i%2 == 1:
			p.f(`<tspan class="hp-figure" dy="-%s">%s</tspan>`, num(p.z.text*0.3), piece)
			up = true
		case up:
			p.f(`<tspan dy="%s">%s</tspan>`, num(p.z.text*0.3), html.EscapeString(piece))
			up = false
		default:
			p.f("%s", html.EscapeString(piece))
		}
	}
	p.f(`</text>`)
}

// figures splits a numeral: text and figures by turns.
func figures(s string) (out []string) {
	var piece strings.Builder
	inside := false
	for _, r := range s {
		if digit := r >= '0' && r <= '9'; digit != inside {
			out = append(out, piece.String())
			piece.Reset()
			inside = digit
		}
		piece.WriteRune(r)
	}
	return append(out, piece.String())
}

// verdictClass names a verdict in class names and patterns.
func verdictClass(k verdict.Kind) string {
	switch k {
	case verdict.Supports:
		return "supports"
	case verdict.WorksAgainst:
		return "against"
	case verdict.Unshaped:
		return "unshaped"
	case verdict.Independent:
		return "independent"
	}
	return "calm"
}

// patternDefs are the patterns of the verdicts: one can be told from another
// without colour.
const patternDefs = `<svg xmlns="http://www.w3.org/2000/svg" class="hp-defs" width="0" height="0" aria-hidden="true"><defs>
<pattern id="hp-p-supports" width="16" height="16" patternUnits="userSpaceOnUse"><rect class="hp-dot-supports" width="16" height="16"/></pattern>
<pattern id="hp-p-against" width="18" height="18" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hp-ink-against" d="M0 0V18" stroke-width="8"/></pattern>
<pattern id="hp-p-unshaped" width="20" height="20" patternUnits="userSpaceOnUse"><circle class="hp-dot-unshaped" cx="5" cy="5" r="3.4"/><circle class="hp-dot-unshaped" cx="15" cy="15" r="3.4"/></pattern>
<pattern id="hp-p-calm" width="16" height="16" patternUnits="userSpaceOnUse"/>
<pattern id="hp-p-independent" width="14" height="14" patternUnits="userSpaceOnUse"><path class="hp-ink-independent" d="M7 0V14" stroke-width="3"/></pattern>
<symbol id="hp-c-supports" viewBox="0 0 32 20"><rect class="hp-swatch" width="32" height="20" fill="url(#hp-p-supports)"/></symbol>
<symbol id="hp-c-against" viewBox="0 0 32 20"><rect class="hp-swatch" width="32" height="20" fill="url(#hp-p-against)"/></symbol>
<symbol id="hp-c-unshaped" viewBox="0 0 32 20"><rect class="hp-swatch" width="32" height="20" fill="url(#hp-p-unshaped)"/></symbol>
<symbol id="hp-c-independent" viewBox="0 0 32 20"><rect class="hp-swatch" width="32" height="20" fill="url(#hp-p-independent)"/></symbol>
<symbol id="hp-c-calm" viewBox="0 0 32 20"><rect class="hp-swatch" width="32" height="20" fill="url(#hp-p-calm)"/></symbol>
</defs></svg>`

// placed is a verdict within a system.
type placed struct {
	verdict.Verdict
	x0, x1 float64
	begins bool
}

func (p *panel) verdicts() (out []placed) {
	for _, v := range p.spansHere() {
		if v.End <= p.from || v.Start >= p.to || v.Kind == verdict.Calm {
			continue
		}
		out = append(out, placed{v, p.x(max(v.Start, p.from)) - p.z.text*0.4, p.end(v.End) - p.z.text*0.4, v.Start >= p.from})
	}
	return out
}

// ribbons names the verdicts in a row, each over its stretch with its pattern below.
func (p *panel) ribbons() {
	top, h := p.y+p.z.gap/2, p.z.text*1.5
	badges := p.badges
	all := p.verdicts()
	says := p.ribbonTexts(all, badges)
	p.f(`<g class="hp-ribbons">`)
	for i, v := range all {
		class, width := verdictClass(v.Kind), num(max(v.x1-v.x0-4, 4))
		p.f(`<g class="hp-ribbon hp-ribbon-%s"><rect class="hp-back" x="%s" y="%s" width="%s" height="%s"/>`,
			class, num(v.x0+2), num(top), width, num(h))
		p.f(`<rect x="%s" y="%s" width="%s" height="%s" fill="url(#hp-p-%s)"/>`,
			num(v.x0+2), num(top+h*0.74), width, num(h*0.26), class)
		if n := v.badge(badges); n != "" {
			p.badge(n, v.x0+p.z.text*0.75, top+h*0.37)
		}
		if says[i] != "" {
			p.f(`<text x="%s" y="%s">%s</text>`, num(p.ribbonStart(v, badges)), num(top+p.z.text*0.88), says[i])
		}
		p.f(`</g>`)
	}
	p.f(`</g>`)
	p.y = top + h
}

// badge is the number of the suggestion about the verdict, "" if there is none.
func (v placed) badge(badges map[score.Tick]string) string {
	if !v.begins {
		return ""
	}
	return badges[v.Start]
}

// ribbonStart is where a verdict's name begins, after its number.
func (p *panel) ribbonStart(v placed, badges map[score.Tick]string) float64 {
	x := v.x0 + p.z.text*0.35
	if v.badge(badges) != "" {
		x += p.z.text * 1.1
	}
	return x
}

// ribbonTexts names each run of equal verdicts once, where most of the name has room.
func (p *panel) ribbonTexts(all []placed, badges map[score.Tick]string) []string {
	out := make([]string, len(all))
	named := -1 // the verdict of this run that has the name
	for i, v := range all {
		if i > 0 && (v.Kind != all[i-1].Kind || v.Certainty != all[i-1].Certainty || v.Start != all[i-1].End) {
			named = -1
		}
		text := p.ribbonText(v, v.x1-p.ribbonStart(v, badges))
		switch {
		case text == "":
		case named < 0:
			named, out[i] = i, text
		case len(text) > len(out[named]):
			out[named], out[i], named = "", text, i
		}
	}
	return out
}

// The width of a letter, at most, in names of verdicts and of phrases, by the
// size of the text, in the widest of the fonts that systems choose for a page
// (DejaVu Sans, measured in Chromium).
const (
	boldWide  = 0.69
	plainWide = 0.57
)

// ribbonText is the verdict's name if it has room: the pattern says the same.
func (p *panel) ribbonText(v placed, room float64) string {
	name := string(v.Kind)
	if v.Certainty == tonal.Unsure {
		name += "?"
	}
	if p.z.text*boldWide*float64(len(name)) < room {
		return name
	}
	return ""
}

// badges number the suggestions, by the start of their stretch.
func badges(r *report.Reading) map[score.Tick]string {
	out := map[score.Tick]string{}
	for i, s := range r.Suggestions() {
		for _, v := range r.Verdicts {
			if report.Quarters(r.Score.Quarters(v.Start)) == s.Onset && v.Kind == s.Verdict && out[v.Start] == "" {
				out[v.Start] = string(rune('1' + i))
				break
			}
		}
	}
	return out
}

func (p *panel) badge(n string, x, y float64) {
	p.f(`<circle class="hp-badge" cx="%s" cy="%s" r="%s"/><text class="hp-badge-text" x="%[1]s" y="%[4]s" text-anchor="middle">%[5]s</text>`,
		num(x), num(y), num(p.z.text*0.52), num(y+p.z.text*0.3), n)
}

// phraseRow brackets the phrases below the curves and says how they end.
func (p *panel) phraseRow() {
	y, h := p.y+p.z.gap, p.z.text*1.2
	p.f(`<g class="hp-phrases">`)
	for i, ph := range p.r.Phrases() {
		if ph.End <= p.from || ph.Start >= p.to {
			continue
		}
		x0, x1 := p.x(max(ph.Start, p.from)), p.end(ph.End)-p.z.text*0.5
		d := "M" + num(x0) + " " + num(y) + "H" + num(x1)
		if ph.Start >= p.from {
			d = "M" + num(x0) + " " + num(y-p.z.gap) + "V" + num(y) + "H" + num(x1)
		}
		if ph.End <= p.to {
			d += "V" + num(y-p.z.gap)
		}
		p.f(`<path d="%s"/>`, d)
		p.phraseText(i, x0, x1, y+h*0.85)
	}
	p.f(`</g>`)
	p.y = y + h
}

func (p *panel) phraseText(i int, x0, x1, y float64) {
	ph := p.r.Phrases()[i]
	text := "phrase " + strconv.Itoa(i+1)
	if ph.Start < p.from {
		text = "(" + text + ")"
	}
	used := p.z.text * plainWide * float64(len(text))
	if used < x1-x0 {
		p.f(`<text x="%s" y="%s">%s</text>`, num(x0), num(y), text)
	}
	if ph.End > p.to || ph.Cadence < 0 {
		return
	}
	end := string(p.r.Harmony.Cadences[ph.Cadence].Kind) + " cadence"
	if p.r.EndCertainty(ph) == tonal.Unsure {
		end += "?"
	}
	if p.z.text*plainWide*float64(len(end))+used+p.z.text < x1-x0 {
		p.f(`<text x="%s" y="%s" text-anchor="end">%s</text>`, num(x1), num(y), end)
	}
}
