package dynamics

import (
	"math"
	"sort"
	"strconv"
)

// Cause is what moves a proposal.
type Cause string

// The causes.
const (
	ByPage    Cause = "printed marks"
	ByAccent  Cause = "printed accents"
	ByTension Cause = "harmonic tension"
	ByPhrase  Cause = "phrase"
	ByHeight  Cause = "melody height"
	ByDensity Cause = "density of notes"
	ByTexture Cause = "fullness of sound"
	ByMetre   Cause = "metre"
)

// Causes lists the causes in the order in which they are told.
func Causes() []Cause {
	return []Cause{ByPage, ByAccent, ByTension, ByPhrase, ByHeight, ByDensity, ByTexture, ByMetre}
}

// factor is one quantity of the additive model, over the grid.
type factor struct {
	name  string
	cause Cause
	value series
}

// factors measures everything the model weighs and hands each of it on, so that
// not all need to be held at once. Numbers in names are window widths in
// measures. A factor that is not wanted (nil wants all) is left out.
func (o *observed) factors(wanted func(name string) bool, each func(factor)) {
	f := factoring{o: o, bar: o.bar(), wanted: wanted, each: each}
	f.pattern = min(patternShare*o.pattern(), 1)
	f.page()
	f.texture()
	f.height()
	f.metre()
	f.phrase()
	f.harmony()
	f.lagged()
}

type factoring struct {
	o       *observed
	bar     float64 // a measure in quarter notes, the median
	pattern float64 // how much of each factor is evened out, 0 to 1
	wanted  func(name string) bool
	each    func(factor)
}

// patternShare is the share of levelling for each unit of pattern; chosen on the performances.
const patternShare = 4.0

func (f *factoring) wants(name string) bool { return f.wanted == nil || f.wanted(name) }

func (f *factoring) add(name string, cause Cause, v series) {
	if f.wants(name) {
		f.each(factor{name, cause, f.level(v)})
	}
}

// level evens out what a patterned accompaniment does inside every measure: it
// is not shaped beat by beat. The more the bass keeps its pattern, the more of
// each factor is its mean over the measure around it.
func (f *factoring) level(v series) series {
	if f.pattern == 0 {
		return v
	}
	half := 2 / float64(max(f.o.s.Measures[0].BeatUnit, 1)) // half a beat: a cell's value stands for what follows its moment
	out := f.o.window(v, half-f.bar*0.67, half+f.bar*0.67)
	for i, even := range out {
		out[i] = v[i] + f.pattern*(even-v[i])
	}
	return out
}

// means adds a series averaged over windows of several widths.
func (f *factoring) means(name string, cause Cause, v series, widths ...float64) {
	for _, w := range widths {
		if n := name + " " + short(w); f.wants(n) {
			f.add(n, cause, f.o.mean(v, w*f.bar))
		}
	}
}

func (f *factoring) page() {
	pr := f.o.series("printed")
	f.add("level", ByPage, pr)
	f.means("level", ByPage, pr, 1, 2, 4, 8)
	f.add("level ahead", ByPage, f.o.window(pr, 0, 2*f.bar))
	f.add("level behind", ByPage, f.o.window(pr, -2*f.bar, 0))
	f.add("over pp", ByPage, above(pr, 2.5))
	f.add("over mf", ByPage, above(pr, 5.5))
	f.add("over f", ByPage, above(pr, 6.5))
	acc := f.o.series("accent")
	f.add("accent", ByAccent, acc)
	f.add("accent before", ByAccent, f.o.shifted(acc, -1))
	f.add("accents 2", ByAccent, f.o.window(acc, -f.bar, f.bar))
}

