package report

import (
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Names is a way to name notes.
type Names string

// The ways to name notes, each as taught where it is used (common practice, no source).
const (
	English Names = ""         // C, F♯, B♭, B
	German  Names = "de"       // C, Fis, B, H
	FixedDo Names = "fixed-do" // do, fa♯, si♭, si
)

// ParseNames reads "en", "de" or "fixed-do".
func ParseNames(s string) (Names, bool) {
	switch s {
	case "en", "":
		return English, true
	case "de", "fixed-do":
		return Names(s), true
	}
	return English, false
}

// Note names a pitch class: "F♯", "Fis", "Fa♯".
func (n Names) Note(c score.Class) string {
	switch n {
	case German:
		return germanNote(c)
	case FixedDo:
		return [...]string{"Do", "Re", "Mi", "Fa", "Sol", "La", "Si"}[c.Step()] + signs(c.Alter())
	}
	return c.String()[:1] + signs(c.Alter())
}

func signs(alter int) string {
	if alter < 0 {
		return strings.Repeat("♭", -alter)
	}
	return strings.Repeat("♯", alter)
}

// germanNote adds -is and -es; E and A lose a vowel, B flat is B and B natural H.
func germanNote(c score.Class) string {
	letter, alter := c.String()[:1], c.Alter()
	switch {
	case letter == "B" && alter == -1:
		return "B"
	case letter == "B":
		letter = "H"
	}
	switch {
	case alter > 0:
		return letter + strings.Repeat("is", alter)
	case alter == 0:
		return letter
	case letter == "E" || letter == "A":
		return letter + "s" + strings.Repeat("es", -alter-1)
	}
	return letter + strings.Repeat("es", -alter)
}

// Key names a key in full: "F♯ minor", "Fis minor", "Fa♯ minor". Only notes are
// named in another way; all other words stay English.
func (n Names) Key(k tonal.Key) string {
	if k.Minor {
		return n.Note(k.Tonic) + " minor"
	}
	return n.Note(k.Tonic) + " major"
}

// ShortKey names a key by its tonic: capital for major, small for minor.
func (n Names) ShortKey(k tonal.Key) string {
	if k.Minor {
		return strings.ToLower(n.Note(k.Tonic))
	}
	return n.Note(k.Tonic)
}
