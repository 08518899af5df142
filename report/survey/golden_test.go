package survey_test

import (
	"bytes"
	"testing"

	"hairpin/internal/golden"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/report/survey"
)

// The rows of demos and medleys, in every format. They are written anew with
// HAIRPIN_UPDATE=1 go test ./report/survey -run Golden.
func TestGoldenRows(t *testing.T) {
	var rows []survey.Row
	for _, name := range demo.Names() {
		r, err := report.New(demo.Score(t, name), report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, survey.NewRow(r))
		rows[len(rows)-1].File = name
	}
	for seed := range uint64(16) {
		r, err := report.New(demo.Medley(t, 700+seed), report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		rows = append(rows, survey.NewRow(r))
	}
	rows = append(rows, survey.Row{Schema: 1, File: "torn.musicxml", Error: "line 3: the document ends early"})
	for _, format := range []string{"table", "tsv", "csv", "ndjson"} {
		var b bytes.Buffer
		w := survey.NewWriter(&b, format, 90, true)
		for _, row := range rows {
			if err := w.Row(row); err != nil {
				t.Fatal(err)
			}
		}
		golden.File(t, "rows."+format+".txt", b.Bytes())
	}
}
