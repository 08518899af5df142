package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/tonal"
	"hairpin/tools/fit/levels"
)

// crestPull draws both weights toward 0; chosen without a search.
const crestPull = 1.0

// crest is a piece with the measures that its players make loudest.
type crest struct {
	of   advice.Crests
	fold int
	high []bool // by measure: among the loudest twentieth
	n    int    // how many are
}

// crests fits the loudest measure of a piece, and prints how often it or a neighbour is
// among the loudest twentieth of players' measures, works left out in turn.
func crests(w io.Writer, pieces []*heard, t *advice.Table) error {
	fmt.Fprintf(w, "loudest measure or a neighbour among players' loudest twentieth, %d pieces left out in turn\n", len(pieces))
	var all []crest
	var list []example
	var got []told
	var err error
	for _, a := range []struct {
		name string
		of   []shaping.Cause
	}{{"tension alone", []shaping.Cause{shaping.ByTension}}, {"page alone", []shaping.Cause{shaping.ByPage}}, {"all", nil}} {
		all = crestsOf(pieces, a.of)
		if list, got, err = crestsLeftOut(all); err != nil {
			return err
		}
		fmt.Fprintf(w, "%-28s %s, by chance %.3f\n", a.name, summary(got), byChance(all))
	}
	crestTiers(w, list, got) // the last is the whole
	t.Loud, t.Place, err = fitCrests(all, -1)
	t.CrestOffset, t.CrestSlope = calibrate(list, got, -1)
	return err
}

// crestsLeftOut tells the loudest measure of every piece by weights from the other works,
// fold by fold.
func crestsLeftOut(all []crest) (list []example, got []told, err error) {
	for k := range levels.Folds {
		loud, place, err := fitCrests(all, k)
		if err != nil {
			return nil, nil, err
		}
		for _, c := range all {
			if c.fold == k {
				list, got = append(list, example{fold: k}), append(got, c.told(loud, place))
			}
		}
	}
	return list, got, nil
}

// crestTiers prints hits by certainty, the confidence from other works.
func crestTiers(w io.Writer, list []example, got []told) {
	tiers := map[tonal.Certainty][]told{}
	for i, c := range certainties(list, got) {
		tiers[c] = append(tiers[c], got[i])
	}
	for _, c := range [...]tonal.Certainty{tonal.Sure, tonal.Likely, tonal.Unsure} {
		fmt.Fprintf(w, "  %-26s %s of %d\n", c, summary(tiers[c]), len(tiers[c]))
	}
}

func crestsOf(pieces []*heard, of []shaping.Cause) []crest {
	var out []crest
	for _, h := range pieces {
		loud := advice.Rounded(advice.Means(h.Score, ticks(h.Score, h.Onset), h.Level))
		sorted := slices.Sorted(slices.Values(loud))
		c := crest{of: h.material.Crests(of), fold: h.fold, high: make([]bool, len(loud))}
		least := sorted[len(sorted)-max(1, int(math.Round(float64(len(loud))/20)))]
		for i, x := range loud {
			if c.high[i] = x >= least; c.high[i] {
				c.n++
			}
		}
		out = append(out, c)
	}
	return out
}

// near reports whether a measure or a neighbour is among the loudest.
func (c crest) near(i int) bool {
	return slices.Contains(c.high[max(i-1, 0):min(i+2, len(c.high))], true)
}

func (c crest) told(loud, place float64) told {
	at, mass := advice.Crest(c.of.Chances(loud, place))
	return told{mass: mass, hit: c.near(at)}
}

func byChance(all []crest) float64 {
	sum := 0.0
	for _, c := range all {
		for i := range c.high {
			if c.near(i) {
				sum += 1 / float64(len(c.high)) / float64(len(all))
			}
		}
	}
	return sum
}

// fitCrests gives the loudest measures the greatest probability, on all folds but one (-1: all).
func fitCrests(all []crest, without int) (loud, place float64, err error) {
	problem := optimize.Problem{Func: func(x []float64) float64 {
		sum := crestPull / 2 * (x[0]*x[0] + x[1]*x[1])
		for _, c := range all {
			if c.fold == without {
				continue
			}
			for i, q := range c.of.Chances(x[0], x[1]) {
				if c.high[i] {
					sum -= math.Log(q+1e-12) / float64(c.n)
				}
			}
		}
		return sum
	}}
	r, err := optimize.Minimize(problem, []float64{1, 1}, nil, &optimize.NelderMead{})
	if r == nil || err != nil {
		return 0, 0, err
	}
	return r.X[0], r.X[1], nil
}
