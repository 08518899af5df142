package shaping

import (
	"maps"
	"slices"

	"hairpin/dynamics/page"
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
	Leaves []Leave     // why a proposal may go far there
}

// Measure gives the factors of a score.
func Measure(s *score.Score, a *harmony.Analysis, p *page.Page) Matrix {
	o := observe(s, a, p)
	m := Matrix{}
	if o.cells() == 0 {
		return m
	}
	o.factors(nil, func(f factor) {
		m.Names = append(m.Names, f.name)
		m.Causes = append(m.Causes, f.cause)
		m.Values = append(m.Values, f.value)
	})
	for i := range o.quart {
		m.Onsets = append(m.Onsets, o.quarters(i))
	}
	m.Styles, m.Level, m.Accent, m.Leaves = o.styles(), o.series("printed"), o.series("accent"), o.leaves(p)
	return m
}

// styles describes the piece: 1 if nothing is printed, the mean number of
// voices, and the logarithm of notes a quarter.
func (o *observed) styles() []float64 {
	notes, time, voices := 0.0, 0.0, 0.0
	begun, sounding := o.series("notes"), o.series("voices")
	for i, q := range o.quart {
		notes += begun[i]
		voices += q * sounding[i]
		time += q
	}
	unmarked := 1.0
	level, accent := o.series("printed"), o.series("accent")
	for i, v := range level {
		if v != level[0] || accent[i] > 0 {
			unmarked = 0
			break
		}
	}
	time = max(time, 1)
	return []float64{unmarked, voices / time, logRate(notes / time)}
}

// pattern is how much of the bass's movement inside the measures comes back in
// every measure at the same beat, 0 to 1: near 0.3 for a dance whose bass note
// and chords alternate, near 0 for a free bass.
func (o *observed) pattern() float64 {
	bass := o.series("bass")
	inside := minus(bass, o.window(bass, -o.bar()/2, o.bar()/2))
	sum, square, count := map[score.Tick]float64{}, map[score.Tick]float64{}, map[score.Tick]float64{}
	all, n, mean := 0.0, 0.0, 0.0
	for i, x := range inside {
		m := o.s.Measures[o.s.MeasureAt(o.at[i])]
		off := m.Into(o.at[i])
		if off%m.Unit(o.s.Division) != 0 || m.Pickup {
			continue
		}
		sum[off], square[off], count[off] = sum[off]+x, square[off]+x*x, count[off]+1
		all, n, mean = all+x*x, n+1, mean+x
	}
	total := all - mean*mean/max(n, 1)
	rest := 0.0
	for _, off := range slices.Sorted(maps.Keys(count)) {
		c := count[off]
		rest += square[off] - sum[off]*sum[off]/c
	}
	if total < 1e-9 || n < 8 {
		return 0
	}
	return min(max(1-rest/total, 0), 1)
}
