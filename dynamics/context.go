package dynamics

import (
	"math"
	"sort"

	"hairpin/harmony"
	"hairpin/score"
)

// starts looks at where the outer voices begin, and at voices that come in
// after a silence.
func (o *observed) starts() {
	low, bassStart, topStart, topLen, entry := o.series("low"), o.series("bass start"), o.series("top start"), o.series("top length"), o.series("entry")
	top, bass := o.series("top"), o.series("bass")
	copy(low, bass)
	for i := range low {
		low[i] = top[i]
	}
	last := map[[2]int]score.Tick{}
	for _, n := range o.s.Notes {
		if !n.Pitched() {
			continue
		}
		i, k := o.cell(n.Onset), n.Pitch.MIDI()
		low[i] = min(low[i], k)
		if k <= bass[i] {
			bassStart[i] = 1
		}
		if k >= top[i] {
			topStart[i], topLen[i] = 1, math.Log2(1+o.s.Quarters(n.Duration))
		}
		v := [2]int{n.Part, n.Voice}
		if end, ok := last[v]; ok && n.Onset-end >= o.s.Division {
			entry[i] = 1
		}
		last[v] = max(last[v], n.End())
	}
}

// returns counts how often a measure's music was heard before.
func (o *observed) returns() {
	again, echo := o.series("again"), o.series("again at once")
	prints := fingerprints(o.s)
	seen := map[uint64]int{}
	for m, p := range prints {
		if p == 0 {
			continue
		}
		lo, hi := o.cell(o.s.Measures[m].Start), o.cell(o.s.Measures[m].End()-1)
		for i := lo; i <= hi; i++ {
			again[i] = min(float64(seen[p]), 2)
			if repeated(prints, m) > 0 {
				echo[i] = 1
			}
		}
		seen[p]++
	}
}

// phrases lays the analysis's phrases on the grid: how far along each moment
// is, an arch that is 1 in the middle, and ramps toward both ends.
func (o *observed) phrases(a *harmony.Analysis) {
	arch, rise, fall, late := o.series("phrase arch"), o.series("phrase start"), o.series("phrase end"), o.series("phrase late")
	if a == nil {
		return
	}
	bar := o.bar()
	for _, ph := range a.Phrases {
		lo, hi := o.cell(ph.Start), o.cell(max(ph.End-1, ph.Start))
		for i := lo; i <= hi; i++ {
			x := float64(o.at[i]-ph.Start) / float64(max(ph.End-ph.Start, 1))
			arch[i] = 4 * x * (1 - x)
			late[i] = x
			rise[i] = max(1-o.s.Quarters(o.at[i]-ph.Start)/bar, 0)
			fall[i] = max(1-o.s.Quarters(ph.End-o.at[i])/bar, 0)
		}
	}
}

// pace reads the words and tempo marks that speed up or slow down.
func (o *observed) pace() {
	slow, fast, tempo := o.series("slowing"), o.series("hurrying"), o.series("tempo")
	bar := o.s.Measures[0].Length
	for _, w := range o.s.Words {
		v := paceOf(w.Text)
		if v == 0 {
			continue
		}
		for i := o.cell(w.At); i < o.cells() && o.at[i] < w.At+2*bar; i++ {
			if v < 0 {
				slow[i] = 1
			} else {
				fast[i] = 1
			}
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

// paceOf is -1 for ritardando and its like, 1 for accelerando and its like.
func paceOf(text string) int {
	for _, w := range fold(text) {
		switch w {
		case "rit", "ritard", "ritardando", "riten", "ritenuto", "rall", "rallentando", "rallent", "slentando", "allargando", "calando", "smorzando", "morendo", "zuruckhaltend", "cedez", "retenez", "langsamer", "retenu":
			return -1
		case "accel", "accelerando", "stretto", "stringendo", "animato", "agitato", "affrettando", "mosso", "schneller", "bewegter":
			return 1
		}
	}
	return 0
}
