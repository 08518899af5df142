package report

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"strconv"
)

// Visible is a text as it can be shown on a terminal: what would act on it or
// turn it round (control characters, marks of direction) and bytes that are no
// text are written out, \x1b or \u202e.
func Visible(s string) string {
	return spelled(s, func(r rune) bool { return strconv.IsPrint(r) || r == '\u00a0' || r == '\u202f' })
}

// InRow is a name as a row of a table for programs holds it: as it is, save that
// line breaks, tabs and bytes that are no text are written out, \x09.
func InRow(s string) string {
	return spelled(s, func(r rune) bool { return r != '\n' && r != '\r' && r != '\t' && r != 0 })
}

func spelled(s string, plain func(rune) bool) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1, r < utf8.RuneSelf && !plain(r):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case !plain(r) && r > 0xffff:
			fmt.Fprintf(&b, `\U%08x`, r)
		case !plain(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteString(s[i : i+n])
		}
		i += n
	}
	return b.String()
}
