package main

import (
	"fmt"

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

// question is one of the two regressions: its inputs, its probability, its answer.
type question struct {
	of    func(decode.Doubt) inputs
	odds  func(inputs, decode.Doubt) float64
	right func(judged) bool
}

// fitOdds fits the coefficients of both regressions.
func fitOdds(data []judged) (o decode.Odds, err error) {
	chord := question{decode.Doubt.ChordInputs, func(w inputs, d decode.Doubt) float64 { return decode.Odds{Chord: w}.ChordRight(d) }, func(j judged) bool { return j.chordOK }}
	key := question{decode.Doubt.KeyInputs, func(w inputs, d decode.Doubt) float64 { return decode.Odds{Key: w}.KeyRight(d) }, func(j judged) bool { return j.keyOK }}
	if o.Chord, err = chord.regress(data); err != nil {
		return o, err
	}
	o.Key, err = key.regress(data)
	return o, err
}

// regress is a weighted logistic regression by Newton steps, a hair of ridge.
func (q question) regress(data []judged) (w inputs, err error) {
	const steps, ridge = 30, 1e-3
	n := len(w)
	for step := 0; step < steps; step++ {
		grad, hess := mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
		for i := range n {
			hess.SetSym(i, i, ridge)
		}
		for _, j := range data {
			x := q.of(j.Doubt)
			p := q.odds(w, j.Doubt)
			err := -p
			if q.right(j) {
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
