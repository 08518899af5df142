package main

import (
	"fmt"
	"maps"
	"slices"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// band counts how often what was told with one certainty was right.
type band struct{ told, right int }

// bands counts the phrase ends found by genre and certainty, the end of the piece
// left out, and those of them that a cadence closes once more.
func bands(pieces []*piece) (ends, closes map[string][3]band) {
	ends, closes = map[string][3]band{}, map[string][3]band{}
	for _, p := range pieces {
		for _, ph := range p.analysis.Phrases {
			if len(p.inside([]score.Tick{ph.End})) == 0 {
				continue
			}
			right := p.matches([]score.Tick{ph.End}) > 0
			count(ends, p.genre, tonal.CertaintyOf(ph.Confidence), right)
			if ph.Cadence >= 0 {
				count(closes, p.genre, tonal.CertaintyOf(p.analysis.Cadences[ph.Cadence].Confidence), right)
			}
		}
	}
	return ends, closes
}

func count(in map[string][3]band, genre string, c tonal.Certainty, right bool) {
	b := in[genre]
	b[c].told++
	if right {
		b[c].right++
	}
	in[genre] = b
}

func printBands(title string, in map[string][3]band) {
	fmt.Println(title + ", right of told")
	for _, g := range slices.Sorted(maps.Keys(in)) {
		b := in[g]
		fmt.Printf("  %-10s", g)
		for _, c := range [...]tonal.Certainty{tonal.Sure, tonal.Likely, tonal.Unsure} {
			fmt.Printf("  %s %.2f of %d", c, share(b[c].right, b[c].told), b[c].told)
		}
		fmt.Println()
	}
}
