package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"

	"hairpin/dynamics/advice"
	"hairpin/tools/fit/levels"
)

// pull draws every weight toward 0; chosen without a search, any value near it does as well.
const pull = 3.0

// told is a goal that was told for an example, by weights of other works.
type told struct {
	mass float64 // the model's probability
	hit  bool
	lack bool // it is not told: the phrase goes nowhere
}

// goals fits the goals, prints the ablations, and gives every piece the table of the other works.
func goals(w io.Writer, pieces []*heard) (*advice.Table, error) {
	list := examples(pieces)
	names, causes := advice.Quantities()
	fmt.Fprintf(w, "goal within a beat or a tenth of the phrase, %d phrases of %d works left out in turn; by chance %.3f\n", len(list), len(pieces), chance(list))
	var all []told
	for _, a := range ablations() {
		got, err := leftOut(list, a.mask(names, causes))
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(w, "%-28s %s\n", a.name, summary(got))
		all = got // the last is the whole
	}
	bySet(w, list, all)
	weights, err := fitWeights(list, -1, nil)
	if err != nil {
		return nil, err
	}
	t := &advice.Table{Weights: weights}
	t.Offset, t.Slope = calibrate(list, all, -1)
	calibration(w, list, all)
	return t, deal(pieces, list, all)
}

// ablation is a choice among what is weighed.
type ablation struct {
	name string
	of   []advice.Cause
	only string // one quantity alone
}

func ablations() []ablation {
	line := []advice.Cause{advice.ByLine}
	body := []advice.Cause{advice.ByLine, advice.ByTexture, advice.ByMetre, advice.ByPhrase}
	return []ablation{
		{"tension alone", nil, "tension"},
		{"harmony alone", []advice.Cause{advice.ByHarmony}, ""},
		{"melodic line alone", line, ""},
		{"line, texture, metre, phrase", body, ""},
		{"page alone", []advice.Cause{advice.ByPage}, ""},
		{"harmony and line", append([]advice.Cause{advice.ByHarmony}, body...), ""},
		{"line and page", append([]advice.Cause{advice.ByPage}, body...), ""},
		{"all", append([]advice.Cause{advice.ByPage, advice.ByHarmony}, body...), ""},
	}
}

func (a ablation) mask(names []string, causes []advice.Cause) []bool {
	out := make([]bool, len(names))
	for k := range names {
		out[k] = slices.Contains(a.of, causes[k]) || names[k] == a.only
	}
	return out
}

// leftOut tells the goal of every phrase by weights from the other works.
func leftOut(list []example, mask []bool) ([]told, error) {
	out := make([]told, len(list))
	for k := range levels.Folds {
		w, err := fitWeights(list, k, mask)
		if err != nil {
			return nil, err
		}
		for i, e := range list {
			if e.fold == k {
				at, chance, _ := e.way.Goal(w)
				out[i] = told{chance, e.meets(at), e.way.Lack(at) != ""}
			}
		}
	}
	return out, nil
}

// fitWeights maximises the probability that lies within the tolerance of the
// goals, on all folds but one (-1: all). Quantities not in the mask (nil: all) get 0.
func fitWeights(list []example, without int, mask []bool) ([]float64, error) {
	names, _ := advice.Quantities()
	problem := optimize.Problem{
		Func: func(w []float64) float64 { return loss(list, without, mask, w, nil) },
		Grad: func(grad, w []float64) { loss(list, without, mask, w, grad) },
	}
	r, err := optimize.Minimize(problem, make([]float64, len(names)), &optimize.Settings{GradientThreshold: 1e-2}, &optimize.LBFGS{})
	if r == nil {
		return nil, err
	}
	return r.X, nil // a line search that cannot go further has arrived
}

// loss is the negative log-likelihood with its pull, and its gradient if wanted.
func loss(list []example, without int, mask []bool, w, grad []float64) float64 {
	sum := 0.0
	for k := range w {
		if mask != nil && !mask[k] {
			w[k] = 0
		}
		sum += pull / 2 * w[k] * w[k]
		if grad != nil {
			grad[k] = pull * w[k]
		}
	}
	for _, e := range list {
		if e.fold != without {
			sum -= math.Log(e.likelihood(w, grad))
		}
	}
	for k := range grad {
		if mask != nil && !mask[k] {
			grad[k] = 0
		}
	}
	return sum
}

// likelihood is the probability within the tolerance of the goal; it takes the
// gradient of its logarithm off grad.
func (e example) likelihood(w, grad []float64) float64 {
	q := e.way.Chances(w)
	mass := 1e-12
	for i, x := range q {
		if e.meets(i) {
			mass += x
		}
	}
	for k := range grad {
		v := e.way.Values[k]
		for i, x := range q {
			grad[k] += x * v[i]
			if e.meets(i) {
				grad[k] -= x / mass * v[i]
			}
		}
	}
	return mass
}

// deal gives every piece a table from the other works, for its moves.
func deal(pieces []*heard, list []example, all []told) error {
	for k := range levels.Folds {
		w, err := fitWeights(list, k, nil)
		if err != nil {
			return err
		}
		t := &advice.Table{Weights: w}
		t.Offset, t.Slope = calibrate(list, all, k)
		for _, h := range pieces {
			if h.fold == k {
				h.table = t
			}
		}
	}
	return nil
}
