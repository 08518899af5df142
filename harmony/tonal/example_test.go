package tonal_test

import (
	"fmt"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// F#, A, C and E flat over F# in G minor: a numeral, and back to its tones.
func ExampleNameChord() {
	g, _ := tonal.ParseKey("g")
	tones := []score.Class{6, 3, 0, -3} // steps on the line of fifths from C
	n, ok := tonal.NameChord(tones, tones[0], g)
	fmt.Println(g.Name(), n.Format(g), n.Tones(g), ok)
	// Output: G minor vii°7 [F# A C Eb] true
}

func ExampleParseNumeral() {
	c, _ := tonal.ParseKey("C")
	n, ok := tonal.ParseNumeral("V65/V", c)
	chord := tonal.Spell(n, c)
	fmt.Println(chord.Name(), chord.Bass, n.Region(c).Name(), ok)
	// Output: D7/F# F# G major true
}
