package report

import (
	"fmt"
	"slices"
	"strings"

	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
)

// formSentence says how the piece is built: its sections, or else its longest returns.
func (r *Reading) formSentence(w wholePiece) string {
	f := r.Harmony.Form
	switch {
	case f.Type == form.Variations:
		return r.variationsSentence(f.Sections)
	case daCapo(f):
		return r.danceSentence(f.Sections)
	case f.Type == form.Binary, f.Type == form.RoundedBinary, f.Type == form.BarForm:
		return r.repeatsSentence(f)
	case f.Outline != "":
		return r.outlineSentence(f)
	}
	if parts := r.partsSentence(f); parts != "" && (f.Type != "" || len(r.Score.Syllables) > 0) {
		return parts
	}
	var backs []string
	longest := oneReturn(r.Harmony.Form.Returns)
	slices.SortStableFunc(longest, func(a, b form.Return) int { return b.Count - a.Count })
	for _, x := range longest {
		if len(backs) < 2 && x.Count >= 2 && tonal.CertaintyOf(x.Certainty) > tonal.Unsure {
			backs = append(backs, r.returnWords(x))
		}
	}
	if names := r.partNames(f.Sections); len(names) > 0 {
		backs = append(backs, join(names))
	}
	if len(backs) == 0 {
		return r.noReturn()
	}
	return strings.Join(backs, "; ")
}

// oneReturn joins neighbouring returns that tell one stretch again at one distance and in one
// key: where only the octave differs, the music goes on. The distance is that of the longest.
func oneReturn(list []form.Return) (out []form.Return) {
	const gap = 1 // bar between them that may be new
	most := 0
	for _, x := range list {
		n := len(out) - 1
		if n < 0 || !goesOn(out[n], x, gap) {
			out, most = append(out, x), x.Count
			continue
		}
		last := &out[n]
		if x.Count > most {
			last.Steps, last.Semitones, most = x.Steps, x.Semitones, x.Count
		}
		last.Certainty = (last.Certainty*float64(last.Count) + x.Certainty*float64(x.Count)) / float64(last.Count+x.Count)
		last.Likeness = min(last.Likeness, x.Likeness)
		last.Count, last.First.End, last.Again.End = x.Bar+x.Count-last.Bar, x.First.End, x.Again.End
		if last.Kind != x.Kind {
			last.Kind = form.Varied
		}
	}
	return out
}

// goesOn reports whether return b goes on with what a tells, in the same key.
func goesOn(a, b form.Return, gap int) bool {
	between := b.Bar - a.Bar - a.Count
	return between >= 0 && between <= gap && b.FirstBar-a.FirstBar-a.Count == between && (b.Semitones-a.Semitones)%12 == 0 && (b.Steps-a.Steps)%7 == 0
}

// noReturn says of a piece of some length that nothing comes back in it. A few bars
// have no form to speak of, and a repeat sign brings all of it back.
func (r *Reading) noReturn() string {
	const least = 16 // measures
	if len(r.Score.Measures) < least || len(r.Harmony.Form.Returns) > 0 || len(r.Score.Repeats) > 0 {
		return ""
	}
	return "no section clearly comes back"
}

// versesSentence says how many verses are sung to the same music: written out, or, as their
// text stands in several lines under most notes, not (common practice, no source). Two
// lines that nothing repeats and nobody counts are mostly a text and its translation.
func (r *Reading) versesSentence() string {
	if f := r.Harmony.Form; verses(f.Sections) > 1 {
		return fmt.Sprintf("the song is strophic, %d verses to the same tune, written out: let each find its own colour", max(f.Verses, verses(f.Sections)))
	}
	var lines []int
	for _, y := range r.Score.Syllables {
		lines = append(lines, y.Verses)
	}
	slices.Sort(lines)
	n := len(lines)
	if n == 0 || r.Harmony.Form.Type == form.BarForm || lines[n/2] == 2 && len(r.Score.Repeats) == 0 && !strings.HasPrefix(r.Score.Syllables[0].Text, "1") {
		return ""
	}
	if lines[n/2] > 1 {
		return fmt.Sprintf("the song is strophic, %d verses to the same music: let each find its own colour", lines[n/2])
	}
	return ""
}

// verses is how many sections are verses.
func verses(list []form.Section) (n int) {
	for _, s := range list {
		if s.Name == form.Verse {
			n++
		}
	}
	return n
}

// partNumber is which of several verses, or of the variations, section i is, counted from
// 1; 0 if it is none.
func partNumber(list []form.Section, i int) (n int) {
	if name := list[i].Name; name != form.Variation && (name != form.Verse || verses(list) < 2) {
		return 0
	}
	for _, s := range list[:i+1] {
		if s.Name == list[i].Name {
			n++
		}
	}
	return n
}

// outlineSentence names the sections, neighbours of one letter as one, and what
// comes back: "A–B–A′: A mm. 1–33, B mm. 33–105, A′ mm. 106–121; 106 brings back 1, changed".
func (r *Reading) outlineSentence(f form.Form) string {
	const most = 7 // more sections than that nobody keeps in mind
	var letters, parts, backs []string
	unsure := false
	for i := 0; i < len(f.Sections); i++ {
		s, first := f.Sections[i], i
		i = runLast(f.Sections, i)
		if s.Letter != "" {
			letters = append(letters, letter(s.Letter, s.Prime))
		}
		parts = append(parts, sectionName(s)+" "+r.PhraseBars(s.Start, f.Sections[i].End).Named())
		if s.Of >= 0 && s.Of < first {
			unsure = unsure || tonal.CertaintyOf(s.Certainty) == tonal.Unsure
			back := "m. " + r.PhraseBars(s.Start, s.End).First + " brings back m. " + r.PhraseBars(s.From, s.End).First
			if s.Prime {
				back += ", changed"
			}
			backs = append(backs, back)
		}
	}
	form, list := strings.Join(letters, "–"), ": "+strings.Join(parts, ", ")
	if len(parts) > most {
		list = ""
	}
	switch {
	case len(backs) == 0 && list == "": // a string of letters says nothing
		return ""
	case len(backs) == 0:
		return "the sections are " + join(parts) + ", and none comes back"
	case unsure:
		form = "the form may be " + r.typeWords(f.Type) + form
	default:
		form = "the form is " + r.typeWords(f.Type) + form
	}
	return form + list + "; " + strings.Join(backs[:min(3, len(backs))], "; ")
}

