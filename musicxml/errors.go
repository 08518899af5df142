package musicxml

import "strings"

// Where says in which file, part and measure something was found; parts that
// are not known are empty.
type Where struct {
	File, Part, Measure string
}

// String is "song.mxl: part P1: measure 12".
func (w Where) String() string {
	s := make([]string, 0, 3)
	if w.File != "" {
		s = append(s, oneLine(w.File))
	}
	if w.Part != "" {
		s = append(s, "part "+clip(w.Part))
	}
	if w.Measure != "" {
		s = append(s, "measure "+clip(w.Measure))
	}
	return strings.Join(s, ": ")
}

func (w Where) prefix() string {
	if s := w.String(); s != "" {
		return s + ": "
	}
	return ""
}

// MalformedError says that the file is broken: not XML, a damaged container,
// or a value that is not what MusicXML allows. It is one line.
type MalformedError struct {
	Where
	Text string
}

func (e *MalformedError) Error() string { return e.prefix() + oneLine(e.Text) }

// UnsupportedError says that the file may be sound, but is not read: another
// kind of document or encoding, or larger than the [Limits]. It is one line.
type UnsupportedError struct {
	Where
	Text  string
	Hint  string // what to do about it, "" if nothing
	Limit string // which of the [Limits] the file is beyond, in lower case; "" if none
}

func (e *UnsupportedError) Error() string { return e.prefix() + oneLine(e.Text) }

// oneLine keeps text of the document from breaking an error message apart.
func oneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == 0xfffd {
			return ' '
		}
		return r
	}, s)
	return strings.Join(strings.Fields(s), " ")
}

// short quotes a piece of the document for a message.
func short(s string) string { return `"` + clip(s) + `"` }

// clip keeps a piece of the document from filling a message.
func clip(s string) string {
	const most = 40
	if len(s) > 4*most {
		s = s[:4*most]
	}
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return oneLine(s)
}

// clipAll clips the texts among the arguments of a message.
func clipAll(args []any) []any {
	out := make([]any, len(args))
	for i, a := range args {
		if s, ok := a.(string); ok {
			a = clip(s)
		}
		out[i] = a
	}
	return out
}