func (f *factoring) texture() {
	notes, attack := f.o.series("notes"), f.o.series("attack")
	f.add("notes", ByTexture, logged(notes, 1))
	rate, moves := f.o.perQuarter(notes), f.o.perQuarter(attack)
	for _, w := range [...]float64{0.34, 1, 2, 4, 8} {
		f.add("rate "+short(w), ByDensity, logged(f.o.mean(rate, w*f.bar), 0.3))
		f.add("attacks "+short(w), ByDensity, logged(f.o.mean(moves, w*f.bar), 0.3))
	}
	f.add("voices", ByTexture, f.o.series("voices"))
	f.means("voices", ByTexture, f.o.series("voices"), 0.34, 1, 2, 4, 8)
	f.add("octaves", ByTexture, f.o.series("octaves"))
	f.means("octaves", ByTexture, f.o.series("octaves"), 0.34, 1, 2, 4, 8)
	f.means("bass", ByTexture, f.o.series("bass"), 0, 0.34, 1, 2, 4, 8, 16)
	f.means("grace", ByTexture, f.o.series("grace"), 0, 2)
	for _, n := range [...]string{"staccato", "tenuto", "ornament", "arpeggio", "tremolo", "slurred"} {
		f.means(n, ByTexture, f.o.series(n), 0, 2)
	}
	f.add("bass start", ByTexture, f.o.series("bass start"))
	f.means("entry", ByTexture, f.o.series("entry"), 0, 0.34, 1)
	f.add("voices coming", ByTexture, f.coming(f.o.series("voices"), 1))
	f.add("rate coming", ByDensity, f.coming(rate, 1))
	f.add("rate coming 2", ByDensity, f.coming(rate, 2))
	f.add("length", ByTexture, f.o.series("length"))
	f.means("length", ByTexture, f.o.series("length"), 1, 4)
}

func (f *factoring) height() {
	for _, n := range [...]string{"melody", "top", "centre"} {
		f.means(n, ByHeight, f.o.series(n), 0, 0.34, 1, 2, 4, 8, 16)
	}
	mel := f.o.series("melody")
	f.add("top start", ByHeight, f.o.series("top start"))
	f.add("top length", ByHeight, f.o.series("top length"))
	f.means("low", ByTexture, f.o.series("low"), 0, 1)
	for _, w := range [...]float64{0.34, 1, 2, 4} {
		f.add("line rising "+short(w), ByHeight, f.coming(mel, w))
	}
	f.add("leap", ByHeight, minus(mel, f.o.shifted(mel, -1)))
}

func (f *factoring) metre() {
	f.add("metre", ByMetre, f.o.series("metre"))
	f.add("downbeat", ByMetre, f.o.series("downbeat"))
}

func (f *factoring) phrase() {
	o := f.o
	end := o.quarters(o.cells())
	place := func(fn func(t float64) float64) series {
		v := make(series, o.cells())
		for i := range v {
			v[i] = fn(o.quarters(i))
		}
		return v
	}
	ramp := func(x float64) float64 { return min(max(1-x, 0), 1) }
	f.add("place", ByPhrase, place(func(t float64) float64 { return t / end }))
	f.add("arch", ByPhrase, place(func(t float64) float64 { return (t/end - 0.5) * (t/end - 0.5) }))
	f.add("last 2", ByPhrase, place(func(t float64) float64 { return ramp((end - t) / (2 * f.bar)) }))
	f.add("last 8", ByPhrase, place(func(t float64) float64 { return ramp((end - t) / (8 * f.bar)) }))
	f.add("first 2", ByPhrase, place(func(t float64) float64 { return ramp(t / (2 * f.bar)) }))
	f.add("first 8", ByPhrase, place(func(t float64) float64 { return ramp(t / (8 * f.bar)) }))
	for _, n := range [...]float64{2, 4, 8} {
		f.add("cosine "+short(n), ByPhrase, place(func(t float64) float64 { return math.Cos(2 * math.Pi * t / (n * f.bar)) }))
		f.add("sine "+short(n), ByPhrase, place(func(t float64) float64 { return math.Sin(2 * math.Pi * t / (n * f.bar)) }))
	}
	for _, n := range [...]string{"phrase arch", "phrase start", "phrase end", "phrase late", "again", "again at once", "slowing", "hurrying", "tempo"} {
		f.means(n, ByPhrase, o.series(n), 0, 1)
	}
	f.means("slur start", ByPhrase, o.series("slurstart"), 0, 2)
	f.means("slur end", ByPhrase, o.series("slurend"), 0, 2)
	f.means("silence", ByPhrase, o.series("silence"), 0, 2)
}

