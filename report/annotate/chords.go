package annotate

import (
	"fmt"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/report"
	"hairpin/score"
)

// chords writes every chord as a symbol, in the written pitch of its part.
func (a *annotator) chords() {
	shift := writtenShift(a.r, a.top.part)
	var last string
	for _, c := range a.shownChords() {
		x := symbolXML(c, shift, a.opt.Names)
		if x != last && x != "" {
			a.put(a.top, c.Start, false, x)
		}
		last = x
	}
}

// writtenShift is how far a part's written pitch lies from concert pitch on the
// line of fifths, by its key signatures: 2 for a clarinet in B flat.
func writtenShift(r *report.Reading, part int) score.Class {
	for _, k := range r.Score.Keys {
		if k.Part == part && k.NonStandard == "" {
			return score.Class(k.Written - k.Fifths)
		}
	}
	return 0
}

// symbol is a chord in the words of the standard.
type symbol struct {
	root    score.Class
	kind    string
	text    string // what to print after the root
	degrees string
}

// symbolOf writes a chord as a symbol. Augmented sixths have no letter name of
// their own; they are written on their lowered sixth as they sound, with a
// minor seventh for the augmented sixth (common practice, no source).
func symbolOf(c tonal.Chord) (symbol, bool) {
	const flatFive = "<degree><degree-value>5</degree-value><degree-alter>-1</degree-alter><degree-type>alter</degree-type></degree>"
	const sharpFive = "<degree><degree-value>5</degree-value><degree-alter>1</degree-alter><degree-type>alter</degree-type></degree>"
	switch c.Quality {
	case tonal.Italian, tonal.German:
		return symbol{c.Root - 10, "dominant", "7", ""}, true
	case tonal.French:
		return symbol{c.Root - 6, "dominant", "7", flatFive}, true
	case tonal.AugmentedMajorSeventh:
		return symbol{c.Root, "major-seventh", "maj7", sharpFive}, true
	}
	kinds := map[tonal.Quality][2]string{
		tonal.Major: {"major", ""}, tonal.Minor: {"minor", "m"}, tonal.Diminished: {"diminished", "dim"},
		tonal.Augmented: {"augmented", "aug"}, tonal.DominantSeventh: {"dominant", "7"},
		tonal.MajorSeventh: {"major-seventh", "maj7"}, tonal.MinorSeventh: {"minor-seventh", "m7"},
		tonal.HalfDiminished: {"half-diminished", "m7♭5"}, tonal.DiminishedSeventh: {"diminished-seventh", "dim7"},
		tonal.MinorMajorSeventh: {"major-minor", "m(maj7)"}, tonal.Suspended: {"suspended-fourth", "sus4"},
	}
	k, ok := kinds[c.Quality]
	return symbol{c.Root, k[0], k[1], ""}, ok
}

func symbolXML(c tonal.Chord, shift score.Class, names report.Names) string {
	y, ok := symbolOf(c)
	if !ok {
		return ""
	}
	var b strings.Builder
	b.WriteString("<harmony>" + stepXML(names, "root", y.root+shift))
	fmt.Fprintf(&b, `<kind text="%s">%s</kind>`, y.text, y.kind)
	if c.Bass != y.root {
		b.WriteString(stepXML(names, "bass", c.Bass+shift))
	}
	b.WriteString(y.degrees + "</harmony>")
	return b.String()
}

// stepXML is a root or bass of a chord symbol; where the name is not the
// letter with its sign, the name is stated for printing.
func stepXML(n report.Names, element string, c score.Class) string {
	step, name := c.String()[:1], n.Note(c)
	text, alter := "", ""
	if n != report.English {
		text = fmt.Sprintf(` text="%s"`, name)
	}
	if a := c.Alter(); a != 0 {
		hidden := ""
		if n != report.English {
			hidden = ` print-object="no"`
		}
		alter = fmt.Sprintf("<%s-alter%s>%d</%s-alter>", element, hidden, a, element)
	}
	return fmt.Sprintf("<%s><%s-step%s>%s</%s-step>%s</%s>", element, element, text, step, element, alter, element)
}
