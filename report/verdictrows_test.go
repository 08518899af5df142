package report

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"hairpin/dynamics/verdict"
	"hairpin/harmony/tonal"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// The rows of the demo scores that two readers labelled from the notes alone
// (dynamics/verdict/testdata/README.md): what is called sure or likely agrees
// with one of them, and so do four in five of the printed movements and of all
// verdicts.
func TestLabelledRowsOfTheDemos(t *testing.T) {
	rows, pages, kinds := 0, 0, 0
	for _, row := range labelledRows(t) {
		name, own := strings.CutSuffix(row["score"], ".musicxml")
		if !own || !slices.Contains(demo.Names(), name) || row["split"] != "build" {
			continue
		}
		r, err := New(demo.Score(t, name), Options{})
		if err != nil {
			t.Fatal(err)
		}
		rows++
		v := verdict.Over(r.Score, r.Harmony, r.Page, quarter(t, r.Score, row["start"]), quarter(t, r.Score, row["end"]))
		if page := string(v.Page.Kind); page == row["page_a"] || page == row["page_b"] {
			pages++
		}
		if kind := string(v.Kind); kind == row["verdict_a"] || kind == row["verdict_b"] {
			kinds++
		} else if v.Certainty > tonal.Unsure {
			t.Errorf("%s: %s, %s; the readers say %s, %s", row["id"], v.Kind, v.Certainty, row["verdict_a"], row["verdict_b"])
		}
	}
	if rows < 20 || 5*pages < 4*rows || 5*kinds < 4*rows {
		t.Errorf("of %d rows %d movements and %d verdicts agree with a reader", rows, pages, kinds)
	}
}

func labelledRows(t *testing.T) []map[string]string {
	t.Helper()
	f, err := os.Open("../dynamics/verdict/testdata/verdicts.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comma = '\t'
	lines, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, name := range lines[0] {
			row[name] = line[i]
		}
		out = append(out, row)
	}
	return out
}

// quarter is a place that a row counts in quarters.
func quarter(t *testing.T, s *score.Score, text string) score.Tick {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return score.Tick(v*float64(s.Division) + 0.5)
}
