package report_test

import (
	"fmt"
	"io"

	"hairpin/musicxml"
	"hairpin/report"
)

// Everything is computed once; every output is written from that.
func ExampleNew() {
	f, err := musicxml.Open("../testdata/quartet-below-the-weir.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := report.New(f, report.Options{Measures: "28"})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Score.Title, "is in", r.Harmony.Home.Name())
	last := r.Harmony.Chords[len(r.Harmony.Chords)-1]
	fmt.Println("It ends on", last.Roman())
	if err := r.Study(io.Discard, "markdown"); err != nil {
		fmt.Println(err)
	}
	// Output:
	// Below the Weir is in G major
	// It ends on I
}
