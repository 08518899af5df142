package musicxml

import (
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// encoding is how the document's bytes stand for characters.
type encoding struct {
	kind encodingKind
	bom  bool // the document begins with a byte order mark
}

type encodingKind int

const (
	utf8Text encodingKind = iota
	utf16LE
	utf16BE
	latin1
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
	case "iso-8859-1", "iso8859-1", "iso_8859-1", "latin1", "latin-1", "l1":
		enc.kind = latin1
	case "utf-16", "utf-16le", "utf-16be":
		// The declaration was read as bytes, so it is wrong about itself.
	default:
		return "", enc, &UnsupportedError{Text: "the encoding " + short(declared) + " is not read", Hint: "save the file as UTF-8"}
	}
	if enc.kind == latin1 && !enc.bom {
		return decodeLatin1(b), enc, nil
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
		return encoding{utf8Text, true}
	case has("\xff\xfe"):
		return encoding{utf16LE, true}
	case has("\xfe\xff"):
		return encoding{utf16BE, true}
	case has("<\x00"):
		return encoding{utf16LE, false}
	case has("\x00<"):
		return encoding{utf16BE, false}
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

func decodeLatin1(b []byte) string {
	var s strings.Builder
	s.Grow(len(b) + len(b)/16)
	for _, c := range b {
		s.WriteRune(rune(c))
	}
	return s.String()
}

func decode16(b []byte, enc encoding) (string, error) {
	if enc.bom {
		b = b[2:]
	}
	if len(b)%2 != 0 {
		return "", &MalformedError{Text: "half a UTF-16 character at its end"}
	}
	order := enc.order()
	var s strings.Builder
	s.Grow(len(b)/2 + len(b)/16)
	for i := 0; i < len(b); i += 2 {
		r := rune(order.Uint16(b[i:]))
		if utf16.IsSurrogate(r) {
			low := rune(0)
			if i += 2; i < len(b) {
				low = rune(order.Uint16(b[i:]))
			}
			if r = utf16.DecodeRune(r, low); r == utf8.RuneError {
				return "", &MalformedError{Text: "half a UTF-16 surrogate pair"}
			}
		}
		s.WriteRune(r)
	}
	return s.String(), nil
}

// byteOrder both reads and appends.
type byteOrder interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

func (e encoding) order() byteOrder {
	if e.kind == utf16BE {
		return binary.BigEndian
	}
	return binary.LittleEndian
}

// encodeText is the inverse of decodeText. A character that the encoding
// cannot hold becomes a character reference.
func encodeText(text string, e encoding) []byte {
	switch e.kind {
	case utf16LE, utf16BE:
		return encode16(text, e)
	case latin1:
		if !e.bom {
			return encodeSmall(text, 0xff)
		}
	case ascii:
		if !e.bom {
			return encodeSmall(text, 0x7f)
		}
	}
	if e.bom {
		text = "\xef\xbb\xbf" + text
	}
	return []byte(text)
}

func encode16(text string, e encoding) []byte {
	out := make([]byte, 0, 2*len(text)+2)
	if e.bom {
		out = e.order().AppendUint16(out, 0xfeff)
	}
	for _, r := range text {
		if r >= 0x10000 {
			hi, lo := utf16.EncodeRune(r)
			out = e.order().AppendUint16(out, uint16(hi))
			r = lo
		}
		out = e.order().AppendUint16(out, uint16(r))
	}
	return out
}

func encodeSmall(text string, last rune) []byte {
	out := make([]byte, 0, len(text))
	for _, r := range text {
		if r <= last {
			out = append(out, byte(r))
		} else {
			out = fmt.Appendf(out, "&#%d;", r)
		}
	}
	return out
}
