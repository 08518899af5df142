package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"hairpin/dynamics/verdict"
)

// studyRows writes every stretch, phrase by phrase.
func (r *Reading) studyRows(w io.Writer, d *studyData) error {
	var b strings.Builder
	para := func(text string) { b.WriteString(WrapText(text, r.Options.Width, "") + "\n") }
	para(d.heading())
	para(d.overview())
	if d.Caution != "" {
		para("Note: " + d.Caution)
	}
	b.WriteByte('\n')
	para(d.shareSentence())
	para(d.reader())
	texts, err := tables(d.stretchGrids(r), r.Options.Width)
	if err != nil {
		return err
	}
	for i, p := range d.Phrases {
		b.WriteByte('\n')
		para(p.heading())
		b.WriteString(texts[i])
		for _, c := range p.Cadences {
			b.WriteString(WrapText("  "+c.sentence(), r.Options.Width, "  ") + "\n")
		}
		if p.Shape != "" {
			b.WriteString(WrapText("  Proposed loudness "+p.Shape+".", r.Options.Width, "  ") + "\n")
		}
		for _, text := range p.Asked() {
			b.WriteString(WrapText("  "+text, r.Options.Width, "  ") + "\n")
		}
	}
	b.WriteString(d.closing(r.Options.Width))
	_, err = io.WriteString(w, b.String())
	return err
}

func (d *studyData) heading() string {
	title := spaced(d.Title)
	if title == "" {
		title = d.File
	}
	if d.Composer != "" {
		title += ", " + spaced(d.Composer)
	}
	return title
}

// spaced is a text of the score with single blanks: titles are set over several lines.
func spaced(text string) string { return strings.Join(strings.Fields(text), " ") }

// overview is key, size and form of keys in one sentence.
func (d *studyData) overview() string {
	home := d.Home
	if d.HomeHow != "sure" {
		home += " (" + d.HomeHow + ")"
	}
	text := fmt.Sprintf("%s. %s", home, plural(d.Measures, "measure"))
	if len(d.Metres) > 0 && len(d.Metres) <= 4 {
		text += " in " + strings.Join(d.Metres, ", ")
	}
	if d.Shown != "" {
		text += ", of which " + d.Shown + " are shown"
	}
	text += ", " + plural(len(d.Phrases), "phrase") + "."
	if d.chosen != "" {
		text += " " + d.chosen
	}
	if d.weighed != "" {
		text += " " + d.weighed
	}
	return text
}

// shareSentence says how page and harmony share the time.
func (d *studyData) shareSentence() string {
	p := map[verdict.Kind]string{}
	for _, s := range d.Shares {
		p[s.Verdict] = fmt.Sprintf("%.0f %%", s.Percent)
	}
	rest := []string{}
	for _, k := range [...]struct {
		kind verdict.Kind
		says string
	}{
		{verdict.Unshaped, "the harmony moves and nothing is printed for it"},
		{verdict.Independent, "printed loudness moves over still harmony"},
		{verdict.Calm, "neither moves"},
	} {
		if p[k.kind] != "0 %" {
			rest = append(rest, "for "+p[k.kind]+" "+k.says)
		}
	}
	switch {
	case len(p) == 0:
		return "There is no stretch long enough to compare print and harmony."
	case d.Marked && p[verdict.Supports] == "0 %" && p[verdict.WorksAgainst] == "0 %" && p[verdict.Independent] == "0 %":
		return "The printed level never moves with the harmony or against it: the shaping is left to you."
	case !d.Marked:
		return fmt.Sprintf("No dynamics are printed. The harmony moves for %s of the time.", p[verdict.Unshaped])
	}
	return strings.TrimSpace(fmt.Sprintf("For %s of the time the printed dynamics support the harmony, for %s they work against it. %s",
		p[verdict.Supports], p[verdict.WorksAgainst], sentence(strings.Join(rest, ", "))))
}

// places says how a place is written, and how phrases are counted.
func (d *studyData) places() string {
	text := "12:3 is measure 12, beat 3"
	if d.pickup != "" {
		text += "; measure " + d.pickup + " is the pickup"
	}
	if d.endings != "" {
		text += "; " + d.endings + " begins a second ending"
	}
	if slices.ContainsFunc(d.Phrases, func(p studyPhrase) bool { return p.upbeat }) {
		text += "; a phrase with an upbeat is counted from its first full measure"
	}
	return text + "."
}

// proposes says what the column of proposals means.
func (d *studyData) proposes() string {
	if !d.Marked {
		return "Proposed is one way to shape it."
	}
	return "Proposed is loudness inside the printed marks."
}

// howSure explains the words of certainty once. The shares are those of chords, keys and the
// cadences at the ends of phrases on analysed scores (the last sure 93, likely 68, unsure 37 of
// 100 in sonatas, 90, 79 and 62 in other music), and of goals in recordings (tools/fit: sure
// 86, likely 69, unsure 47 of 100, by chance 25), in round numbers.
const howSure = "Sure, likely, and 'perhaps' or '?': of chords, keys, cadences and goals so called about nine, seven and five in ten held, checked on analysed scores and piano recordings."

