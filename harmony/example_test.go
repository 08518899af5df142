package harmony_test

import (
	"fmt"

	"hairpin/harmony"
	"hairpin/musicxml"
)

// Everything heard in a demo score: home key, first cadence, and where the tension is highest.
func ExampleAnalyse() {
	f, err := musicxml.Open("../testdata/song-ferry-lamp.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := harmony.Analyse(f.Score, harmony.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(a.Home.Name())
	fmt.Println(f.Score.At(a.Cadences[0].At), a.Cadences[0].Kind)
	peak := a.Moments[0]
	for _, m := range a.Moments {
		if m.Tension.Total > peak.Tension.Total {
			peak = m
		}
	}
	fmt.Printf("%v %.0f\n", f.Score.At(peak.Start), peak.Tension.Total)
	// Output:
	// Eb major
	// 8:1 half
	// 23:1 100
}
