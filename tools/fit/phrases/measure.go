package main

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"hairpin/harmony/phrasing"
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

// measure finds the phrases of every piece with the same weights and counts.
func measure(pieces []*piece, w phrasing.Weights) tally {
	return measureEach(pieces, func(*piece) phrasing.Weights { return w })
}

// measureEach finds the phrases of every piece with weights of its own and counts.
func measureEach(pieces []*piece, weights func(*piece) phrasing.Weights) tally {
	t := tally{}
	for _, p := range pieces {
		w := weights(p)
		p.analysis.Phrases, p.analysis.Cadences = phrasing.FindOn(p.page, p.analysis.Chords, w)
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
		from, to := p.spanOf(t)
		for j < len(found) && found[j] < from {
			j++
		}
		if j < len(found) && found[j] <= to {
			n++
			j++
		}
	}
	return n
}

// lengths counts, for each genre, how long the phrases found last, in measures.
func lengths(pieces []*piece) []string {
	count := map[string]map[int]int{}
	for _, p := range pieces {
		if count[p.genre] == nil {
			count[p.genre] = map[int]int{}
		}
		for _, ph := range p.analysis.Phrases {
			count[p.genre][p.measures(ph)]++
		}
	}
	var out []string
	for _, g := range slices.Sorted(maps.Keys(count)) {
		line := g + ", measures × phrases:"
		for _, n := range slices.Sorted(maps.Keys(count[g])) {
			line += fmt.Sprintf(" %d×%d", n, count[g][n])
		}
		out = append(out, line)
	}
	return out
}

// measures is the length of a phrase in measures of its start, rounded.
func (p *piece) measures(ph phrasing.Phrase) int {
	m := p.score.Measures[p.score.MeasureAt(ph.Start)]
	return int(math.Round(float64(ph.End-ph.Start) / float64(max(m.Nominal, m.Length, 1))))
}
