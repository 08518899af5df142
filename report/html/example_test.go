package html_test

import (
	"fmt"
	"strings"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/html"
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
	var b strings.Builder
	if err := html.Write(&b, r, html.Pictures{}); err != nil { // without staves, on a ruler
		fmt.Println(err)
	}
	fmt.Println(strings.Count(b.String(), "<h1>"), "page,", strings.Count(b.String(), " src="), "other files")
	// Output: 1 page, 0 other files
}
