package musicxml

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	textencoding "golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// encoding is how the document's bytes stand for characters.
type encoding struct {
	kind  encodingKind
	table *charmap.Charmap // of oneByte
	bom   bool             // the document begins with a byte order mark
}

type encodingKind int

const (
	utf8Text encodingKind = iota
	utf16LE
	utf16BE
	oneByte // such as Latin-1 and windows-1252
	ascii
)

// decodeText turns a document's bytes into UTF-8 text without a byte order mark.
func decodeText(b []byte) (string, encoding, error) {
	enc := sniff(b)
	if enc.kind == utf16LE || enc.kind == utf16BE {
		text, err := decode16(b, enc)
		return text, enc, err
	}
	if enc.bom {
		b = b[3:]
	}
	switch declared := strings.ToLower(declaredEncoding(b)); declared {
	case "", "utf-8", "utf8":
	case "us-ascii", "ascii":
		if isASCII(b) {
			enc.kind = ascii
		}
	case "utf-16", "utf-16le", "utf-16be":
		// The declaration was read as bytes, so it is wrong about itself.
	default:
		table := tableOf(declared)
		if table == nil {
			return "", enc, &UnsupportedError{Text: "the encoding " + short(declared) + " is not read", Hint: "save the file as UTF-8"}
		}
		if !enc.bom {
			enc.kind, enc.table = oneByte, table
			text, err := decodeBytes(b, enc)
			return text, enc, err
		}
	}
	if i := invalidUTF8(b); i >= 0 {
		line := 1 + strings.Count(string(b[:i]), "\n")
		return "", enc, &MalformedError{Text: fmt.Sprintf("line %d: the byte %#x is not UTF-8, and no other encoding is declared", line, b[i])}
	}
	return string(b), enc, nil
}

// sniff tells the family of the encoding by the first bytes.
func sniff(b []byte) encoding {
	has := func(p string) bool { return len(b) >= len(p) && string(b[:len(p)]) == p }
	switch {
	case has("\xef\xbb\xbf"):
		return encoding{kind: utf8Text, bom: true}
	case has("\xff\xfe"):
		return encoding{kind: utf16LE, bom: true}
	case has("\xfe\xff"):
		return encoding{kind: utf16BE, bom: true}
	case has("<\x00"):
		return encoding{kind: utf16LE}
	case has("\x00<"):
		return encoding{kind: utf16BE}
	}
	return encoding{}
}

// declaredEncoding is what the XML declaration says, "" if nothing.
func declaredEncoding(b []byte) string {
	const most = 256
	head := string(b[:min(len(b), most)])
	end := strings.Index(head, "?>")
	if !strings.HasPrefix(head, "<?xml") || end < 0 {
		return ""
	}
	_, rest, ok := strings.Cut(head[:end], "encoding")
	rest = trim(rest)
	if !ok || rest == "" || rest[0] != '=' {
		return ""
	}
	rest = trim(rest[1:])
	if rest == "" || rest[0] != '"' && rest[0] != '\'' {
		return ""
	}
	name, _, _ := strings.Cut(rest[1:], rest[:1])
	return name
}

func invalidUTF8(b []byte) int {
	if utf8.Valid(b) {
		return -1
	}
	i := 0
	for i < len(b) {
		r, size := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && size <= 1 {
			break
		}
		i += size
	}
	return i
}

func isASCII(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// tableOf is the table of an encoding of one byte a character, by its declared
// name in lower case: "iso-8859-15", "windows-1252", "cp1252"; nil if there is none.
func tableOf(name string) *charmap.Charmap {
	plain := strings.NewReplacer("-", "", "_", "", " ", "")
	name = plain.Replace(name)
	switch {
	case name == "latin1", name == "l1":
		name = "iso88591"
	case strings.HasPrefix(name, "cp125"):
		name = "windows" + strings.TrimPrefix(name, "cp")
	}
	for _, e := range charmap.All {
		if t, ok := e.(*charmap.Charmap); ok && plain.Replace(strings.ToLower(t.String())) == name {
			return t
		}
	}
	return nil
}

func decodeBytes(b []byte, e encoding) (string, error) {
	out, err := e.table.NewDecoder().Bytes(b)
	if i := bytes.Index(out, []byte("\uFFFD")); err == nil && i >= 0 {
		line := 1 + bytes.Count(out[:i], []byte("\n"))
		err = &MalformedError{Text: fmt.Sprintf("line %d: a byte that stands for no character in %s", line, e.table)}
	}
	return string(out), err
}

func decode16(b []byte, e encoding) (string, error) {
	if e.bom {
		b = b[2:]
	}
	if len(b)%2 != 0 {
		return "", &MalformedError{Text: "half a UTF-16 character at its end"}
	}
	out, err := e.wide().NewDecoder().Bytes(b)
	if err != nil {
		return "", err
	}
	if back, err := e.wide().NewEncoder().Bytes(out); err != nil || !bytes.Equal(back, b) {
		return "", &MalformedError{Text: "half a UTF-16 surrogate pair"}
	}
	return string(out), nil
}

// wide is UTF-16 in the encoding's byte order; the mark is ours to handle.
func (e encoding) wide() textencoding.Encoding {
	if e.kind == utf16BE {
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM)
	}
	return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM)
}

// encodeText is the inverse of decodeText. A character that the encoding
// cannot hold becomes a character reference.
func encodeText(text string, e encoding) []byte {
	if e.bom {
		text = "\uFEFF" + text
	}
	var out string
	var err error
	switch e.kind {
	case utf16LE, utf16BE:
		out, err = e.wide().NewEncoder().String(text)
	case oneByte:
		out, err = textencoding.HTMLEscapeUnsupported(e.table.NewEncoder()).String(text)
	case ascii:
		return encodeASCII(text)
	default:
		return []byte(text)
	}
	if err != nil { // text is UTF-8, which all of them take
		return []byte(text)
	}
	return []byte(out)
}

func encodeASCII(text string) []byte {
	out := make([]byte, 0, len(text))
	for _, r := range text {
		if r < utf8.RuneSelf {
			out = append(out, byte(r))
		} else {
			out = fmt.Appendf(out, "&#%d;", r)
		}
	}
	return out
}
