package main

import (
	"math"
	"testing"

	"hairpin/dynamics/verdict"
)

// Wilson's bounds against a published table: R. G. Newcombe 1998, Two-sided
// confidence intervals for the single proportion, Statistics in Medicine 17,
// table I, method 3; the values are from memory.
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		s    share
		want float64
	}{{share{81, 263}, 0.2553}, {share{15, 148}, 0.0624}, {share{0, 20}, 0}, {share{1, 29}, 0.0061}} {
		if got := wilson(c.s, 1.96); math.Abs(got-c.want) > 0.0001 {
			t.Errorf("%v: %.4f, want %.4f", c.s, got, c.want)
		}
	}
}

// toy are rows in which the first quantity alone tells the deed.
func toy() []example {
	n := len(verdict.QuantityNames())
	var out []example
	for i := range 40 {
		e := example{q: make([]float64, n)}
		e.q[0], e.q[1] = float64(i%2), float64(i%5)
		e.deeds[i%2] = 1
		out = append(out, e)
	}
	return out
}

// The gradient of the loss is its slope (central differences).
func TestLossAndItsGradient(t *testing.T) {
	list := toy()
	m := standard(list)
	w := make([]float64, (len(m.Mean)+1)*len(verdict.Chances{}))
	for i := range w {
		w[i] = 0.1 * math.Sin(float64(i))
	}
	grad := make([]float64, len(w))
	loss(list, m, w, grad)
	const h = 1e-5
	for i := range w {
		at := w[i]
		w[i] = at + h
		up := loss(list, m, w, nil)
		w[i] = at - h
		down := loss(list, m, w, nil)
		if w[i] = at; math.Abs((up-down)/2/h-grad[i]) > 1e-4 {
			t.Fatalf("weight %d: slope %.5f, gradient %.5f", i, (up-down)/2/h, grad[i])
		}
	}
}

// The fit finds what tells the deeds apart, and its table is read back.
func TestFitFindsWhatTells(t *testing.T) {
	list := toy()
	m := fit(list, "no score")
	for _, e := range list {
		c := m.Chances(e.q)
		if d := int(e.q[0]); c[d] < 0.7 || c[d] < c[1-d] {
			t.Fatalf("deed %d has chances %.2f", d, c)
		}
	}
}
