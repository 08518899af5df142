package main

import (
	"fmt"
	"io"
	"sort"

	"hairpin/dynamics/advice"
	"hairpin/harmony/tonal"
	"hairpin/score"
	"hairpin/tools/fit/levels"
)

// count is how often players did what a kind of advice asks.
type count struct {
	did, base float64
	n         int
	byFold    [levels.Folds]struct{ did, n float64 }
}

func (c *count) add(fold int, did bool, base float64) {
	c.n++
	c.base += base
	c.byFold[fold].n++
	if did {
		c.did++
		c.byFold[fold].did++
	}
}

func (c *count) share() advice.Share {
	n := float64(max(c.n, 1))
	return advice.Share{Share: c.did / n, Baseline: c.base / n, N: c.n}
}

// without is the share in the works of the other folds.
func (c *count) without(fold int) float64 {
	f := c.byFold[fold]
	return (c.did - f.did) / max(float64(c.n)-f.n, 1)
}

// moves counts what players do where advice might be given, and prints it.
func moves(w io.Writer, pieces []*heard) map[advice.Comparable]*count {
	counts := map[advice.Comparable]*count{}
	type outcome struct {
		c    advice.Comparable
		fold int
		did  bool
	}
	var all []outcome
	for _, h := range pieces {
		for _, m := range h.material.Moves(h.table.Goals(h.ways)) {
			did, base, ok := h.outcome(m)
			if !ok {
				continue
			}
			if counts[m.Comparable] == nil {
				counts[m.Comparable] = &count{}
			}
			counts[m.Comparable].add(h.fold, did, base)
			all = append(all, outcome{m.Comparable, h.fold, did})
		}
	}
	list(w, counts)
	firm := map[advice.Kind]*count{}
	total := &count{}
	for _, o := range all {
		if c := counts[o.c]; tonal.CertaintyOf(c.without(o.fold)) > tonal.Unsure {
			if firm[o.c.Kind] == nil {
				firm[o.c.Kind] = &count{}
			}
			base := c.share().Baseline
			firm[o.c.Kind].add(o.fold, o.did, base)
			total.add(o.fold, o.did, base)
		}
	}
	for k, c := range firm {
		s := c.share()
		fmt.Fprintf(w, "sure or likely: %-11s %.3f baseline %.3f of %d\n", k, s.Share, s.Baseline, s.N)
	}
	s := total.share()
	fmt.Fprintf(w, "sure or likely: all kinds   %.3f baseline %.3f of %d\n", s.Share, s.Baseline, s.N)
	return counts
}

func list(w io.Writer, counts map[advice.Comparable]*count) {
	var keys []advice.Comparable
	for c := range counts {
		keys = append(keys, c)
	}
	sort.Slice(keys, func(i, j int) bool { return fmt.Sprint(keys[i]) < fmt.Sprint(keys[j]) })
	for _, c := range keys {
		s := counts[c].share()
		fmt.Fprintf(w, "%-10s %-18s %.3f baseline %.3f of %d\n", c.Kind, c.Class, s.Share, s.Baseline, s.N)
	}
}

// outcome says whether players did as the move asks, and the share of random
// places of the piece at which they do the same. A dissonance is compared with
// other places at the same beat of the measure, since beats differ in weight.
func (h *heard) outcome(m advice.Move) (did bool, base float64, ok bool) {
	if m.Kind == advice.TakeTime {
		return false, 0, false
	}
	v := h.loud
	if m.Kind == advice.Lean || m.Kind == advice.Taper {
		v = h.Level
	}
	from, to := h.row(m.From), h.row(m.To)
	apart := to - from
	if from < 0 || apart <= 0 || to >= len(v) {
		return false, 0, false
	}
	grows := func(i int) bool { return v[i+apart] > v[i] }
	if m.Kind != advice.Grow {
		grows = func(i int) bool { return v[i+apart] < v[i] }
	}
	n := 0.0
	for i := 0; i+apart < len(v); i++ {
		if m.Kind == advice.Lean && h.inBar(i) != h.inBar(from) {
			continue
		}
		n++
		if grows(i) {
			base++
		}
	}
	return grows(from), base / max(n, 1), true
}

// row is the row of a beat, -1 if it has none.
func (h *heard) row(t score.Tick) int {
	b := h.material.Beats
	i := sort.Search(len(b), func(i int) bool { return b[i] >= t })
	if i == len(b) || b[i] != t {
		return -1
	}
	return i
}

// inBar is how far into its measure a row's beat stands.
func (h *heard) inBar(row int) score.Tick {
	t := h.material.Beats[row]
	return h.Score.Measures[h.Score.MeasureAt(t)].Into(t)
}