// typeWords are the trade's name of a form before its letters: "ternary, ". A dance whose opening
// comes back as a rondo's refrain does is not called one.
func (r *Reading) typeWords(t form.Type) string {
	switch m := r.Score.Measures[0]; {
	case t == form.Ternary:
		return "ternary, "
	case t == form.Rondo && m.Beats == 3:
		return "like a rondo's, "
	case t == form.Rondo:
		return "a rondo, "
	case t == form.WithTrio:
		return "that of a dance with its trio, "
	}
	return ""
}

// partsSentence names the parts of a piece whose form has names of its own: "the form is
// sonata form: exposition mm. 1–24 …", "prelude mm. 1–4, song mm. 5–37 …"; "" if no part
// has one.
func (r *Reading) partsSentence(f form.Form) string {
	parts := r.partNames(f.Sections)
	switch {
	case len(parts) < 2:
		return ""
	case f.Type != form.Sonata:
		return join(parts)
	case tonal.CertaintyOf(f.TypeCertainty) == tonal.Unsure:
		return "the form may be sonata form: " + join(parts)
	}
	return "the form is sonata form: " + join(parts) + r.startsBelow(f)
}

// startsBelow says of a recapitulation that it starts on the subdominant, "" if it does not.
func (r *Reading) startsBelow(f form.Form) string {
	i := slices.IndexFunc(f.Sections, func(s form.Section) bool { return s.Subdominant })
	if i < 0 {
		return ""
	}
	text := "; the recapitulation starts on the subdominant"
	if key := r.keyOn(r.Harmony.Home.Tonic-1, f.Sections[i].Start); key != "" {
		text += ", " + key
	}
	return text + ": the theme is back, but not yet at home, the surprise of the piece"
}

// partNames names the parts with their measures; what has no name is the song, between its
// prelude and postlude, and is not told in a piece without words.
func (r *Reading) partNames(list []form.Section) (parts []string) {
	named, sung := false, len(r.Score.Syllables) > 0
	for i := 0; i < len(list); {
		j := i + 1
		for list[i].Name == "" && j < len(list) && list[j].Name == "" {
			j++
		}
		name := string(list[i].Name)
		if n := partNumber(list, i); n > 0 {
			name += fmt.Sprint(" ", n)
		}
		named = named || name != ""
		if name == "" && sung {
			name = "song"
		}
		if bars := r.PhraseBars(list[i].Start, list[j-1].End); name != "" {
			parts = append(parts, name+" "+bars.Named())
		}
		i = j
	}
	if !named {
		return nil
	}
	return parts
}

// sectionName is a section's letter, with its name if it has one: "B (trio)".
func sectionName(s form.Section) string {
	text := letter(s.Letter, s.Prime)
	if text == "" {
		return string(s.Name)
	}
	if s.Name != "" {
		text += " (" + string(s.Name) + ")"
	}
	return text
}

// variationsSentence tells a theme and its variations by the measures with which they start.
func (r *Reading) variationsSentence(list []form.Section) string {
	text := ""
	var starts []string
	for _, s := range list {
		switch bars := r.PhraseBars(s.Start, s.End); s.Name {
		case form.TheTheme:
			text = "it is a theme, " + bars.Named()
		case form.Variation:
			starts = append(starts, bars.First)
		case form.Coda:
			starts = append(starts, "a coda "+bars.Named())
		}
	}
	n := len(starts)
	if last := list[len(list)-1]; last.Name == form.Coda {
		n--
		return text + fmt.Sprintf(", %d variations, from mm. %s on, and %s", n, join(starts[:n]), starts[n])
	}
	return text + fmt.Sprintf(", and %d variations, from mm. %s on", n, join(starts))
}

// repeatsSentence tells a form of two parts by its repeat signs.
func (r *Reading) repeatsSentence(f form.Form) string {
	a, b := r.PhraseBars(f.Sections[0].Start, f.Sections[0].End), r.PhraseBars(f.Sections[1].Start, f.Sections[1].End)
	if f.Type == form.BarForm {
		return fmt.Sprintf("it is in bar form, A–A–B: A %s, repeated, B %s", a.Named(), b.Named())
	}
	return fmt.Sprintf("the form is %s, two repeated parts: A %s, B %s", f.Type, a.Named(), b.Named())
}

// daCapo reports whether the first part is to be played again after a trio, and not written out.
func daCapo(f form.Form) bool {
	return f.Type == form.WithTrio && f.Sections[len(f.Sections)-1].Name == form.Trio
}

// danceSentence tells a dance and its trio, of which the dance is not written out again.
func (r *Reading) danceSentence(list []form.Section) string {
	first, trio := list[0], list[len(list)-1]
	name := "first part"
	dance := "a dance"
	if first.Name != "" {
		name, dance = string(first.Name), string(first.Name)
	}
	return fmt.Sprintf("the form is %s and trio: %s %s, trio %s; then the %s again", dance, name, r.PhraseBars(first.Start, first.End).Named(), r.PhraseBars(trio.Start, trio.End).Named(), name)
}
