package levels

import (
	"errors"
	"fmt"
	"math"
	"os"
	"runtime"
	"sort"
	"strings"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"hairpin/dynamics/shaping"
)

const (
	ridge      = 2000.0 // pull of every weight toward 0
	styleRidge = 15.0   // how much stronger it is on the changes by style
	Folds      = 10
	rowsEach   = 200.0 // every piece counts as this many rows
)

// styleNames are in the order of Matrix.Styles.
var styleNames = [...]string{"unmarked", "voices", "rate"}

// Fit holds the sums of squares of every fold.
type Fit struct {
	pieces []*Piece
	names  []string
	cause  []string
	spread []float64
	styles []shaping.Style
	Fold   []int            // of each piece: a work is in one fold only
	gram   [Folds][]float64 // weights by weights, row by row
	right  [Folds][]float64
}

// weights is the number of weights: each factor's own, then its changes by style.
func (f *Fit) weights() int { return len(f.names) * (1 + len(styleNames)) }

// New adds up what the pieces say.
func New(pieces []*Piece) *Fit {
	f := &Fit{pieces: pieces, names: pieces[0].Matrix.Names}
	for _, c := range pieces[0].Matrix.Causes {
		f.cause = append(f.cause, string(c))
	}
	f.usualSpreads()
	f.standardStyles()
	f.deal()
	f.sums()
	return f
}

// usualSpreads is each factor's root mean square spread inside the pieces.
func (f *Fit) usualSpreads() {
	f.spread = make([]float64, len(f.names))
	for k := range f.names {
		for _, p := range f.pieces {
			_, s := Moments(p.Matrix.Values[k])
			f.spread[k] += s * s / float64(len(f.pieces))
		}
		f.spread[k] = math.Sqrt(f.spread[k])
	}
}

func (f *Fit) standardStyles() {
	for k, name := range styleNames {
		v := make([]float64, len(f.pieces))
		for i, p := range f.pieces {
			v[i] = p.Matrix.Styles[k]
		}
		m, s := Moments(v)
		f.styles = append(f.styles, shaping.Style{Name: name, Mean: m, Spread: s})
	}
}

// deal gives each work to a fold, evenly over the sets.
func (f *Fit) deal() {
	var works []string
	seen := map[string]bool{}
	for _, p := range f.pieces {
		if !seen[p.Work] {
			seen[p.Work] = true
			works = append(works, p.Work)
		}
	}
	sort.Strings(works)
	of := map[string]int{}
	for i, w := range works {
		of[w] = i % Folds
	}
	for _, p := range f.pieces {
		f.Fold = append(f.Fold, of[p.Work])
	}
}

// sums adds up every piece's squares in its fold.
func (f *Fit) sums() {
	n := f.weights()
	for k := range f.gram {
		f.gram[k], f.right[k] = make([]float64, n*n), make([]float64, n)
	}
	type squares struct{ gram, right []float64 }
	each := make([]squares, len(f.pieces))
	var work errgroup.Group
	work.SetLimit(runtime.NumCPU())
	for i, p := range f.pieces {
		work.Go(func() error {
			f.standardise(p)
			each[i].gram, each[i].right = p.squares()
			return nil
		})
	}
	_ = work.Wait()              // none of them fails
	for i, p := range f.pieces { // in order, so that every run gives the same digits
		f.add(f.Fold[i], f.scale(p), each[i].gram, each[i].right)
	}
}

// standardise samples the standardised factors at the truth's rows.
func (f *Fit) standardise(p *Piece) {
	p.x = make([][]float32, len(p.rows))
	for i := range p.x {
		p.x[i] = make([]float32, len(f.names))
	}
	for k := range f.names {
		v := p.Sample(shaping.Standardise(p.Matrix.Values[k], f.spread[k]))
		mean, _ := Moments(v)
		for i, x := range v {
			p.x[i][k] = float32(x - mean)
		}
	}
}

// squares is the piece's factors times factors, and times its level.
func (p *Piece) squares() ([]float64, []float64) {
	n := len(p.x[0])
	g, b := make([]float64, n*n), make([]float64, n)
	mean, spread := Moments(p.Level)
	w := rowsEach / float64(len(p.Level))
	for i, x := range p.x {
		y := w * (p.Level[i] - mean) / max(spread, 1e-9)
		for j, a := range x {
			b[j] += y * float64(a)
			row, aw := g[j*n:j*n+n], w*float64(a)
			for k := j; k < n; k++ {
				row[k] += aw * float64(x[k])
			}
		}
	}
	return g, b
}

// scale is 1 and the piece's standardised styles.
func (f *Fit) scale(p *Piece) []float64 {
	out := []float64{1}
	for k, s := range f.styles {
		out = append(out, (p.Matrix.Styles[k]-s.Mean)/max(s.Spread, 1e-9))
	}
	return out
}

