package shaping

import (
	"math"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/score"
)

// starts looks at where the top begins a note, and at voices that come in after
// a silence.
func (o *observed) starts() {
	topStart, entry, top := o.series("top start"), o.series("entry"), o.series("top")
	last := map[[2]int]score.Tick{}
	for _, n := range o.s.Notes {
		if !n.Pitched() {
			continue
		}
		i := o.cell(n.Onset)
		if n.Pitch.MIDI() >= top[i] {
			topStart[i] = 1
		}
		v := [2]int{n.Part, n.Voice}
		if end, ok := last[v]; ok && n.Onset-end >= o.s.Division {
			entry[i] = 1
		}
		last[v] = max(last[v], n.End())
	}
}

// returns counts how often a measure's music was heard before, two at most.
func (o *observed) returns() {
	again := o.series("again")
	seen := map[uint64]int{}
	for m, p := range page.Fingerprints(o.s) {
		if p == 0 {
			continue
		}
		lo, hi := o.cell(o.s.Measures[m].Start), o.cell(o.s.Measures[m].End()-1)
		for i := lo; i <= hi; i++ {
			again[i] = min(float64(seen[p]), 2)
		}
		seen[p]++
	}
}

// phrases lays the analysis's phrases on the grid: the first measure and the
// last of each, as ramps toward its ends.
func (o *observed) phrases(a *harmony.Analysis) {
	if a == nil {
		return
	}
	rise, fall, bar := o.series("phrase start"), o.series("phrase end"), o.bar()
	for _, ph := range a.Phrases {
		lo, hi := o.cell(ph.Start), o.cell(max(ph.End-1, ph.Start))
		for i := lo; i <= hi; i++ {
			rise[i] = max(1-o.s.Quarters(o.at[i]-ph.Start)/bar, 0)
			fall[i] = max(1-o.s.Quarters(ph.End-o.at[i])/bar, 0)
		}
	}
}

// pace reads the words that slow down, and the tempo marks.
func (o *observed) pace() {
	slow, tempo := o.series("slowing"), o.series("tempo")
	bar := o.s.Measures[0].Length
	for _, w := range o.s.Words {
		if !page.Slows(w.Text) {
			continue
		}
		for i := o.cell(w.At); i < o.cells() && o.at[i] < w.At+2*bar; i++ {
			slow[i] = 1
		}
	}
	ts := append([]score.Tempo(nil), o.s.Tempos...)
	sort.SliceStable(ts, func(i, j int) bool { return ts[i].At < ts[j].At })
	k, v := 0, 0.0
	if len(ts) > 0 {
		v = math.Log(ts[0].PerMin)
	}
	for i := range tempo {
		for k < len(ts) && ts[k].At <= o.at[i] {
			v = math.Log(ts[k].PerMin)
			k++
		}
		tempo[i] = v
	}
}
