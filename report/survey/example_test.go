package survey_test

import (
	"fmt"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/survey"
)

func Example() {
	f, err := musicxml.Open("../../testdata/quartet-below-the-weir.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := report.New(f, report.Options{Measures: "1-4"})
	if err != nil {
		fmt.Println(err)
		return
	}
	row := survey.NewRow(r)
	fmt.Println(row.Title, row.Measures, row.Home)
	// Output: Below the Weir 28 G major
}
