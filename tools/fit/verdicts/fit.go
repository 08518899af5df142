package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/stat"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/score"
	"hairpin/tools/fit/analyses"
)

// pull draws every weight toward 0; chosen among 8, 15, 25 and 40 by cross-validation.
const pull = 15.0

// careful is how many standard errors a told confidence keeps below the share
// that was right (Wilson 1927, Probable inference, J. Am. Stat. Assoc. 22).
const careful = 1.28

// tiers are the probabilities at which told confidences step.
var tiers = map[bool][]float64{true: {0.85, 0.6, 0}, false: {0.7, 0}}

// mostlyRight is the share from which a tier may be called likely: three of four.
// doubtful is what a tier below it is told at the most.
const (
	mostlyRight = 0.75
	doubtful    = 0.59
)

// example is a labelled row with what the model is told of it.
type example struct {
	r        reading
	row      analyses.Row
	from, to score.Tick
	q        []float64
	deeds    verdict.Chances // the readers' votes, half each; 0 where unclear
}

func examples(labels string, dirs []string) ([]example, error) {
	rows, err := analyses.Read(labels)
	if err != nil {
		return nil, err
	}
	files := scoresIn(dirs)
	var out []example
	var r reading
	for i, row := range rows {
		if i == 0 || row["score"] != rows[i-1]["score"] {
			if r, err = read(files[row["score"]]); err != nil {
				return nil, fmt.Errorf("%s: %w", row["score"], err)
			}
		}
		e := example{r: r, row: row}
		if e.from, e.to, err = r.stretch(row); err != nil {
			return nil, err
		}
		e.q = verdict.Quantities(r.s, r.a, r.p, e.from, e.to)
		for d := verdict.Builds; d <= verdict.Waits; d++ {
			e.deeds[d] = 0.5*bit(row["harmony_a"] == d.String()) + 0.5*bit(row["harmony_b"] == d.String())
		}
		out = append(out, e)
	}
	return out, nil
}

