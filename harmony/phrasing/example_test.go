package phrasing_test

import (
	"fmt"

	"hairpin/harmony/phrasing"
	"hairpin/musicxml"
)

// The phrases of a demo score by pauses, text and returns alone: without chords no
// cadence can speak for an end.
func ExampleFind() {
	f, err := musicxml.Open("../../testdata/song-ferry-lamp.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	phrases, _ := phrasing.Find(f.Score, 0, nil, phrasing.DefaultWeights())
	for _, p := range phrases[:2] {
		fmt.Println(f.Score.At(p.Start), p.Why)
	}
	// Output:
	// 1:1 the leading line comes in
	// 4:3 long note, the words pause
}
