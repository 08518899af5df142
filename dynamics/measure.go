package dynamics

import (
	"hairpin/harmony"
	"hairpin/score"
)

// Matrix is what the shaping weighs, for fitting: one row a factor, one column
// a moment of the score.
type Matrix struct {
	Onsets []float64 // of the moments, in quarter notes
	Names  []string  // of the factors
	Causes []Cause
	Values [][]float64 // by factor, then moment
	Styles []float64   // of the piece, see styles
	Level  []float64   // printed level at each moment
	Accent []float64   // size of a printed accent there
}

// Measure gives the factors of a score.
func Measure(s *score.Score, a *harmony.Analysis, p *Page) Matrix {
	o := observe(s, a, p)
	m := Matrix{}
	if o.cells() == 0 {
		return m
	}
	for _, f := range o.factors() {
		m.Names = append(m.Names, f.name)
		m.Causes = append(m.Causes, f.cause)
		m.Values = append(m.Values, f.value)
	}
	for i := range o.quart {
		m.Onsets = append(m.Onsets, o.quarters(i))
	}
	m.Styles, m.Level, m.Accent = o.styles(), o.series("printed"), o.series("accent")
	return m
}

// styles describes the piece: 1 if nothing is printed, the mean number of
// voices, the logarithm of notes a quarter, 1 for triple time.
func (o *observed) styles() []float64 {
	notes, time, voices := 0.0, 0.0, 0.0
	for i, q := range o.quart {
		notes += o.series("notes")[i]
		voices += q * o.series("voices")[i]
		time += q
	}
	unmarked := 1.0
	for i, v := range o.series("printed") {
		if v != o.series("printed")[0] || o.series("accent")[i] > 0 {
			unmarked = 0
			break
		}
	}
	triple := 0.0
	if b := o.bar(); b > 2.9 && b < 3.1 {
		triple = 1
	}
	time = max(time, 1)
	return []float64{unmarked, voices / time, logRate(notes / time), triple}
}
