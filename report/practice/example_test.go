package practice_test

import (
	"fmt"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/practice"
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
	sheet, err := practice.Ladder(r, practice.Plan{Rest: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sheet.Score.Title)
	// Output:
	// Below the Weir, practice of mm. 1–4
}