// reader says how places, numbers and signs are to be read.
func (d *studyData) reader() string {
	text := d.places() + " After 12:3: between that beat and the next. Numbers of the harmony are tension, 0 at rest to 100."
	if d.Marked {
		text += " p < f: the print grows from p to f; > it falls; p–mp lies between both."
	}
	return text
}

func (p studyPhrase) heading() string {
	text := fmt.Sprintf("Phrase %d, %s", p.Number, p.Measures)
	if ended := p.Ended(); ended != "" {
		text += ": " + ended
	}
	return text
}

// stretchGrids is one grid a phrase, all with the same columns.
func (d *studyData) stretchGrids(r *Reading) []grid {
	out := make([]grid, len(d.Phrases))
	all := grid{head: []string{"at", "harmony", "printed", "verdict", "size", "how sure"}, wrap: 1}
	headed := false
	for i, p := range d.Phrases {
		out[i] = all
		out[i].bare = headed
		headed = headed || len(p.Stretches) > 0
		for _, s := range p.Stretches {
			out[i].rows = append(out[i].rows, []string{s.Place, s.Harmony, s.Page, r.tint(s.Verdict), sizeWord(s.Size), s.Certainty})
		}
	}
	return aligned(out)
}

// sizeWord is a size from 0 to 1 in words.
func sizeWord(size float64) string {
	switch {
	case size >= 0.6:
		return "large"
	case size >= 0.3:
		return "clear"
	}
	return "small"
}

// tint colours a verdict on a terminal; the word stays what says it.
func (r *Reading) tint(k verdict.Kind) string {
	code := map[verdict.Kind]string{verdict.Supports: "32", verdict.WorksAgainst: "33", verdict.Unshaped: "36"}[k]
	if !r.Options.Colour || code == "" {
		return string(k)
	}
	return "\x1b[" + code + "m" + string(k) + "\x1b[0m"
}

// asks reports whether a player must decide something there.
func (m remark) asks() bool {
	return m.Verdict == verdict.WorksAgainst || m.Aspect == verdict.AtContrast
}

// Asked are the remarks where a player must decide something; the rest is in
// the other formats. Sudden changes are told in one sentence.
func (p studyPhrase) Asked() []string {
	var out, switches []string
	first := 0
	for _, m := range p.Remarks {
		switch {
		case m.sudden != "":
			if len(switches) == 0 {
				first = len(out)
				out = append(out, m.Text)
			}
			switches = append(switches, m.At+" ("+m.sudden+")")
		case m.asks():
			out = append(out, m.Text)
		}
	}
	if len(switches) > 1 {
		out[first] = "The level changes at once at " + strings.Join(switches, ", ") + ": each time keep the level until the last moment, then switch."
	}
	return out
}

// closing is the suggestions and cautions.
func (d *studyData) closing(width int) string {
	var b strings.Builder
	if len(d.Suggestions) > 0 {
		b.WriteString("\nTo try, the most important first\n")
	}
	for i, s := range d.Suggestions {
		b.WriteString(WrapText(fmt.Sprintf("%d. %s", i+1, s.Text), width, "   ") + "\n")
	}
	rest := slices.DeleteFunc(slices.Clone(d.Cautions), func(c string) bool { return c == d.Caution || c == d.irregular })
	b.WriteString("\n" + WrapText(howSure, width, "") + "\n" + WrapText(strings.Join(rest, " "), width, "") + "\n")
	return b.String()
}

// rowsMarkdown writes every stretch as a handout.
func (r *Reading) rowsMarkdown(w io.Writer, d *studyData) error {
	plain := *r
	plain.Options.Colour = false
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n%s\n\n%s\n\n%s\n", markdownText(d.heading()), markdownText(d.overview()), d.shareSentence(), markdownText(d.reader()))
	grids := d.stretchGrids(&plain)
	for i, p := range d.Phrases {
		fmt.Fprintf(&b, "\n## %s\n\n", p.heading())
		if err := grids[i].markdown(&b); err != nil {
			return err
		}
		if len(p.Stretches)+len(p.Remarks)+len(p.Cadences) > 0 {
			b.WriteByte('\n')
		}
		for _, c := range p.Cadences {
			fmt.Fprintf(&b, "- %s\n", markdownText(c.sentence()))
		}
		if p.Shape != "" {
			fmt.Fprintf(&b, "- Proposed loudness: %s.\n", markdownText(p.Shape))
		}
		for _, m := range p.Remarks {
			if m.sudden == "" && !m.asks() {
				fmt.Fprintf(&b, "- %s\n", markdownText(m.Text))
			}
		}
		for _, text := range p.Asked() {
			fmt.Fprintf(&b, "- %s\n", markdownText(text))
		}
	}
	b.WriteString(d.closingMarkdown())
	_, err := io.WriteString(w, b.String())
	return err
}

// closingMarkdown is the suggestions and cautions of a handout.
func (d *studyData) closingMarkdown() string {
	var b strings.Builder
	if len(d.Suggestions) > 0 {
		b.WriteString("\n## To try, the most important first\n\n")
	}
	for i, s := range d.Suggestions {
		fmt.Fprintf(&b, "%d. %s\n", i+1, markdownText(s.Text))
	}
	fmt.Fprintf(&b, "\n%s\n\n%s\n", howSure, markdownText(strings.Join(d.Cautions, " ")))
	return b.String()
}
