package events

import (
	"math"
	"testing"

	"hairpin/score"
)

// A top line that goes by steps one way alone is a scale, with tones repeated or not; a
// skip or a turn makes a motive of it. Common practice, no source.
func TestScaleIsNoMotive(t *testing.T) {
	for line, want := range map[string]bool{
		"c5 d5 e5 f5": true, "f5 e5 d5 c5": true, "c5 c5 d5 d5": true, "d5 d5 c5 c5": true, "c5 c5 c5 c5": true,
		"c5 e5 f5 g5": false, "g5 e5 d5 c5": false, "c5 d5 e5 d5": false, "e5 d5 c5 d5": false, "c5 d5 f5 g5": false,
		"b4 c5 d5 e5": true,
	} {
		s, a := sheet(t, "4/4", "C: I:4", line)
		f := newFinder(s, a)
		if got := f.scale(run{start: 0, period: 2 * quarter, members: 2}); got != want {
			t.Errorf("%s: scale %v", line, got)
		}
		if !f.scale(run{start: 0, period: quarter, members: 1}) {
			t.Errorf("%s: one tone turns", line)
		}
	}
}

// Two members are enough if each fills a measure, the second is no more than two steps
// away and nearly exact: our own bounds.
func TestPairIsEnough(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:8", "c5:8")
	f := newFinder(s, a)
	for _, c := range []struct {
		name   string
		period score.Tick
		step   int
		alike  float64
		want   bool
	}{
		{"a measure, a step up", 4 * quarter, 1, 1, true}, {"two steps down", 4 * quarter, -2, 1, true}, {"two up", 4 * quarter, 2, 1, true},
		{"three up", 4 * quarter, 3, 1, false}, {"three down", 4 * quarter, -3, 1, false}, {"half a measure", 2 * quarter, 1, 1, false},
		{"nine notes in ten", 4 * quarter, 1, pairAlike, true}, {"fewer", 4 * quarter, 1, pairAlike - 0.01, false}, {"two measures", 8 * quarter, 1, 1, true},
	} {
		if got := f.pair(run{period: c.period, members: 2, step: c.step, alike: c.alike}); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// The longer run wins, then the one of more members, then the one on the stronger beat,
// then the earlier: the order of the doc.
func TestBetterRun(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:16", "c5:16")
	f := newFinder(s, a)
	const bar = 4 * quarter
	for _, c := range []struct {
		name string
		a, b run
	}{
		{"longer", run{start: quarter, period: bar, members: 3}, run{start: 0, period: quarter, members: 11}},
		{"more members", run{start: quarter, period: quarter, members: 8}, run{start: 0, period: bar, members: 2}},
		{"stronger beat", run{start: bar, period: bar, members: 2}, run{start: quarter, period: bar, members: 2}},
		{"earlier", run{start: 0, period: bar, members: 2}, run{start: bar, period: bar, members: 2}},
	} {
		if !f.better(c.a, c.b) || f.better(c.b, c.a) || f.better(c.a, c.a) {
			t.Errorf("%s: %v, turned round %v, beside itself %v", c.name, f.better(c.a, c.b), f.better(c.b, c.a), f.better(c.a, c.a))
		}
	}
}

// Members may be any number of whole beats within a measure, at most eight beats, and one,
// two or four measures: our own choice.
func TestPeriods(t *testing.T) {
	for metre, want := range map[string][]score.Tick{
		"3/4": {12, 24, 36, 72, 144}, "6/8": {18, 36, 72, 144}, "2/4": {12, 24, 48, 96}, "9/4": {12, 24, 36, 48, 60, 72, 84, 96, 108, 216, 432}, "8/4": {12, 24, 36, 48, 60, 72, 84, 96, 192, 384},
	} {
		s, a := sheet(t, metre, "C: I:9", "c5:9")
		got := newFinder(s, a).periods(0)
		if len(got) != len(want) {
			t.Errorf("%s: %v, want %v", metre, got, want)
			continue
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%s: %v, want %v", metre, got, want)
			}
		}
	}
}

// A sequence of three members is sure to 0.75 and each more adds 0.15 up to 0.95, times how
// alike they are; of two 0.6: our own scale.
func TestSequenceIsSure(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:16", "c5:16")
	f := newFinder(s, a)
	for members, want := range map[int]float64{2: 0.6, 3: 0.75, 4: 0.9, 5: 0.95, 9: 0.95} {
		for _, alike := range []float64{1, 0.8} {
			e := f.sequence(run{period: quarter, members: members, step: 1, keys: 2, alike: alike})
			if math.Abs(e.Confidence-want*alike) > 1e-9 || e.Part != -1 {
				t.Errorf("%d members: %.3f, want %.3f; part %d", members, e.Confidence, want*alike, e.Part)
			}
		}
	}
}
