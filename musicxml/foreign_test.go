package musicxml

import (
	"errors"
	"strings"
	"testing"
)

func TestForeignFiles(t *testing.T) {
	for begin, want := range map[string]string{
		"%PDF-1.7\n%\xe2\xe3":      "a PDF",
		"MThd\x00\x00\x00\x06":     "a MIDI file",
		"ID3\x04\x00":              "a sound file",
		"\xff\xfb\x90\x64":         "a sound file",
		"RIFF\x24\x08\x00\x00WAVE": "a sound file",
		"\x00\x00\x00\x20ftypisom": "a video or sound file",
		"\x89PNG\r\n\x1a\n":        "a picture",
		"\xff\xd8\xff\xe0":         "a picture",
	} {
		_, err := Read(strings.NewReader(begin+"rest"), "x.musicxml", Limits{})
		var unsupported *UnsupportedError
		if !errors.As(err, &unsupported) || unsupported.Error() != "x.musicxml: this is "+want+", not a MusicXML score" || unsupported.Hint == "" {
			t.Errorf("%q: %v", begin, err)
		}
	}
	if kind := foreign([]byte("<score-partwise/>")); kind != "" {
		t.Errorf("a score is taken for %s", kind)
	}
}
