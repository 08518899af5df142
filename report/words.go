package report

import (
	"strings"
	"unicode/utf8"
)

// Words are the parts of a reading that need no picture.
type Words struct {
	Title, Composer string
	Overview        []string // sentences
	Suggestions     []Suggestion
	Cautions        []string
	Phrases         []studyPhrase
	Reader          string // how places, numbers and signs are to be read
}

// Words gathers what a page says before it draws.
func (r *Reading) Words() Words {
	d := r.study()
	return Words{
		Title: r.title(), Composer: d.Composer, Overview: append(append([]string{d.overview()}, d.Whole.Text...), d.shareSentence()),
		Suggestions: d.Suggestions, Cautions: d.Cautions, Phrases: d.Phrases, Reader: d.reader(),
	}
}

// WrapText breaks a text into lines of at most width runes. Blanks in front
// stay; lines after the first are indented.
func WrapText(text string, width int, indent string) string {
	var out strings.Builder
	line := len(text) - len(strings.TrimLeft(text, " "))
	out.WriteString(text[:line])
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case line+1+n > width:
			out.WriteString("\n" + indent)
			line = utf8.RuneCountInString(indent)
		default:
			out.WriteByte(' ')
			line++
		}
		out.WriteString(word)
		line += n
	}
	return out.String()
}
