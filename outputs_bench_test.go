package hairpin_test

import (
	"fmt"
	"io"
	"testing"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/sound"
	"hairpin/report/survey"
	"hairpin/tools/scoregen"
)

// BenchmarkOutputs measures what each output costs once the reading is made.
func BenchmarkOutputs(b *testing.B) {
	for _, n := range [...]int{10, 100, 1000, 10000} {
		r, err := report.New(&musicxml.File{Name: "invention.musicxml", Score: scoregen.Piano(n, 1)}, report.Options{})
		if err != nil {
			b.Fatal(err)
		}
		for _, out := range [...]struct {
			what  string
			write func(io.Writer) error
		}{
			{"study-table", func(w io.Writer) error { return r.Study(w, "table") }},
			{"study-json", func(w io.Writer) error { return r.Study(w, "json") }},
			{"chords-tsv", func(w io.Writer) error { return r.Chords(w, "tsv") }},
			{"chords-table", func(w io.Writer) error { return r.Chords(w, "table") }},
			{"levels-tsv", func(w io.Writer) error { return r.Levels(w, "tsv") }},
			{"midi", func(w io.Writer) error { return sound.WriteMIDI(w, r, sound.Listening{Level: sound.ShapedLevel}) }},
			{"survey-row", func(w io.Writer) error { return survey.NewWriter(w, "ndjson", 80, false).Row(survey.NewRow(r)) }},
		} {
			b.Run(fmt.Sprintf("what=%s/measures=%d", out.what, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := out.write(io.Discard); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
