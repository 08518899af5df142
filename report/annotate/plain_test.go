package annotate_test

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"testing"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/annotate"
	"hairpin/report/internal/demo"
	"hairpin/report/sound"
)

// A score with our layers in it reads as the score without them.
func TestAnnotatedScoreReadsAsThePlainOne(t *testing.T) {
	for name, file := range scores(t) {
		plain, err := report.New(file, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		f, err := annotate.Add(plain, plain.File, annotate.Annotation{Layers: annotate.Layers(), Remarks: []annotate.Remark{{At: 0, Part: -1, Text: "ff, molto cresc."}}})
		if err != nil {
			t.Fatal(err)
		}
		again, err := report.New(f, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, write := range []func(*report.Reading, io.Writer) error{
			func(r *report.Reading, w io.Writer) error { return r.Study(w, "json") },
			func(r *report.Reading, w io.Writer) error { return r.Levels(w, "tsv") },
			func(r *report.Reading, w io.Writer) error { return r.Chords(w, "tsv") },
			func(r *report.Reading, w io.Writer) error {
				return sound.WriteMIDI(w, r, sound.Listening{Level: sound.PrintedLevel})
			},
		} {
			var a, b bytes.Buffer
			if err := errors.Join(write(plain, &a), write(again, &b)); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(a.Bytes(), b.Bytes()) {
				t.Errorf("%s: annotations of ours change the reading", name)
			}
		}
	}
}

// scores are the demos, as they are and without the marks of the page, where
// what we propose would be all there is.
func scores(t *testing.T) map[string]*musicxml.File {
	t.Helper()
	out := map[string]*musicxml.File{}
	marks := regexp.MustCompile(`(?s)<direction[ >].*?</direction>`)
	for _, name := range demo.Names() {
		out[name] = demo.Score(t, name)
		bare, err := musicxml.Read(bytes.NewReader(marks.ReplaceAll(out[name].Document(), nil)), name+" without marks", musicxml.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		out[name+" without marks"] = bare
	}
	return out
}
