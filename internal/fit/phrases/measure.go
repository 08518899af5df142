package main

import (
	"fmt"
	"maps"
	"slices"

	"hairpin/harmony"
	"hairpin/score"
)

// counts compares phrase ends found with those marked.
type counts struct{ hit, found, marked int }

func (c counts) f() float64 {
	if c.found+c.marked == 0 {
		return 0
	}
	return 2 * float64(c.hit) / float64(c.found+c.marked)
}

// tally holds the counts of each genre.
type tally map[string]counts

func (t tally) add(u tally) {
	for g, c := range u {
		x := t[g]
		t[g] = counts{x.hit + c.hit, x.found + c.found, x.marked + c.marked}
	}
}

func (t tally) print(title string) {
	fmt.Println(title)
	for _, g := range slices.Sorted(maps.Keys(t)) {
		c := t[g]
		fmt.Printf("  %-10s marked %4d found %4d  precision %.3f recall %.3f F %.3f\n", g, c.marked, c.found,
			share(c.hit, c.found), share(c.hit, c.marked), c.f())
	}
}

func share(part, whole int) float64 { return float64(part) / float64(max(whole, 1)) }

// measure finds the phrases of every piece and counts.
func measure(pieces []*piece, w harmony.PhraseWeights) tally {
	t := tally{}
	for _, p := range pieces {
		p.analysis.FindPhrases(p.score, 0, w)
		var found []score.Tick
		for _, ph := range p.analysis.Phrases {
			found = append(found, ph.End)
		}
		found = p.inside(found)
		t.add(tally{p.genre: {p.matches(found), len(found), len(p.ends)}})
	}
	return t
}

// matches pairs the ends found with those marked, each once; both are sorted.
func (p *piece) matches(found []score.Tick) int {
	n, j := 0, 0
	for _, t := range p.ends {
		for j < len(found) && found[j] < t-p.within {
			j++
		}
		if j < len(found) && found[j] <= t+p.within {
			n++
			j++
		}
	}
	return n
}
