package shaping

import (
	"math"
	"slices"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/score"
)

// Grid is the moments at which a shaping says something: every beat and every
// onset, in order. Cell i reaches to grid[i+1], the last to the end.
func Grid(s *score.Score) []score.Tick {
	var all []score.Tick
	for _, m := range s.Measures {
		all = append(all, m.Every(m.Unit(s.Division))...)
	}
	for i := range s.Notes {
		if n := &s.Notes[i]; !n.Grace {
			all = append(all, n.Onset)
		}
	}
	slices.Sort(all)
	return slices.DeleteFunc(slices.Compact(all), func(t score.Tick) bool { return t < 0 || t >= s.Length() })
}

// series is one quantity over the grid, constant inside a cell.
type series []float64

// observed is what the score shows at every point of the grid.
type observed struct {
	s     *score.Score
	at    []score.Tick // the grid, and the end of the piece
	time  []float64    // the same in quarter notes
	quart []float64    // lengths of the cells in quarter notes
	named map[string]series
	drawn map[float64][]edge // see edges
	sum   series             // see integral
}

func observe(s *score.Score, a *harmony.Analysis, p *page.Page) *observed {
	o := &observed{s: s, at: Grid(s), named: map[string]series{}, drawn: map[float64][]edge{}}
	if len(o.at) == 0 {
		return o
	}
	o.at = append(o.at, s.Length())
	o.time = make([]float64, len(o.at))
	for i, t := range o.at {
		o.time[i] = s.Quarters(t)
	}
	o.quart = make([]float64, o.cells())
	for i := range o.quart {
		o.quart[i] = s.Quarters(o.at[i+1] - o.at[i])
	}
	o.onsets()
	o.sounding()
	o.printed(p)
	o.downbeats()
	o.slurs()
	o.tension(a)
	o.starts()
	o.returns()
	o.phrases(a)
	o.pace()
	o.places()
	o.melodic()
	o.theme()
	o.peaks()
	o.derived()
	return o
}

func (o *observed) cells() int { return max(len(o.at)-1, 0) }

// series gives the named series, made on first use.
func (o *observed) series(name string) series {
	v, ok := o.named[name]
	if !ok {
		v = make(series, o.cells())
		o.named[name] = v
	}
	return v
}

// cell is the grid cell that holds t.
func (o *observed) cell(t score.Tick) int {
	i := sort.Search(len(o.at), func(i int) bool { return o.at[i] > t }) - 1
	return min(max(i, 0), o.cells()-1)
}

// onsets looks at the notes that begin at each point.
func (o *observed) onsets() {
	count, attack, dur := o.series("notes"), o.series("attack"), o.series("length")
	stacc, arp := o.series("staccato"), o.series("arpeggio")
	for _, n := range o.s.Notes {
		if n.Grace {
			continue
		}
		i := o.cell(n.Onset)
		count[i]++
		attack[i] = 1
		dur[i] = max(dur[i], math.Log2(1+o.s.Quarters(n.Duration)))
		mark(stacc, i, n.Signs, score.Staccato|score.Staccatissimo)
		mark(arp, i, n.Signs, score.Arpeggio)
	}
}

func mark(v series, i int, have, want score.Sign) {
	if have&want != 0 {
		v[i] = 1
	}
}

// sounding looks at the notes that sound in each cell.
func (o *observed) sounding() {
	top, bass, poly := o.series("top"), o.series("bass"), o.series("voices")
	mean, oct, begin := o.series("centre"), o.series("octaves"), o.series("melody")
	keys := make([][]float64, o.cells())
	started := make([]float64, o.cells())
	for _, n := range o.s.Notes {
		if !n.Pitched() {
			continue
		}
		k := n.Pitch.MIDI()
		first := o.cell(n.Onset)
		started[first] = max(started[first], k)
		for i := first; i < o.cells() && o.at[i] < n.End(); i++ {
			keys[i] = append(keys[i], k)
		}
	}
	lastTop, lastBass := firstKey(keys), firstKey(keys)
	for i, ks := range keys {
		if len(ks) == 0 {
			top[i], bass[i], mean[i], begin[i] = lastTop, lastBass, (lastTop+lastBass)/2, lastTop
			continue
		}
		sort.Float64s(ks)
		lastBass, lastTop = ks[0], ks[len(ks)-1]
		top[i], bass[i], poly[i] = lastTop, lastBass, float64(len(ks))
		begin[i] = lastTop
		if started[i] > 0 {
			begin[i] = started[i]
		}
		mean[i], oct[i] = average(ks), octaves(ks)
	}
}

func firstKey(keys [][]float64) float64 {
	for _, ks := range keys {
		if len(ks) > 0 {
			return ks[0]
		}
	}
	return 60
}

func average(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(max(len(v), 1))
}

// octaves counts notes doubled an octave or two above another.
func octaves(sorted []float64) float64 {
	n := 0
	for _, apart := range [...]float64{12, 24} {
		from, to := 0, 0 // the notes so far above x
		for _, x := range sorted {
			for from < len(sorted) && sorted[from]-x < apart {
				from++
			}
			for to < len(sorted) && sorted[to]-x <= apart {
				to++
			}
			n += to - from
		}
	}
	return float64(n)
}

func (o *observed) printed(p *page.Page) {
	level, acc := o.series("printed"), o.series("accent")
	for i := range level {
		level[i] = p.Whole.At(o.at[i])
	}
	o.fresh(p)
	for _, a := range p.Accents {
		i := o.cell(a.At)
		acc[i] = max(acc[i], a.Size)
	}
}

// A new mark moves players away from a middling level at once; the longer ago it
// was printed, the less. A third of that is left after marksFade measures; chosen
// on the performances.
const (
	middling  = 4.5 // between mp and mf
	marksFade = 4
)

// fresh is how far the page is from a middling level, as long as its mark is new.
func (o *observed) fresh(p *page.Page) {
	level, fresh, bar := o.series("printed"), o.series("fresh"), o.bar()
	z := 0
	for i := range level {
		for z+1 < len(p.Zones) && p.Zones[z+1].Start <= o.at[i] {
			z++
		}
		if z < len(p.Zones) {
			since := o.s.Quarters(o.at[i]-p.Zones[z].Start) / bar
			fresh[i] = (level[i] - middling) * math.Exp(-since/marksFade)
		}
	}
}

func (o *observed) downbeats() {
	down := o.series("downbeat")
	for i := range down {
		if o.s.Weight(o.at[i]) == 1 {
			down[i] = 1
		}
	}
}

func (o *observed) slurs() {
	in := o.series("slurred")
	for _, sl := range o.s.Slurs {
		for i := o.cell(sl.Start); i <= o.cell(sl.End) && i < len(in); i++ {
			in[i] = 1
		}
	}
}

// tension lays the moments of the analysis on the grid.
func (o *observed) tension(a *harmony.Analysis) {
	if a == nil {
		return
	}
	diss, dist, change, cadence := o.series("dissonance"), o.series("distance"), o.series("change"), o.series("cadence")
	j := 0
	for i := range diss {
		for j+1 < len(a.Moments) && a.Moments[j].End <= o.at[i] {
			j++
		}
		if j < len(a.Moments) && a.Moments[j].Start <= o.at[i] {
			diss[i], dist[i] = a.Moments[j].Tension.Dissonance, a.Moments[j].Tension.Distance
		}
	}
	for _, c := range a.Chords {
		change[o.cell(c.Start)] = 1
	}
	for _, c := range a.Cadences {
		cadence[o.cell(c.At)] = c.Confidence
	}
}
