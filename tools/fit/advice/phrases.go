package main

import (
	"math"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/score"
	"hairpin/tools/fit/levels"
)

// leastRows is how many beats a phrase has at least to be asked for its goal.
const leastRows = 8

// heard is a piece with what its phrases say, by weights of other works.
type heard struct {
	*levels.Piece
	fold     int
	material advice.Material
	ways     []advice.Way
	loud     []float64 // by row: mean loudness, smoothed over three beats
	table    *advice.Table
}

// example is a phrase with the place where its players are loudest.
type example struct {
	way        advice.Way
	fold, goal int
	set        string
}

// hear measures every piece, with the shaping's weights from the other works.
func hear(pieces []*levels.Piece) ([]*heard, error) {
	f := levels.New(pieces)
	out := make([]*heard, len(pieces))
	for k := range levels.Folds {
		w, err := f.Solve(k, nil)
		if err != nil {
			return nil, err
		}
		m := f.Model(w)
		for i, p := range pieces {
			if f.Fold[i] != k {
				continue
			}
			h := &heard{Piece: p, fold: k, loud: advice.Smooth(p.Level)}
			h.material = advice.Material{Score: p.Score, Analysis: p.Analysis, Page: page.Printed(p.Score, p.Analysis.Phrases),
				Grid: grid(p), Says: m.Contributions(p.Matrix), Beats: ticks(p.Score, p.Onset)}
			h.ways = h.material.Ways()
			out[i] = h
		}
	}
	return out, nil
}

func grid(p *levels.Piece) []score.Tick { return ticks(p.Score, p.Matrix.Onsets) }

// ticks turns quarter notes into ticks.
func ticks(s *score.Score, quarters []float64) []score.Tick {
	out := make([]score.Tick, len(quarters))
	for i, q := range quarters {
		out[i] = score.Tick(math.Round(q * float64(s.Division)))
	}
	return out
}

// examples are the phrases of leastRows beats or more.
func examples(pieces []*heard) (out []example) {
	for _, h := range pieces {
		row := 0
		for _, w := range h.ways {
			for h.material.Beats[row] < w.Beats[0] {
				row++
			}
			if n := len(w.Beats); n >= leastRows {
				v := advice.Smooth(h.Level[row : row+n])
				out = append(out, example{w, h.fold, highest(v), h.Set})
			}
		}
	}
	return out
}

func highest(v []float64) int {
	at := 0
	for i, x := range v {
		if x > v[at] {
			at = i
		}
	}
	return at
}

// meets reports whether a beat lies within the tolerance of the goal.
func (e example) meets(at int) bool {
	return max(at-e.goal, e.goal-at) <= e.way.Tolerance()
}
