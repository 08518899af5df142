package engrave

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

var declared = regexp.MustCompile(`^<\?xml[^>]*?encoding\s*=\s*["']([A-Za-z0-9._-]+)["']`)

// utf8Bytes is the document in UTF-8 without byte order mark and declaration.
func utf8Bytes(src []byte) ([]byte, error) {
	switch {
	case bytes.HasPrefix(src, []byte{0xEF, 0xBB, 0xBF}):
		src = src[3:]
	case bytes.HasPrefix(src, []byte{0xFE, 0xFF}):
		src = fromUTF16(src[2:], binary.BigEndian)
	case bytes.HasPrefix(src, []byte{0xFF, 0xFE}):
		src = fromUTF16(src[2:], binary.LittleEndian)
	default:
		var err error
		if src, err = fromDeclared(src); err != nil {
			return nil, err
		}
	}
	src = bytes.TrimLeft(src, " \t\r\n")
	if bytes.HasPrefix(src, []byte("<?xml")) {
		end := bytes.Index(src, []byte("?>"))
		if end < 0 {
			return nil, errors.New("not well-formed XML: its declaration does not end")
		}
		src = src[end+2:]
	}
	if !utf8.Valid(src) || bytes.IndexByte(src, 0) >= 0 {
		return nil, errors.New("the score is not text in the encoding it says")
	}
	return src, nil
}

func fromDeclared(src []byte) ([]byte, error) {
	match := declared.FindSubmatch(src[:min(len(src), 200)])
	if match == nil {
		return src, nil
	}
	switch name := strings.ToLower(string(match[1])); name {
	case "utf-8", "utf8", "us-ascii", "ascii":
		return src, nil
	case "iso-8859-1", "latin1", "windows-1252":
		out := make([]rune, len(src))
		for i, b := range src {
			out[i] = rune(b)
		}
		return []byte(string(out)), nil
	default:
		return nil, fmt.Errorf("the score's encoding %q is not known; save it as UTF-8", name)
	}
}

func fromUTF16(src []byte, order binary.ByteOrder) []byte {
	units := make([]uint16, len(src)/2)
	for i := range units {
		units[i] = order.Uint16(src[2*i:])
	}
	return []byte(string(utf16.Decode(units)))
}
