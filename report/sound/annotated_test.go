package sound_test

import (
	"bytes"
	"errors"
	"testing"

	"hairpin/report"
	"hairpin/report/annotate"
	"hairpin/report/internal/demo"
	"hairpin/report/sound"
)

// A score with our layers in it sounds as the score without them.
func TestAnnotatedScoreSoundsAsThePlainOne(t *testing.T) {
	for _, name := range demo.Names() {
		plain, err := report.New(demo.Score(t, name), report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		f, err := annotate.Add(plain, plain.File, annotate.Annotation{Layers: annotate.Layers()})
		if err != nil {
			t.Fatal(err)
		}
		again, err := report.New(f, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var a, b bytes.Buffer
		printed := sound.Listening{Level: sound.PrintedLevel}
		if err := errors.Join(sound.WriteMIDI(&a, plain, printed), sound.WriteMIDI(&b, again, printed)); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: annotations of ours change what sounds", name)
		}
	}
}
