package hearing_test

import (
	"fmt"

	"hairpin/harmony/hearing"
	"hairpin/harmony/tonal"
	"hairpin/musicxml"
)

// The first chords of a demo score, and the key it is at home in.
func ExampleChords() {
	f, err := musicxml.Open("../../testdata/song-ferry-lamp.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	chords, err := hearing.Chords(f.Score, tonal.Slices(f.Score, 0), nil, true)
	if err != nil {
		fmt.Println(err)
		return
	}
	home, _ := hearing.Home(chords, hearing.Keys(chords), nil)
	for _, c := range chords[:4] {
		fmt.Println(c.Key, c.Roman())
	}
	fmt.Println("home:", home.Name())
	// Output:
	// Eb I
	// Eb vi
	// Eb IV
	// Eb V7
	// home: Eb major
}
