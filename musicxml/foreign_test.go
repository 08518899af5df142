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

// A file called .mxl that is no zip archive is told so; a plain document under
// that name is read.
func TestMisnamedContainer(t *testing.T) {
	for _, begin := range []string{"Dear Anna", "\x00\x01\x02", "\xff\xfb no, a sound"} {
		_, err := Read(strings.NewReader(begin), "x.mxl", Limits{})
		if err == nil || strings.Contains(err.Error(), "no zip archive") == strings.HasPrefix(begin, "\xff\xfb") {
			t.Errorf("%q: %v", begin, err)
		}
	}
	for _, begin := range []string{"", "\uFEFF", " \n"} {
		if _, err := Read(strings.NewReader(begin+inMeasure(plainNote)), "x.MXL", Limits{}); err != nil {
			t.Errorf("a document after %q: %v", begin, err)
		}
	}
	if _, err := Read(strings.NewReader("Dear Anna"), "x.musicxml", Limits{}); err == nil || strings.Contains(err.Error(), "zip") {
		t.Errorf("under another name: %v", err)
	}
}
