package decode

import "testing"

// Classes at, just under and just over their bounds. Beats are a hundredth wide of
// the mark, so that a measure of 4/4 in rounded ticks stays one of four beats.
func TestClasses(t *testing.T) {
	check := func(name string, class func(float64) int, bounds map[float64]int) {
		for x, want := range bounds {
			if got := class(x); got != want {
				t.Errorf("%s of %g is %d, want %d", name, x, got, want)
			}
		}
	}
	check("duration", durationClass, map[float64]int{
		0.25: 0, 0.33: 1, 0.5: 1, 0.75: 2, 1: 2, 1.25: 3, 1.5: 3, 1.75: 4, 2: 4, 2.5: 5, 3: 5, 3.5: 6, 4: 6, 4.5: 7, 6: 7, 6.5: 8, 16: 8,
	})
	check("pedal", pedalClass, map[float64]int{3.5: 0, 3.9: 0, 4: 1, 7.5: 1, 7.9: 1, 8: 2, 20: 2})
	check("distance", distanceClass, map[float64]int{0: 0, 2: 0, 2.5: 1, 8: 1, 8.5: 2})
	check("share", shareClass, map[float64]int{0: 0, 0.01: 1, 0.24: 1, 0.25: 2, 0.49: 2, 0.5: 3, 0.74: 3, 0.75: 4, 0.99: 4, 1: shares - 1})
	for m, want := range []int{Downbeat: 0, HalfBar: 0, Beat: 1, HalfBeat: 2, QuarterBeat: 2, Between: 2} {
		if got := metricClass(Metric(m)); got != want {
			t.Errorf("metric place %d is %d, want %d", m, got, want)
		}
	}
}

// Every weight has one name, and every name says its place in its block.
func TestEveryWeightHasAName(t *testing.T) {
	m := NewModel(triads(), nil)
	seen := map[string]bool{}
	for i := range m.W {
		name := m.lay.name(i)
		if name == "" || seen[name] {
			t.Fatalf("weight %d is named %q", i, name)
		}
		seen[name] = true
	}
	if name := m.lay.name(len(m.W)); name != "" {
		t.Errorf("there is a weight %q past the last", name)
	}
}

// A probability grows with what speaks for it, is a half where nothing does, and
// turns about: the definition of logistic regression.
func TestLogistic(t *testing.T) {
	var w, x [OddsInputs]float64
	if p := logistic(w, x); p < 0.5-1e-12 || p > 0.5+1e-12 {
		t.Errorf("%g, want a half", p)
	}
	w[0], x[0], w[5], x[5] = 1, 1, 2, 0.5 // log-odds of 2
	if p, q := logistic(w, x), logistic([OddsInputs]float64{-1, 0, 0, 0, 0, -2}, x); p < 0.8807 || p > 0.8809 || p+q < 1-1e-12 || p+q > 1+1e-12 {
		t.Errorf("%g and its contrary %g, want 0.881 and the rest", p, q)
	}
	if signedLog(3) < 1.386 || signedLog(3) > 1.387 || signedLog(-3)+signedLog(3) > 1e-12 || signedLog(-3)+signedLog(3) < -1e-12 {
		t.Errorf("the log of 1+3 is %g, of the contrary %g", signedLog(3), signedLog(-3))
	}
}
