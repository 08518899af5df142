package advice

import (
	"math"
	"slices"
	"testing"

	"hairpin/dynamics/shaping"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Thirty measures of four beats in which one cause says how loud each measure is.
func said(by shaping.Cause, loud func(measure int) float64) Material {
	s := melody(make([]int, 120)...)
	m := Material{Score: s, Says: map[shaping.Cause][]float64{}}
	for _, n := range s.Notes {
		m.Grid = append(m.Grid, n.Onset)
		m.Says[by] = append(m.Says[by], loud(n.Measure))
	}
	return m
}

// The loudest measure is the one that stands above its neighbours too; of two alike the
// later one (recordings grow to their end: the table's weight of place is positive); where
// all are alike it is unsure. It is told what lifts it.
func TestLoudest(t *testing.T) {
	tab, err := table()
	if err != nil {
		t.Fatal(err)
	}
	at := func(bars ...int) func(int) float64 {
		return func(m int) float64 {
			if slices.Contains(bars, m) {
				return 2
			}
			return -0.1
		}
	}
	for _, c := range []struct {
		name string
		loud func(int) float64
		want int
		sure bool
	}{
		{"a hill", at(10, 11, 12), 11, true},
		{"a hill beside a lone measure", at(4, 10, 11, 12), 11, true},
		{"two hills", at(4, 5, 6, 20, 21, 22), 21, true},
		{"all alike", at(), 29, false},
	} {
		got := tab.loudest(said(shaping.ByHeight, c.loud))
		if got.Measure != c.want || (got.Certainty > tonal.Unsure) != c.sure {
			t.Errorf("%s: %+v, want measure %d", c.name, got, c.want)
		}
		if c.sure && !slices.Equal(got.Causes, []shaping.Cause{shaping.ByHeight}) {
			t.Errorf("%s: lifted by %v", c.name, got.Causes)
		}
	}
	if one, two := tab.loudest(said(shaping.ByHeight, at(10, 11, 12))), tab.loudest(said(shaping.ByHeight, at(4, 5, 6, 20, 21, 22))); one.Confidence <= two.Confidence {
		t.Errorf("one hill %.2f, two %.2f: one is surer", one.Confidence, two.Confidence)
	}
	for n, want := range map[int]tonal.Certainty{21: tonal.Likely, 22: tonal.Sure} {
		m := said(shaping.ByHeight, func(measure int) float64 { return map[bool]float64{true: 9}[measure > 9 && measure < 13] })
		m.Score.Measures = m.Score.Measures[:n]
		if got := tab.loudest(m); got.Certainty != want {
			t.Errorf("%d measures: %v, want %v", n, got.Certainty, want)
		}
	}
	m := said(shaping.ByHeight, func(measure int) float64 { return map[bool]float64{true: 9}[measure > 9 && measure < 13] })
	m.Score.Parts = make([]score.Part, 2)
	if got := tab.loudest(m); got.Certainty != tonal.Likely {
		t.Errorf("two parts: %v", got.Certainty)
	}
	if got := tab.loudest(Material{Score: &score.Score{}}); got != nil {
		t.Errorf("nothing sounds: %+v", got)
	}
}

// A cause that gives a third of the strongest is named, one that gives less is not, and
// never more than two are.
func TestWhatLifts(t *testing.T) {
	m := said(shaping.ByHeight, func(measure int) float64 { return float64(measure) })
	for c, share := range map[shaping.Cause]float64{shaping.ByTexture: 0.34, shaping.ByDensity: 0.33, shaping.ByPage: -2} {
		for _, x := range m.Says[shaping.ByHeight] {
			m.Says[c] = append(m.Says[c], share*x)
		}
	}
	if got := m.lifting(20); !slices.Equal(got, []shaping.Cause{shaping.ByHeight, shaping.ByTexture}) {
		t.Errorf("%v", got)
	}
	m.Says[shaping.ByTexture] = make([]float64, len(m.Grid))
	if got := m.lifting(20); !slices.Equal(got, []shaping.Cause{shaping.ByHeight}) {
		t.Errorf("%v", got)
	}
}

// Means and smoothing, counted by hand; a measure without a value has the least mean.
func TestMeansByMeasure(t *testing.T) {
	s := melody(make([]int, 12)...)
	got := Means(s, []score.Tick{0, 2, 8}, []float64{1, 2, 5})
	if !slices.EqualFunc(got, []float64{1.5, 1.5, 5}, near) {
		t.Error(got)
	}
	if got = Rounded([]float64{4, 0, 8}); !slices.EqualFunc(got, []float64{3, 3, 6}, near) {
		t.Error(got)
	}
	q := make([]float64, 200)
	for i := range q {
		q[i] = 0.005
	}
	q[100] = 0.006
	if at, mass := Crest(q); at != 100 || math.Abs(mass-0.046) > 1e-9 { // nine measures: a fiftieth of 200 on either side
		t.Errorf("%d, %.4f", at, mass)
	}
	if _, mass := Crest(q[96:107]); math.Abs(mass-0.026) > 1e-9 { // five: two on either side
		t.Errorf("%.4f", mass)
	}
}
