package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"hairpin/harmony/decode"
)

// judged is a doubt and, as an expert saw it, whether chord and key were right;
// weight is its share of time.
type judged struct {
	decode.Doubt
	chordOK, keyOK bool
	weight         float64
}

type inputs = [decode.OddsInputs]float64

// fitOdds fits the coefficients of both regressions.
func fitOdds(data []judged) (o decode.Odds, err error) {
	if o.Chord, err = regress(data, decode.Doubt.ChordInputs, func(j judged) bool { return j.chordOK }); err != nil {
		return o, err
	}
	o.Key, err = regress(data, decode.Doubt.KeyInputs, func(j judged) bool { return j.keyOK })
	return o, err
}

// regress is a weighted logistic regression by Newton steps, a hair of ridge.
func regress(data []judged, of func(decode.Doubt) inputs, right func(judged) bool) (w inputs, err error) {
	const steps, ridge = 30, 1e-3
	n := len(w)
	for step := 0; step < steps; step++ {
		grad, hess := mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
		for i := range n {
			hess.SetSym(i, i, ridge)
		}
		for _, j := range data {
			x := of(j.Doubt)
			p := probability(w, x)
			err := -p
			if right(j) {
				err++
			}
			v := mat.NewVecDense(n, x[:])
			grad.AddScaledVec(grad, j.weight*err, v)
			hess.SymRankOne(hess, j.weight*p*(1-p), v)
		}
		var delta mat.VecDense
		if err := delta.SolveVec(hess, grad); err != nil {
			return w, fmt.Errorf("the odds cannot be fitted on so little data: %w", err)
		}
		for i := range w {
			w[i] += delta.AtVec(i)
		}
	}
	return w, nil
}

func probability(w, x inputs) float64 {
	z := 0.0
	for i := range w {
		z += w[i] * x[i]
	}
	return 1 / (1 + math.Exp(-z))
}
