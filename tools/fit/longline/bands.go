package main

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"hairpin/dynamics/shaping"
	"hairpin/harmony/tension"
	"hairpin/tools/fit/levels"
)

// lines are those compared one by one.
var lines = [...]string{"local", "long", "dissonance", "distance", "pull"}

// sample is one piece at one scale, all lines at the rows of its truth.
type sample struct {
	set     string
	fold    int
	loud    []float64
	lines   [len(lines)][]float64
	factors [][]float64 // what the shaping measures of harmony and phrase, each of spread 1
}

// take reads a piece between two moving means, so many measures long each.
func take(p *levels.Piece, fold int, scale [2]float64) sample {
	bar := quartersPerMeasure(p)
	band := func(v []float64) []float64 {
		short, long := smooth(p.Onset, v, scale[0]*bar), smooth(p.Onset, v, scale[1]*bar)
		for i := range short {
			short[i] -= long[i]
		}
		return short
	}
	x := sample{set: p.Set, fold: fold, loud: unit(band(p.Level))}
	for k, of := range [len(lines)]func(tension.Moment) float64{
		func(m tension.Moment) float64 { return m.Tension.Total },
		func(m tension.Moment) float64 { return m.LongLine.Total },
		func(m tension.Moment) float64 { return m.LongLine.Dissonance },
		func(m tension.Moment) float64 { return m.LongLine.Distance },
		func(m tension.Moment) float64 { return m.LongLine.Pull },
	} {
		x.lines[k] = band(curve(p, of))
	}
	for k, v := range p.Matrix.Values {
		if c := p.Matrix.Causes[k]; c == shaping.ByTension || c == shaping.ByPhrase {
			x.factors = append(x.factors, unit(band(p.Sample(v))))
		}
	}
	for _, v := range x.lines {
		x.factors = append(x.factors, unit(append([]float64(nil), v...)))
	}
	return x
}

// quartersPerMeasure is the mean over the stretch with a truth.
func quartersPerMeasure(p *levels.Piece) float64 {
	first, last := p.Onset[0], p.Onset[len(p.Onset)-1]
	count := 0
	for _, m := range p.Score.Measures {
		if at := float64(m.Start) / float64(p.Score.Division); at > first && at <= last {
			count++
		}
	}
	return (last - first) / float64(max(count, 1))
}

// curve reads a number of the moments at the rows.
func curve(p *levels.Piece, of func(tension.Moment) float64) []float64 {
	out := make([]float64, len(p.Onset))
	moments := p.Analysis.Moments
	for i, q := range p.Onset {
		t := q*float64(p.Score.Division) + 0.5
		k := sort.Search(len(moments), func(k int) bool { return float64(moments[k].Start) > t }) - 1
		out[i] = of(moments[max(k, 0)])
	}
	return out
}

// smooth is the mean over so many quarters around each row.
func smooth(at, v []float64, width float64) []float64 {
	out := make([]float64, len(v))
	for i, t := range at {
		from := sort.SearchFloat64s(at, t-width/2-1e-9)
		to := sort.SearchFloat64s(at, t+width/2+1e-9)
		out[i] = stat.Mean(v[from:to], nil)
	}
	return out
}

// unit gives a line the spread 1, unless it has none.
func unit(v []float64) []float64 {
	mean, dev := stat.PopMeanStdDev(v, nil)
	for i := range v {
		v[i] = (v[i] - mean) / max(dev, 1e-3)
	}
	return v
}

// correlation is 0 where a line does not move.
func correlation(a, b []float64) float64 {
	if r := stat.Correlation(a, b, nil); !math.IsNaN(r) {
		return r
	}
	return 0
}

// ridge is the pull of every weight toward 0, in pieces.
const ridge = 20

// mixed is each piece's correlation with the best linear mix of the factors, fitted on
// the works of other folds.
func mixed(list []sample) ([]float64, error) {
	out := make([]float64, len(list))
	for fold := range levels.Folds {
		w, err := fit(list, fold)
		if err != nil {
			return nil, err
		}
		for i, x := range list {
			if x.fold != fold {
				continue
			}
			sum := make([]float64, len(x.loud))
			for k, v := range x.factors {
				for row := range v {
					sum[row] += w.AtVec(k) * v[row]
				}
			}
			out[i] = correlation(sum, x.loud)
		}
	}
	return out, nil
}

// fit finds the weights on all folds but one; every piece counts alike.
func fit(list []sample, without int) (*mat.VecDense, error) {
	n := len(list[0].factors)
	gram, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for k := range n {
		gram.SetSym(k, k, ridge)
	}
	for _, x := range list {
		if x.fold == without {
			continue
		}
		for i, a := range x.factors {
			right.SetVec(i, right.AtVec(i)+dot(a, x.loud))
			for k := i; k < n; k++ {
				gram.SetSym(i, k, gram.At(i, k)+dot(a, x.factors[k]))
			}
		}
	}
	var w mat.VecDense
	if err := w.SolveVec(gram, right); err != nil {
		return nil, err
	}
	return &w, nil
}

// dot is the mean product of two lines.
func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum / float64(len(a))
}
