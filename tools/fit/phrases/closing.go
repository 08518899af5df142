package main

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"hairpin/harmony/phrasing"
)

// sample is a formula with its signs, and whether it closes.
type sample struct {
	signs  phrasing.Signs
	closes bool
}

// The groups of formulas that are fitted, each by itself.
const (
	authentic = iota
	half
	withheld
	groups
)

func groupOf(kind string) int {
	switch kind {
	case "HC":
		return half
	case "DC", "EC":
		return withheld
	}
	return authentic
}

// samples are the formulas of one group in the pieces in which kinds are marked.
func samples(pieces []*piece, group int) []sample {
	var out []sample
	for _, p := range pieces {
		if !p.namesKinds() {
			continue
		}
		for _, c := range phrasing.Closings(p.score, 0, p.analysis.Chords, p.analysis.Phrases, phrasing.WeightsFor(p.score)) {
			kind := kindOf(c.Kind)
			if groupOf(kind) != group {
				continue
			}
			m, ok := p.markIn(c.At, c.End)
			out = append(out, sample{c.Signs, ok && groupOf(m.kind) == group})
		}
	}
	return out
}

// ridge is what half the square of a weight costs: the best of 1, 5 and 20 for works left out.
const ridge = 5

// fitSigns finds the weights of the signs by logistic regression with a ridge, one
// weight after the other by Newton's method. Fermatas and the end of the music
// stay as they are: the sonatas cannot tell.
func fitSigns(list []sample, w phrasing.Signs) phrasing.Signs {
	z := make([]float64, len(list))
	for i, s := range list {
		for k, x := range s.signs {
			z[i] += x * w[k]
		}
	}
	for range 60 {
		for k := range w {
			if phrasing.Sign(k) == phrasing.Fermata || phrasing.Sign(k) == phrasing.Final {
				continue
			}
			cost := float64(ridge)
			if phrasing.Sign(k) == phrasing.Always {
				cost = 0
			}
			slope, bend := cost*w[k], cost+1e-9
			for i, s := range list {
				x := s.signs[k]
				if x == 0 {
					continue
				}
				p := 1 / (1 + math.Exp(-z[i]))
				y := 0.0
				if s.closes {
					y = 1
				}
				slope += x * (p - y)
				bend += x * x * p * (1 - p)
			}
			by := slope / bend
			w[k] -= by
			for i, s := range list {
				z[i] -= by * s.signs[k]
			}
		}
	}
	return w
}

// fitClosings fits the signs of all groups.
func fitClosings(pieces []*piece, w phrasing.Weights) phrasing.Weights {
	w.Authentic = fitSigns(samples(pieces, authentic), w.Authentic)
	w.Half = fitSigns(samples(pieces, half), w.Half)
	w.Withheld = fitSigns(samples(pieces, withheld), w.Withheld)
	return w
}

// crossClosings finds the cadences of each work with signs fitted to the others.
func crossClosings(pieces []*piece) {
	works := map[string]bool{}
	for _, p := range pieces {
		if p.namesKinds() {
			works[p.group] = true
		}
	}
	var weights = map[string]phrasing.Weights{}
	for _, g := range slices.Sorted(maps.Keys(works)) {
		var rest []*piece
		for _, p := range pieces {
			if p.group != g {
				rest = append(rest, p)
			}
		}
		weights[g] = fitClosings(rest, phrasing.DefaultWeights())
	}
	all := fitClosings(pieces, phrasing.DefaultWeights())
	of := func(p *piece) phrasing.Weights {
		if w, ok := weights[p.group]; ok {
			return w
		}
		return all
	}
	measureEach(pieces, of).print("signs of closes fitted to the other works")
	printKinds(pieces, false)
	fmt.Println("authentic:", signText(all.Authentic))
	fmt.Println("half:", signText(all.Half))
	fmt.Println("withheld:", signText(all.Withheld))
	printLosses(pieces, weights)
}

// printLosses says how well each group's signs, fitted to the other works, foretell
// the closes: mean log loss, and that of the share of closes alone.
func printLosses(pieces []*piece, weights map[string]phrasing.Weights) {
	for group, name := range [groups]string{"authentic", "half", "withheld"} {
		n, closes, loss := 0, 0, 0.0
		for g, w := range weights {
			signs := [groups]phrasing.Signs{w.Authentic, w.Half, w.Withheld}[group]
			var own []*piece
			for _, p := range pieces {
				if p.group == g {
					own = append(own, p)
				}
			}
			for _, s := range samples(own, group) {
				z := 0.0
				for k, x := range s.signs {
					z += x * signs[k]
				}
				if n++; s.closes {
					closes++
					z = -z
				}
				loss += math.Log1p(math.Exp(z))
			}
		}
		q := float64(closes) / float64(n)
		fmt.Printf("  %-9s formulas %4d closes %3d  log loss %.4f, of the share alone %.4f\n", name, n, closes, loss/float64(n), -q*math.Log(q)-(1-q)*math.Log(1-q))
	}
}

func signText(w phrasing.Signs) string {
	var out []string
	for k, x := range w {
		if x != 0 {
			out = append(out, fmt.Sprintf("%v: %.1f", phrasing.Sign(k), x))
		}
	}
	return strings.Join(out, ", ")
}
