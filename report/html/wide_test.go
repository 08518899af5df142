package html

import (
	"bytes"
	"fmt"
	"testing"

	"hairpin/internal/golden"
	"hairpin/report"
	"hairpin/report/internal/demo"
)

// The page of medleys without staves, what the local page is told, what is played.
// They are written anew with HAIRPIN_UPDATE=1 go test ./report/html -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(10) {
		f := demo.Medley(t, 800+seed)
		opt := report.Options{}
		if n := len(f.Score.Measures); seed%3 == 1 {
			opt.Measures = fmt.Sprintf("%s-%s", f.Score.Measures[n/4].Number, f.Score.Measures[n/2].Number)
		}
		r, err := report.New(f, opt)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint("medley ", seed, " ")
		var b bytes.Buffer
		if err := Write(&b, r, Pictures{Why: "left out"}); err != nil {
			t.Fatal(err)
		}
		sums.Add(t, name+"page", sheet.ReplaceAll(b.Bytes(), nil))
		live, err := InWords(r)
		if err != nil {
			t.Fatal(err)
		}
		sums.Add(t, name+"live", live)
		played, err := newPlayed(r)
		if err != nil {
			t.Fatal(err)
		}
		sums.Add(t, name+"played", played)
	}
	sums.File(t, "medleys.tsv")
}
