package events_test

import (
	"fmt"

	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/musicxml"
)

// The three most telling events of a demo score.
func ExampleRank() {
	f, err := musicxml.Open("../../testdata/song-ferry-lamp.musicxml")
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := harmony.Analyse(f.Score, harmony.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range events.Rank(events.Find(f.Score, a))[:3] {
		fmt.Println(f.Score.At(e.Start), e.Kind, "in", e.Key.Name())
	}
	// Output:
	// 23:1 augmented sixth in C minor
	// 29:1 walking bass line in Eb major
	// 39:1 borrowed chord in Eb major
}
