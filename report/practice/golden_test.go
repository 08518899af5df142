package practice_test

import (
	"fmt"
	"testing"

	"hairpin/internal/golden"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/report/practice"
)

// The sheets of medleys. They are written anew with
// HAIRPIN_UPDATE=1 go test ./report/practice -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(40) {
		f := demo.Medley(t, 500+seed)
		opt := report.Options{}
		if n := len(f.Score.Measures); seed%2 == 1 {
			opt.Measures = fmt.Sprintf("%s-%s", f.Score.Measures[n/4].Number, f.Score.Measures[n/2].Number)
		}
		r, err := report.New(f, opt)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint("medley ", seed, " ")
		sheet(t, &sums, name+"reduction", func() (*musicxml.File, error) { return practice.Reduction(r, "") })
		sheet(t, &sums, name+"ladder", func() (*musicxml.File, error) { return practice.Ladder(r, practice.Plan{}) })
		sheet(t, &sums, name+"hardest", func() (*musicxml.File, error) {
			return practice.Ladder(r, practice.Plan{Hardest: 1 + int(seed%4), Rest: int(seed % 3)})
		})
	}
	sums.File(t, "medleys.tsv")
}

func sheet(t *testing.T, sums *golden.Sums, name string, make func() (*musicxml.File, error)) {
	f, err := make()
	if err != nil {
		sums.Add(t, name, err)
		return
	}
	sums.Add(t, name, f.Document())
}
