package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"

	"hairpin/dynamics/advice"
	"hairpin/harmony/tonal"
	"hairpin/tools/fit/levels"
)

// chance is how often any beat of the phrase would do.
func chance(list []example) float64 {
	sum := 0.0
	for _, e := range list {
		hits := 0
		for i := range e.way.Beats {
			if e.meets(i) {
				hits++
			}
		}
		sum += float64(hits) / float64(len(e.way.Beats))
	}
	return sum / float64(len(list))
}

func summary(got []told) string {
	return fmt.Sprintf("%.3f", rate(got, func(told) bool { return true }))
}

// rate is the share of hits among those wanted.
func rate(got []told, wanted func(told) bool) float64 {
	hits, n := 0.0, 0.0
	for _, g := range got {
		if wanted(g) {
			n++
			if g.hit {
				hits++
			}
		}
	}
	return hits / max(n, 1)
}

func bySet(w io.Writer, list []example, got []told) {
	var sets []string
	for _, e := range list {
		if !slices.Contains(sets, e.set) {
			sets = append(sets, e.set)
		}
	}
	for _, s := range sets {
		var own []told
		for i, e := range list {
			if e.set == s {
				own = append(own, got[i])
			}
		}
		fmt.Fprintf(w, "  %-26s %s of %d\n", s, summary(own), len(own))
	}
}

// calibrate fits the confidence on all folds but one, on goals that may be told.
func calibrate(list []example, got []told, without int) (offset, slope float64) {
	problem := optimize.Problem{Func: func(x []float64) float64 {
		sum := 0.0
		for i, g := range got {
			if list[i].fold == without || g.lack {
				continue
			}
			p := min(max(g.mass, 1e-6), 1-1e-6)
			z := x[0] + x[1]*math.Log(p/(1-p))
			if !g.hit {
				z = -z
			}
			sum += math.Log1p(math.Exp(-z))
		}
		return sum
	}}
	r, err := optimize.Minimize(problem, []float64{0, 1}, nil, &optimize.NelderMead{})
	if r == nil || err != nil {
		return 0, 1
	}
	return r.X[0], r.X[1]
}

// certainties are how sure each was told, the confidence from other works.
func certainties(list []example, got []told) []tonal.Certainty {
	out := make([]tonal.Certainty, len(got))
	for k := range levels.Folds {
		t := &advice.Table{}
		t.Offset, t.Slope = calibrate(list, got, k)
		for i, e := range list {
			if e.fold == k {
				out[i] = tonal.CertaintyOf(t.Confidence(got[i].mass))
			}
		}
	}
	return out
}

// calibration prints hits of goals that may be told by certainty, the confidence from other works.
func calibration(w io.Writer, list []example, got []told) {
	certainty := certainties(list, got)
	for _, c := range [...]tonal.Certainty{tonal.Sure, tonal.Likely, tonal.Unsure} {
		var own, marked []told // all, and those in phrases that hold the loudest mark of the piece
		for i, g := range got {
			if certainty[i] != c || g.lack {
				continue
			}
			own = append(own, g)
			if list[i].way.Softer != nil {
				marked = append(marked, g)
			}
		}
		fmt.Fprintf(w, "goal %-22s %s of %d\n", c.String(), summary(own), len(own))
		fmt.Fprintf(w, "  at the loudest mark       %s of %d\n", summary(marked), len(marked))
	}
	var firm []told
	by := 0.0
	var firmExamples []example
	for i, g := range got {
		if certainty[i] > tonal.Unsure && !g.lack {
			firm, firmExamples = append(firm, g), append(firmExamples, list[i])
		}
	}
	by = chance(firmExamples)
	fmt.Fprintf(w, "goal sure or likely         %s of %d, by chance %.3f\n", summary(firm), len(firm), by)
}
