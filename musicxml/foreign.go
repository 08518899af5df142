package musicxml

import (
	"bytes"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"
)

// foreign names the kind of a file that is surely no score by its first bytes,
// "" for any other. The signatures are those of the formats' own definitions
// (common practice, no source).
func foreign(b []byte) string {
	kinds := [...]struct {
		offset       int
		begins, kind string
	}{
		{0, "%PDF-", "a PDF"},
		{0, "\x1f\x8b", "a gzip archive"}, {0, "Rar!", "a RAR archive"}, {0, "7z\xbc\xaf", "a 7z archive"},
		{0, "MThd", "a MIDI file"},
		{0, "ID3", "a sound file"}, {0, "\xff\xfb", "a sound file"}, {0, "RIFF", "a sound file"}, {0, "OggS", "a sound file"}, {0, "fLaC", "a sound file"},
		{4, "ftyp", "a video or sound file"},
		{0, "\x89PNG", "a picture"}, {0, "\xff\xd8\xff", "a picture"}, {0, "GIF8", "a picture"},
	}
	for _, k := range kinds {
		if len(b) > k.offset && bytes.HasPrefix(b[k.offset:], []byte(k.begins)) {
			return k.kind
		}
	}
	return ""
}

// misnamed is the error for a file that is no document of markup: a web page, plain text,
// or one whose name ends in .mxl, as compressed scores do, and which is no zip archive; nil
// for any other.
func misnamed(b []byte, name string) error {
	if isContainer(b) || foreign(b) != "" {
		return nil
	}
	text := bytes.TrimLeft(bytes.TrimPrefix(b, []byte("\uFEFF")), " \t\r\n")
	switch {
	case webPage(text):
		return notAScore("a web page")
	case len(text) == 0 || sniff(b).kind != utf8Text || text[0] == '<':
		return nil // an uncompressed document, whatever its name: it is read all the same
	case strings.EqualFold(path.Ext(name), ".mxl"):
		return &MalformedError{Text: "the name says it is compressed, but it is no zip archive; perhaps its transfer was cut off or changed it"}
	case utf8.Valid(text) && !bytes.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && !unicode.IsSpace(r) }):
		return notAScore("plain text")
	}
	return nil
}

// webPage reports whether a text begins as a page of the web does.
func webPage(text []byte) bool {
	head := strings.ToLower(string(text[:min(len(text), 15)]))
	return strings.HasPrefix(head, "<!doctype html") || strings.HasPrefix(head, "<html")
}

// notAScore is the error for a file of another kind.
func notAScore(kind string) error {
	return &UnsupportedError{
		Text: "this is " + kind + ", not a MusicXML score",
		Hint: "export MusicXML from the program the score was written in; pictures and sounds cannot be read",
	}
}
