package report

import (
	"bytes"
	"fmt"
	"io"
	"testing"

	"hairpin/report/internal/demo"
)

// What a player reads of the demo scores. After a change that is meant, write
// them anew with HAIRPIN_UPDATE=1 go test ./report/... -run Golden, and read the
// difference as a player would.
func TestGolden(t *testing.T) {
	for _, name := range demo.Names() {
		r, err := New(demo.Score(t, name), Options{Width: 80})
		if err != nil {
			t.Fatal(err)
		}
		for _, out := range []struct {
			ending string
			write  func(io.Writer) error
		}{
			{"study.txt", func(w io.Writer) error { return r.Study(w, "table") }},
			{"study.tsv", func(w io.Writer) error { return r.Study(w, "tsv") }},
			{"chords.tsv", func(w io.Writer) error { return r.Chords(w, "tsv") }},
			{"levels.tsv", func(w io.Writer) error { return r.Levels(w, "tsv") }},
			{"explain.txt", func(w io.Writer) error { return explainDownbeats(w, r) }},
		} {
			t.Run(name+"."+out.ending, func(t *testing.T) {
				var b bytes.Buffer
				if err := out.write(&b); err != nil {
					t.Fatal(err)
				}
				demo.Golden(t, "golden/"+name+"."+out.ending, b.Bytes())
			})
		}
	}
}

// explainDownbeats explains the first beat of every measure.
func explainDownbeats(w io.Writer, r *Reading) error {
	for _, m := range r.Score.Measures {
		at := r.Score.At(m.Start)
		fmt.Fprintf(w, "-- %s\n", at)
		if err := r.Explain(w, "table", at.String()); err != nil {
			return err
		}
	}
	return nil
}