func bit(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// fit gives the model of all rows but those of one score ("": all).
func fit(list []example, without string) *verdict.Model {
	var used []example
	for _, e := range list {
		if e.row["score"] != without {
			used = append(used, e)
		}
	}
	m := standard(list)
	n := len(m.Mean)
	problem := optimize.Problem{
		Func: func(w []float64) float64 { return loss(used, m, w, nil) },
		Grad: func(grad, w []float64) { loss(used, m, w, grad) },
	}
	size := (n + 1) * len(verdict.Chances{})
	w := make([]float64, size)
	if r, _ := optimize.Minimize(problem, w, &optimize.Settings{GradientThreshold: 1e-3}, &optimize.LBFGS{}); r != nil {
		w = r.X
	}
	set(m, w)
	return m
}

// standard is a model without weights that knows the quantities' means and spreads.
func standard(list []example) *verdict.Model {
	m := &verdict.Model{}
	for k := range verdict.QuantityNames() {
		values := make([]float64, len(list))
		for i, e := range list {
			values[i] = e.q[k]
		}
		mean, spread := stat.MeanStdDev(values, nil)
		m.Mean, m.Spread = append(m.Mean, mean), append(m.Spread, max(spread, 1e-6))
	}
	return m
}

// set reads the weights from one list: the start, then each quantity.
func set(m *verdict.Model, w []float64) {
	all := mat.NewDense(len(m.Mean)+1, len(verdict.Chances{}), w)
	m.Start, m.Weight = all.RawRowView(0), nil
	for k := range m.Mean {
		m.Weight = append(m.Weight, all.RawRowView(k+1))
	}
}

// loss is the negative log-likelihood with its pull, and its gradient if wanted.
func loss(list []example, m *verdict.Model, w, grad []float64) float64 {
	set(m, w)
	deeds := len(verdict.Chances{})
	sum := 0.0
	clear(grad)
	for i := deeds; i < len(w); i++ {
		sum += pull / 2 * w[i] * w[i]
		if grad != nil {
			grad[i] = pull * w[i]
		}
	}
	for _, e := range list {
		c := m.Chances(e.q)
		votes := 0.0
		for _, v := range e.deeds {
			votes += v
		}
		for d, v := range e.deeds {
			sum -= v * math.Log(max(c[d], 1e-12))
			if grad == nil {
				continue
			}
			miss := votes*c[d] - v
			grad[d] += miss
			for k, q := range e.q {
				grad[(k+1)*deeds+d] += miss * (q - m.Mean[k]) / m.Spread[k]
			}
		}
	}
	return sum
}

// crossValidate judges the rows of every score by the model of the others.
func crossValidate(list []example, told []verdict.Told) []verdict.Verdict {
	out := make([]verdict.Verdict, len(list))
	var m *verdict.Model
	for i, e := range list {
		if i == 0 || e.row["score"] != list[i-1].row["score"] {
			m = fit(list, e.row["score"])
			m.Told = told
		}
		out[i] = m.Over(e.r.s, e.r.a, e.r.p, e.from, e.to)
	}
	return out
}

// calibrate says what confidence a probability deserves: Wilson's lower bound of
// the share that was right, never more than that of a higher probability.
func calibrate(list []example, vs []verdict.Verdict, w io.Writer) []verdict.Told {
	var out []verdict.Told
	for _, supports := range [...]bool{true, false} {
		above, least := 1.01, 1.0
		for _, from := range tiers[supports] {
			var s share
			for i, v := range vs {
				if plain(v) && (v.Kind == verdict.Supports) == supports && v.Probability >= from && v.Probability < above {
					s.add(right(list[i].row, v))
				}
			}
			least = min(least, math.Floor(100*wilson(s, careful))/100)
			if float64(s.right) < mostlyRight*float64(s.all) {
				least = min(least, doubtful)
			}
			fmt.Fprintf(w, "supports %v, probability from %.2f: %v, told %.2f\n", supports, from, s, least)
			out = append(out, verdict.Told{Supports: supports, From: from, Confidence: least})
			above = from
		}
	}
	return out
}

// plain reports whether a verdict hangs on the harmony's way alone: swells, dips and
// sudden changes have bounds of their own.
func plain(v verdict.Verdict) bool {
	k := v.Page.Kind
	return k != page.Swells && k != page.Dips && k != page.Terraced
}

// wilson is the lower bound of a share, z standard errors below (Wilson 1927).
func wilson(s share, z float64) float64 {
	if s.all == 0 {
		return 0
	}
	n, p := float64(s.all), float64(s.right)/float64(s.all)
	return (p + z*z/2/n - z*math.Sqrt(p*(1-p)/n+z*z/4/n/n)) / (1 + z*z/n)
}

func right(row analyses.Row, v verdict.Verdict) bool {
	return row["verdict_a"] == string(v.Kind) || row["verdict_b"] == string(v.Kind)
}

// fitAll prints what cross-validation gives and writes the table.
func fitAll(labels string, dirs []string, out string, w io.Writer) error {
	list, err := examples(labels, dirs)
	if err != nil {
		return err
	}
	told := calibrate(list, crossValidate(list, nil), w)
	t := newTally()
	for i, v := range crossValidate(list, told) {
		t.add(list[i].row, v)
	}
	fmt.Fprintln(w, "each score judged by the model of the others:")
	t.print(w)
	m := fit(list, "")
	m.Told = told
	return os.WriteFile(out, []byte(table(m, len(list))), 0o644)
}

// table writes the model as package verdict reads it.
func table(m *verdict.Model, rows int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# What the harmony does over a stretch: see verdict.Model. Written by tools/fit/verdicts.\n"+
		"# Fitted on our own labels of %d stretches (dynamics/verdict/testdata/verdicts.tsv, facts and no music; GPL as the program).\n"+
		"# start builds releases holds waits / supports, others: from-probability confidence / quantity mean spread builds releases holds waits\n", rows)
	line := func(name string, nums ...float64) {
		b.WriteString(name)
		for _, v := range nums {
			fmt.Fprintf(&b, "\t%.4g", v)
		}
		b.WriteString("\n")
	}
	line("start", m.Start...)
	for _, t := range m.Told {
		line(map[bool]string{true: "supports", false: "others"}[t.Supports], t.From, t.Confidence)
	}
	for k, name := range verdict.QuantityNames() {
		line(name, append([]float64{m.Mean[k], m.Spread[k]}, m.Weight[k]...)...)
	}
	return b.String()
}