// add spreads a piece's squares over the weights by style.
func (f *Fit) add(fold int, c []float64, g, b []float64) {
	n, all := len(f.names), f.weights()
	for p, cp := range c {
		for j := range n {
			f.right[fold][p*n+j] += cp * b[j]
			for q, cq := range c {
				row := f.gram[fold][(p*n+j)*all+q*n:]
				for k := range n {
					v := g[min(j, k)*n+max(j, k)]
					row[k] += cp * cq * v
				}
			}
		}
	}
}

// Solve finds the weights from all folds but one (-1: all), using only the
// factors whose cause is kept; the others get 0.
func (f *Fit) Solve(without int, keep func(cause string) bool) ([]float64, error) {
	n, all := len(f.names), f.weights()
	var idx []int
	for i := range all {
		if keep == nil || keep(f.cause[i%n]) {
			idx = append(idx, i)
		}
	}
	a, b := mat.NewSymDense(len(idx), nil), mat.NewVecDense(len(idx), nil)
	for k := range f.gram {
		if k == without {
			continue
		}
		for r, i := range idx {
			b.SetVec(r, b.AtVec(r)+f.right[k][i])
			for c := r; c < len(idx); c++ {
				a.SetSym(r, c, a.At(r, c)+f.gram[k][i*all+idx[c]])
			}
		}
	}
	for r, i := range idx {
		pull := ridge
		if i >= n {
			pull *= styleRidge
		}
		a.SetSym(r, r, a.At(r, r)+pull)
	}
	var factor mat.Cholesky
	w := mat.NewVecDense(len(idx), nil)
	if !factor.Factorize(a) {
		return nil, errors.New("the sums of squares are not positive: is a factor no number?")
	}
	if err := factor.SolveVecTo(w, b); err != nil {
		return nil, err
	}
	out := make([]float64, all)
	for r, i := range idx {
		out[i] = w.AtVec(r)
	}
	return out, nil
}

// Model is the solved weights as the dynamics package reads them.
func (f *Fit) Model(w []float64) *shaping.Model {
	n := len(f.names)
	m := &shaping.Model{Styles: f.styles, Weight: map[string]shaping.Weight{}}
	for k, name := range f.names {
		x := shaping.Weight{Cause: shaping.Cause(f.cause[k]), Spread: f.spread[k], Own: w[k]}
		for s := range styleNames {
			x.Style = append(x.Style, w[(s+1)*n+k])
		}
		m.Weight[name] = x
	}
	return m
}

// CrossValidate proposes a level for every piece with the weights of other works.
func (f *Fit) CrossValidate(keep func(string) bool) ([][]float64, error) {
	out := make([][]float64, len(f.pieces))
	var work errgroup.Group
	work.SetLimit(runtime.NumCPU())
	for k := range Folds {
		work.Go(func() error {
			w, err := f.Solve(k, keep)
			if err != nil {
				return err
			}
			m := f.Model(w)
			for i, p := range f.pieces {
				if f.Fold[i] == k {
					out[i] = m.Levels(p.Matrix)
				}
			}
			return nil
		})
	}
	return out, work.Wait()
}

// Causes are those that the factors name.
func (f *Fit) Causes() []string {
	var out []string
	for _, c := range shaping.Causes() {
		for _, have := range f.cause {
			if have == string(c) {
				out = append(out, have)
				break
			}
		}
	}
	return out
}

const head = `# Weights of the shaping: see dynamics.Model. Written by tools/fit/shape.
# Fitted on mean performed loudness a beat of 124 piano pieces, each piece's factors and loudness
# taken against its own mean. Sources of the performances:
# MazurkaBL (Kosta, Bandtlow & Chew 2018), Vienna 4x22 (Goebl 1999), Batik-plays-Mozart
# (Hu & Widmer 2023), (n)ASAP (Foscarin et al. 2020; Peter et al. 2023). Only these statistics are kept
# here, no data. Licences of the data, from memory: (n)ASAP, Batik-plays-Mozart and Vienna 4x22
# CC BY-NC-SA 4.0; MazurkaBL as its project states.
# style name mean spread / factor cause usual-spread weight weight-change-by-style...
`

// Write writes the table fitted on all pieces.
func (f *Fit) Write(path string) error {
	all, err := f.Solve(-1, nil)
	if err != nil {
		return err
	}
	m := f.Model(all)
	var b strings.Builder
	b.WriteString(head)
	for _, s := range f.styles {
		fmt.Fprintf(&b, "style\t%s\t%.4g\t%.4g\n", s.Name, s.Mean, s.Spread)
	}
	for _, name := range f.names {
		w := m.Weight[name]
		fmt.Fprintf(&b, "%s\t%s\t%.4g\t%.4g", name, w.Cause, w.Spread, w.Own)
		for _, x := range w.Style {
			fmt.Fprintf(&b, "\t%.3g", x)
		}
		b.WriteByte('\n')
	}
	tmp := path + ".part"
	if err := os.WriteFile(tmp, []byte(b.String()), 0o644); err != nil {
		return err
	}
	return os.Rename(tmp, path)
}

// Moments are mean and spread, 0 for an empty list.
func Moments(v []float64) (mean, spread float64) {
	if len(v) == 0 {
		return 0, 0
	}
	return stat.PopMeanStdDev(v, nil)
}
