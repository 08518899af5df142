package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"

	"gonum.org/v1/gonum/stat"

	"hairpin/tools/fit/levels"
)

// report prints the mean correlation a piece for every set.
func report(w io.Writer, pieces []*levels.Piece, shaped [][]float64) {
	fmt.Fprintln(w, "set\tpieces\tprinted\tshaped\tprinted in zones\tshaped in zones")
	var sets []string
	sum := map[string][5]float64{}
	for i, p := range pieces {
		if _, ok := sum[p.Set]; !ok {
			sets = append(sets, p.Set)
		}
		s := sum[p.Set]
		a, b := p.Sample(p.Matrix.Level), p.Sample(shaped[i])
		level, inZone := p.Level, inZones(p, p.Level)
		for k, r := range [...]float64{1, pearson(level, a), pearson(level, b), pearson(inZone, inZones(p, a)), pearson(inZone, inZones(p, b))} {
			s[k] += r
		}
		sum[p.Set] = s
	}
	for _, set := range sets {
		s := sum[set]
		fmt.Fprintf(w, "%s\t%.0f\t%.3f\t%.3f\t%.3f\t%.3f\n", set, s[0], s[1]/s[0], s[2]/s[0], s[3]/s[0], s[4]/s[0])
	}
}

// inZones takes away the mean of each zone of three rows or more; others are NaN.
func inZones(p *levels.Piece, v []float64) []float64 {
	sum, n := map[string]float64{}, map[string]float64{}
	for i, z := range p.Zone {
		sum[z] += v[i]
		n[z]++
	}
	out := make([]float64, len(v))
	for i, z := range p.Zone {
		out[i] = v[i] - sum[z]/n[z]
		if n[z] < 3 {
			out[i] = math.NaN()
		}
	}
	return out
}

// pearson is the correlation of the rows in which both have a number, 0 if either is still.
func pearson(a, b []float64) float64 {
	var x, y []float64
	for i := range a {
		if !math.IsNaN(a[i]) && !math.IsNaN(b[i]) {
			x, y = append(x, a[i]), append(y, b[i])
		}
	}
	if _, s := levels.Moments(x); s < 1e-9 {
		return 0
	}
	if _, s := levels.Moments(y); s < 1e-9 {
		return 0
	}
	return stat.Correlation(x, y, nil)
}

// writePredictions writes printed and shaped level a moment, each piece from the weights of other works.
func writePredictions(dir string, pieces []*levels.Piece, shaped [][]float64) error {
	for i, p := range pieces {
		path := filepath.Join(dir, p.Set, p.ID+".tsv")
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		f, err := os.Create(path)
		if err != nil {
			return err
		}
		fmt.Fprintln(f, "onset\tend\tprinted\tshaped\tshaped_end")
		on := p.Matrix.Onsets
		for k := range on {
			next := min(k+1, len(on)-1)
			end := on[next]
			if k == next {
				end = on[k] + 1000
			}
			fmt.Fprintf(f, "%.6f\t%.6f\t%.4f\t%.4f\t%.4f\n", on[k], end, p.Matrix.Level[k], shaped[i][k], shaped[i][next])
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}
