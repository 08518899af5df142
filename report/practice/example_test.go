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
	sheet, err := practice.Steps(r, practice.Plan{Rests: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sheet.Score.Title)
	fmt.Println(len(sheet.Score.Measures), "measures") // 8 + 4 + 4 + 4 and three of rest
	// Output:
	// Below the Weir, practice of mm. 1–4
	// 23 measures
}
