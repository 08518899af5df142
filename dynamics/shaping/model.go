package shaping

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
)

// fitted is the table of weights; its head names its source and licence.
// tools/fit/shape writes it.
//
//go:embed shape.tsv
var fitted string

// Model is the additive model of the shaping: each factor, taken against its
// mean over the piece and divided by its spread, times a weight that depends
// a little on the style of the piece.
type Model struct {
	Styles []Style
	Weight map[string]Weight // by factor
}

// Style is how one description of a piece is standardised: see styles.
type Style struct {
	Name         string
	Mean, Spread float64
}

// Weight is one factor's row.
type Weight struct {
	Cause  Cause
	Spread float64   // usual spread of the factor inside a piece
	Own    float64   // weight, in performers' spreads of loudness
	Style  []float64 // change of the weight for each style, one spread above its mean
}

// model reads the table once.
var model = sync.OnceValues(func() (*Model, error) { return readModel(fitted) })

// readModel reads a table of weights: lines "style name mean spread" and
// "factor cause spread weight weights-by-style…", separated by tabs; # begins
// a remark. A factor must be the name of one of the readings, with its cause.
func readModel(text string) (*Model, error) {
	m := &Model{Weight: map[string]Weight{}}
	known, err := byName(readings[:])
	if err != nil {
		return nil, err
	}
	for i, line := range strings.Split(text, "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if err := m.row(strings.Split(line, "\t"), known); err != nil {
			return nil, fmt.Errorf("table of shaping weights, line %d: %w", i+1, err)
		}
	}
	return m, nil
}

func (m *Model) row(cells []string, known map[string]reading) error {
	if len(cells) < 4 {
		return fmt.Errorf("%d cells, at least 4 are needed", len(cells))
	}
	text := cells[:2]
	var nums []float64
	for _, c := range cells[2:] {
		v, err := strconv.ParseFloat(c, 64)
		if err != nil {
			return err
		}
		nums = append(nums, v)
	}
	if text[0] == "style" {
		m.Styles = append(m.Styles, Style{text[1], nums[0], nums[1]})
		return nil
	}
	if r, ok := known[text[0]]; !ok || string(r.cause) != text[1] {
		return fmt.Errorf("there is no reading %q for the cause %q", text[0], text[1])
	}
	if len(nums) != 2+len(m.Styles) {
		return fmt.Errorf("%s has %d numbers, %d are needed", text[0], len(nums), 2+len(m.Styles))
	}
	m.Weight[text[0]] = Weight{Cause(text[1]), nums[0], nums[1], nums[2:]}
	return nil
}

// Standardise takes a factor against its mean over the piece, and divides it
// by the geometric mean of its spread here and its usual spread: half in its
// own units, half relative to the piece.
func Standardise(v []float64, usual float64) []float64 {
	mean, by := scale(v, usual)
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = (x - mean) / by
	}
	return out
}

// scale is what Standardise takes off and divides by.
func scale(v []float64, usual float64) (mean, by float64) {
	mean, spread := moments(v)
	if spread < 1e-9 {
		spread = 1
	}
	if usual < 1e-9 {
		usual = 1
	}
	return mean, math.Sqrt(spread * usual)
}

func moments(v []float64) (mean, spread float64) {
	mean = average(v)
	for _, x := range v {
		spread += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(spread / float64(max(len(v), 1)))
}

// at is the factor's weight in a piece of the given styles.
func (w Weight) at(styles []Style, of []float64) float64 {
	out := w.Own
	for i, s := range styles {
		if i < len(of) && i < len(w.Style) && s.Spread > 0 {
			out += w.Style[i] * (of[i] - s.Mean) / s.Spread
		}
	}
	return out
}

// Contributions is what each cause says about each moment, in performers'
// spreads of loudness, zero on average over the piece.
func (m *Model) Contributions(x Matrix) map[Cause][]float64 {
	c := contributions{m, x.Styles, map[Cause][]float64{}}
	for k, name := range x.Names {
		c.add(factor{name: name, value: x.Values[k]})
	}
	return c.parts
}

// contributions adds up what the factors say.
type contributions struct {
	m      *Model
	styles []float64
	parts  map[Cause][]float64
}

func (c contributions) add(f factor) {
	w, ok := c.m.Weight[f.name]
	if !ok {
		return
	}
	sum, have := c.parts[w.Cause]
	if !have {
		sum = make([]float64, len(f.value))
		c.parts[w.Cause] = sum
	}
	weight := w.at(c.m.Styles, c.styles)
	mean, by := scale(f.value, w.Spread)
	for i, v := range f.value {
		sum[i] += weight * ((v - mean) / by)
	}
}

// weighs reports whether the model has a weight for a factor.
func (m *Model) weighs(name string) bool { _, ok := m.Weight[name]; return ok }
