package annotate_test

import (
	"fmt"
	"testing"

	"hairpin/internal/golden"
	"hairpin/report"
	"hairpin/report/annotate"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// The score with every layer, of medleys. They are written anew with
// HAIRPIN_UPDATE=1 go test ./report/annotate -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(16) {
		r, err := report.New(demo.Medley(t, 400+seed), report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		remarks := []annotate.Remark{{At: r.Score.Measures[1].Start, Part: -1, Text: "breathe"}, {At: 0, Text: "sing"}}
		for _, layer := range annotate.Layers() {
			for _, short := range []bool{false, true} {
				opt := annotate.Annotation{Layers: []annotate.Layer{layer}, Shorthand: short, Remarks: remarks, Names: []report.Names{"", "de", "fixed-do"}[seed%3]}
				add(t, &sums, fmt.Sprint("medley ", seed, " ", layer, " short ", short), r, opt)
			}
		}
		under, err := annotate.Underlay(r, r.File, "", func(at score.Tick) score.Tick { return at })
		if err != nil {
			t.Fatal(err)
		}
		sums.Add(t, fmt.Sprint("medley ", seed, " underlay"), under.Document())
	}
	sums.File(t, "medleys.tsv")
}

func add(t *testing.T, sums *golden.Sums, name string, r *report.Reading, opt annotate.Annotation) {
	f, err := annotate.Add(r, r.File, opt)
	if err != nil {
		sums.Add(t, name, err)
		return
	}
	sums.Add(t, name, f.Document())
}
