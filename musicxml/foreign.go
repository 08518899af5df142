package musicxml

import "bytes"

// foreign names the kind of a file that is surely no score by its first bytes,
// "" for any other. The signatures are those of the formats' own definitions
// (common practice, no source).
func foreign(b []byte) string {
	kinds := [...]struct {
		offset       int
		begins, kind string
	}{
		{0, "%PDF-", "a PDF"},
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

// notAScore is the error for a file of another kind.
func notAScore(kind string) error {
	return &UnsupportedError{
		Text: "this is " + kind + ", not a MusicXML score",
		Hint: "export MusicXML from the program the score was written in; pictures and sounds cannot be read",
	}
}
