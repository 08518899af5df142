package annotate_test

import (
	"fmt"

	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/annotate"
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
	out, err := annotate.Add(r, f, annotate.Annotation{Layers: []annotate.Layer{annotate.NumeralLayer}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(out.Layers())
	// Output: [numerals]
}
