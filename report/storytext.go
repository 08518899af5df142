package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
)

// studyTable writes the reading for the music stand: the whole, then a line a
// phrase with its goal and one more for what matters there.
func (r *Reading) studyTable(w io.Writer, d *studyData) error {
	var b strings.Builder
	para := func(text string) { b.WriteString(WrapText(text, r.Options.Width, "") + "\n") }
	para(d.heading())
	para(d.overview())
	if d.Caution != "" {
		para("Note: " + d.Caution)
	}
	if text := d.Whole.paragraph(); text != "" {
		b.WriteByte('\n')
		para(text)
	}
	b.WriteByte('\n')
	para(d.places() + " " + d.proposes())
	texts, err := tables(d.phraseGrids(), r.Options.Width)
	if err != nil {
		return err
	}
	shown := d.shown()
	for i, t := range d.lines() {
		p := d.Phrases[t.from]
		if name := d.sectionAt(p.Onset); name != "" {
			b.WriteString("\n" + name + "\n")
		}
		b.WriteString(texts[i])
		if t.first < 0 && shown[t.from] {
			b.WriteString(WrapText("    "+p.Matters, r.Options.Width, "    ") + "\n")
		}
	}
	b.WriteString(d.closing(r.Options.Width))
	_, err = io.WriteString(w, b.String())
	return err
}

// studyMarkdown writes the reading as a handout: the whole, then a row a phrase.
func (r *Reading) studyMarkdown(w io.Writer, d *studyData) error {
	var b strings.Builder
	b.WriteString("# " + markdownText(d.heading()) + "\n\n" + markdownText(d.overview()) + "\n")
	if text := d.Whole.paragraph(); text != "" {
		b.WriteString("\n" + markdownText(text) + "\n")
	}
	b.WriteString("\n## Phrases\n\n" + d.places() + " " + d.proposes() + "\n\n")
	all := grid{}
	lines := d.lines()
	for i, g := range d.phraseGrids() {
		matters := ""
		if lines[i].first < 0 {
			matters = d.Phrases[lines[i].from].Matters
		}
		all.head = append(g.head, "what matters")
		all.rows = append(all.rows, append(g.rows[0], matters))
	}
	if err := all.markdown(&b); err != nil {
		return err
	}
	b.WriteString(d.closingMarkdown())
	_, err := io.WriteString(w, b.String())
	return err
}

// paragraph is what is told of the whole.
func (w wholePiece) paragraph() string { return strings.Join(w.Text, " ") }

// heading is a section's letter and name: "B, trio"; a prelude, a verse and the parts of a
// sonata go by their names alone.
func (s studySection) heading() string {
	switch form.Name(s.Name) {
	case "":
		return s.Letter
	case form.Trio:
		return s.Letter + ", " + s.Name
	}
	text := strings.ToUpper(s.Name[:1]) + s.Name[1:]
	if s.Number > 0 {
		text += fmt.Sprint(" ", s.Number)
	}
	return text
}

// SectionNames are the names of the sections of the form: "Section A", "Section B, trio", "Coda".
func (r *Reading) SectionNames() []string {
	var out []string
	for i, s := range r.Harmony.Form.Sections {
		text := studySection{Letter: letter(s.Letter, s.Prime), Name: string(s.Name), Number: partNumber(r.Harmony.Form.Sections, i)}.heading()
		if strings.HasPrefix(text, letter(s.Letter, s.Prime)) && s.Letter != "" {
			text = "Section " + text
		}
		out = append(out, text)
	}
	return out
}

// several reports whether the sections go by more than one letter, are verses or
// variations, or end in a coda: a song between its prelude and its postlude is one.
func (w wholePiece) several() bool {
	first := ""
	for _, s := range w.Sections {
		if first == "" {
			first = s.Letter
		}
		if s.Letter != "" && s.Letter != first || s.Number > 0 || form.Name(s.Name) == form.Coda {
			return true
		}
	}
	return false
}

// sectionAt heads the section that begins with a phrase, if there are several.
func (d *studyData) sectionAt(onset Quarters) string {
	if !d.Whole.several() {
		return ""
	}
	list := d.Whole.Sections
	i := slices.IndexFunc(list, func(s studySection) bool { return s.Onset == onset })
	if i < 0 || list[i].heading() == "" || list[i].goesOn {
		return ""
	}
	text := list[i].heading() + ", " + list[i].run
	for j := i; j < len(list) && (j == i || list[j].goesOn); j++ {
		if list[j].leads() {
			return text + ", towards " + list[j].Climax.place
		}
	}
	return text
}

// leads reports whether a section goes to a climax by the page's loudest mark, before its last measure.
func (s studySection) leads() bool {
	return s.Climax != nil && s.Climax.Mark != "" && s.Climax.Certainty != tonal.Unsure.String() && s.Climax.Onset < s.last
}

// goesTo is the goal of a phrase and how sure it is: "34:2, sure", "m. 34, likely", "perhaps
// m. 34", for what is not sure is not known to the beat, save in a short line, "perhaps 34:2";
// "falls" for one that is loudest at its first note and is not asked to grow. An unsure goal in
// the first measure of several is no way to go: it is left to the other formats.
func (p studyPhrase) goesTo() string {
	switch {
	case p.Lack == advice.Falls && !p.grows:
		return "falls"
	case p.Goal == nil, p.Goal.Certainty == tonal.Unsure.String() && p.opens && !p.brief:
		return "–"
	case p.Goal.Certainty == tonal.Unsure.String() && p.brief:
		return "perhaps " + p.goalAt
	case p.Goal.Certainty == tonal.Unsure.String():
		return "perhaps m. " + p.goalBar
	case p.Goal.Certainty == tonal.Likely.String():
		return "m. " + p.goalBar + ", likely"
	}
	return p.goalAt + ", " + p.Goal.Certainty
}

// Way says where a phrase goes and how loud it may be taken: "goes to 24:1, sure; proposed
// mf < f > mp"; "" where it goes nowhere on one level.
func (p studyPhrase) Way() string {
	var out []string
	switch to := p.goesTo(); to {
	case "–":
	case "falls":
		out = append(out, to)
	default:
		place, unsure := strings.CutPrefix(to, "perhaps ")
		out = append(out, "goes "+map[bool]string{true: "perhaps "}[unsure]+"to "+place)
	}
	if strings.ContainsAny(p.Loudness, "<>") {
		out = append(out, "proposed "+p.Loudness)
	}
	return strings.Join(out, "; ")
}

// phraseGrids is one grid a line of the table, all with the same columns.
func (d *studyData) phraseGrids() []grid {
	lines := d.lines()
	out := make([]grid, len(lines))
	for i, t := range lines {
		out[i] = grid{head: []string{"phrase", "goes to", "proposed", "ends"}, wrap: 3, bare: i > 0}
		p := d.Phrases[t.from]
		if t.first >= 0 {
			out[i].rows = [][]string{{t.bars(d.Phrases).String(), t.as(d.Phrases), "", ""}}
			continue
		}
		ends := cmp.Or(p.Told(), "–")
		if p.Doubted() {
			ends += "?"
		}
		out[i].rows = [][]string{{p.bars.String(), p.goesTo(), p.Loudness, ends}}
	}
	return aligned(out)
}
