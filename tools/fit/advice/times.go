package main

import (
	"io"
	"path/filepath"
	"slices"
	"strconv"

	"hairpin/dynamics/advice"
	"hairpin/musicxml"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
	"hairpin/tools/fit/levels"
)

// times counts how often players take time where advice might ask for it, in
// single performances as they were played.
func times(w io.Writer, dir, cache string, counts map[advice.Comparable]*count) error {
	takes, err := analyses.Read(filepath.Join(dir, "manifest.tsv"))
	if err != nil {
		return err
	}
	own := map[advice.Comparable]*count{}
	for _, r := range takes {
		if r["kind"] != "real" {
			continue
		}
		if err := takeTimes(dir, cache, r, own); err != nil {
			return err
		}
	}
	list(w, own)
	for c, n := range own {
		counts[c] = n
	}
	return nil
}

func takeTimes(dir, cache string, take analyses.Row, counts map[advice.Comparable]*count) error {
	f, err := musicxml.Open(filepath.Join(dir, "scores", take["piece"]+".mxl"))
	if err != nil {
		return err
	}
	a, err := levels.Analyse(f.Score, cache, "take-"+take["piece"])
	if err != nil {
		return err
	}
	rows, err := analyses.Read(filepath.Join(dir, "takes", take["take"]+".beats.tsv"))
	if err != nil {
		return err
	}
	m := advice.Material{Score: f.Score, Analysis: a, Beats: advice.Beats(f.Score)}
	slow := slowness(f.Score, rows)
	for _, p := range m.Ends() {
		var in []float64
		for t, x := range slow {
			if p.Start <= t && t < p.End {
				in = append(in, x)
			}
		}
		last, ok := slow[p.Last]
		if !ok || len(in) < leastRows {
			continue
		}
		slices.Sort(in)
		middle := in[len(in)/2]
		longer := 0.0
		for _, x := range in {
			if x > middle {
				longer++
			}
		}
		c := advice.Comparable{Kind: advice.TakeTime, Class: advice.AnyEnd}
		if counts[c] == nil {
			counts[c] = &count{}
		}
		counts[c].add(0, last > middle, longer/float64(len(in)))
	}
	return nil
}

// slowness is the time that each beat takes, in seconds a quarter, in the first
// pass: repeats are left out.
func slowness(s *score.Score, rows []analyses.Row) map[score.Tick]float64 {
	out := map[score.Tick]float64{}
	for i := 0; i+1 < len(rows); i++ {
		a, b := rows[i], rows[i+1]
		if a["pass"] != "1" || b["pass"] != "1" {
			continue
		}
		q, r := number(a["q"]), number(b["q"])
		if r > q && r-q <= 4 {
			out[ticks(s, []float64{q})[0]] = (number(b["time_s"]) - number(a["time_s"])) / (r - q)
		}
	}
	return out
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0
	}
	return v
}