func (f *factoring) harmony() {
	for _, n := range [...]string{"tension", "dissonance", "distance", "pull"} {
		v := f.o.series(n)
		f.means(n, ByTension, v, 0, 0.34, 1, 2, 4, 8)
		f.add(n+" coming", ByTension, f.coming(v, 1))
		f.add(n+" coming 4", ByTension, f.coming(v, 4))
	}
	f.means("change", ByTension, f.o.series("change"), 0, 1, 4)
	f.means("cadence", ByTension, f.o.series("cadence"), 0, 1, 2)
}

// coming is how much higher a series is in the measures after than before.
func (f *factoring) coming(v series, measures float64) series {
	return minus(f.o.window(v, 0, measures*f.bar), f.o.window(v, -measures*f.bar, 0))
}

// lags adds a series averaged over neighbouring windows before and after each point.
func (f *factoring) lags(name string, cause Cause, v series) {
	edges := [...]float64{-8, -4, -2, -1, -0.67, -0.34, -0.01, 0.34, 0.67, 1, 2, 4, 8}
	for i := 0; i+1 < len(edges); i++ {
		f.add(name+" lag "+ftoa(edges[i]), cause, f.o.window(v, edges[i]*f.bar, edges[i+1]*f.bar))
	}
}

func short(w float64) string {
	switch w {
	case 0:
		return "here"
	case 0.34:
		return "beat"
	}
	return ftoa(w)
}

// bar is the median length of a measure in quarter notes.
func (o *observed) bar() float64 {
	var v []float64
	for _, m := range o.s.Measures {
		if m.Length > 0 {
			v = append(v, o.s.Quarters(m.Length))
		}
	}
	if len(v) == 0 {
		return 4
	}
	sort.Float64s(v)
	return v[len(v)/2]
}

// perQuarter turns counts at points into a rate in each cell.
func (o *observed) perQuarter(v series) series {
	out := make(series, len(v))
	for i, x := range v {
		out[i] = x / max(o.quart[i], 1e-6)
	}
	return out
}

func (o *observed) shifted(v series, by int) series {
	out := make(series, len(v))
	for i := range out {
		out[i] = v[min(max(i+by, 0), len(v)-1)]
	}
	return out
}

func above(v series, level float64) series {
	out := make(series, len(v))
	for i, x := range v {
		out[i] = max(x-level, 0)
	}
	return out
}

func logged(v series, add float64) series {
	out := make(series, len(v))
	for i, x := range v {
		out[i] = math.Log(add + x)
	}
	return out
}

func logRate(x float64) float64 { return math.Log(0.3 + x) }

func minus(a, b series) series {
	out := make(series, len(a))
	for i := range out {
		out[i] = a[i] - b[i]
	}
	return out
}

func ftoa(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func (f *factoring) lagged() {
	o := f.o
	f.lags("level", ByPage, o.series("printed"))
	f.lags("accent", ByAccent, o.series("accent"))
	f.lags("tension", ByTension, o.series("tension"))
	f.lags("dissonance", ByTension, o.series("dissonance"))
	f.lags("melody", ByHeight, o.series("melody"))
	f.lags("centre", ByHeight, o.series("centre"))
	f.lags("bass", ByTexture, o.series("bass"))
	f.lags("voices", ByTexture, o.series("voices"))
	f.lags("rate", ByDensity, o.perQuarter(o.series("notes")))
	f.lags("attacks", ByDensity, o.perQuarter(o.series("attack")))
	f.lags("length", ByTexture, o.series("length"))
}
