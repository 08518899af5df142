package report

import (
	"strings"
	"unicode/utf8"
)

// wrapText breaks a text into lines of at most width runes. Blanks in front
// stay; lines after the first are indented.
func wrapText(text string, width int, indent string) string {
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
