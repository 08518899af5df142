package shaping

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

// reading is one factor of the additive model: a series of [observed], read
// around each moment.
type reading struct {
	cause Cause
	of    string // the series
	how   how
	a, b  float64 // in measures: see how
}

// how a series is read around a moment.
type how int

const (
	here   how = iota // as it is there
	around            // its mean, smoothly, over a measures around it
	among             // its mean between a and b measures from it
	coming            // how much higher it is in the a measures after than before
	rated             // the logarithm of its mean over a measures around it
)

const beatLong = 0.34 // about a beat, in measures

// readings are what the model weighs. They are what backward elimination under
// cross-validation left of 375; DEVELOPERS.md says how.
var readings = [...]reading{
	{ByPage, "printed", here, 0, 0},
	{ByPage, "printed", among, -2, 0},
	{ByPage, "printed", among, -4, -2},
	{ByPage, "printed", among, -1, -0.67},
	{ByPage, "printed", among, 0, beatLong},
	{ByPage, "printed", among, beatLong, 0.67},
	{ByPage, "printed", among, 0.67, 1},
	{ByPage, "printed", among, 2, 4},
	{ByPage, "fresh", here, 0, 0},
	{ByPage, "over pp", here, 0, 0},
	{ByPage, "over mf", here, 0, 0},

	{ByAccent, "accent", here, 0, 0},
	{ByAccent, "accent before", here, 0, 0},

	{ByTension, "distance", around, 4, 0},
	{ByTension, "change", around, 4, 0},
	{ByTension, "cadence", around, 1, 0},
	{ByTension, "dissonance", among, 0, beatLong},
	{ByTension, "dissonance", among, beatLong, 0.67},
	{ByTension, "dissonance", among, 4, 8},

	{ByPhrase, "place", here, 0, 0},
	{ByPhrase, "arch", here, 0, 0},
	{ByPhrase, "last 2", here, 0, 0},
	{ByPhrase, "last 8", here, 0, 0},
	{ByPhrase, "first 8", here, 0, 0},
	{ByPhrase, "phrase start", around, 1, 0},
	{ByPhrase, "phrase end", here, 0, 0},
	{ByPhrase, "again", around, 1, 0},
	{ByPhrase, "slowing", around, 1, 0},
	{ByPhrase, "tempo", around, 1, 0},
	{ByPhrase, "theme", around, beatLong, 0},
	{ByPhrase, "theme start", around, 1, 0},

	{ByHeight, "melody", around, 1, 0},
	{ByHeight, "melody", around, 8, 0},
	{ByHeight, "melody", among, -8, -4},
	{ByHeight, "melody", among, -4, -2},
	{ByHeight, "melody", among, 0, beatLong},
	{ByHeight, "melody", coming, beatLong, 0},
	{ByHeight, "melody", coming, 4, 0},
	{ByHeight, "top", here, 0, 0},
	{ByHeight, "top", around, 1, 0},
	{ByHeight, "top start", here, 0, 0},
	{ByHeight, "centre", among, 0, beatLong},
	{ByHeight, "centre", among, beatLong, 0.67},
	{ByHeight, "step in", here, 0, 0},
	{ByHeight, "step in", around, 4, 0},
	{ByHeight, "step in", coming, 1, 0},
	{ByHeight, "step out", coming, 1, 0},
	{ByHeight, "turn", here, 0, 0},
	{ByHeight, "turn", around, beatLong, 0},
	{ByHeight, "below peak", around, 4, 0},
	{ByHeight, "below peak", coming, 1, 0},

	{ByDensity, "rate", rated, beatLong, 0},
	{ByDensity, "rate", rated, 2, 0},
	{ByDensity, "rate", among, -0.67, -beatLong},
	{ByDensity, "rate", among, 0, beatLong},
	{ByDensity, "rate", among, beatLong, 0.67},
	{ByDensity, "rate", among, 0.67, 1},
	{ByDensity, "moves", rated, beatLong, 0},
	{ByDensity, "moves", rated, 1, 0},
	{ByDensity, "moves", among, -0.67, -beatLong},
	{ByDensity, "moves", among, -beatLong, 0},
	{ByDensity, "moves", among, 1, 2},

	{ByTexture, "voices", here, 0, 0},
	{ByTexture, "octaves", around, 1, 0},
	{ByTexture, "octaves", around, 8, 0},
	{ByTexture, "staccato", around, 2, 0},
	{ByTexture, "arpeggio", here, 0, 0},
	{ByTexture, "slurred", around, 2, 0},
	{ByTexture, "entry", around, 1, 0},
	{ByTexture, "bass", among, -0.67, -beatLong},
	{ByTexture, "bass", among, 4, 8},
	{ByTexture, "over low", coming, 1, 0},
	{ByTexture, "span", here, 0, 0},
	{ByTexture, "span", around, 1, 0},
	{ByTexture, "span", coming, 1, 0},
	{ByTexture, "length", among, -1, -0.67},
	{ByTexture, "length", among, -beatLong, 0},
	{ByTexture, "length", among, beatLong, 0.67},

	{ByMetre, "downbeat", here, 0, 0},
}

// name is the reading's name in the table of weights; numbers are measures.
func (r reading) name() string {
	a, b := ftoa(r.a), ftoa(r.b)
	switch r.how {
	case around:
		return r.of + " around " + a
	case among:
		return r.of + " from " + a + " to " + b
	case coming:
		return r.of + " coming " + a
	case rated:
		return r.of + " rate " + a
	}
	return r.of
}

// factor is one reading over the grid.
type factor struct {
	name  string
	cause Cause
	value series
}

// factors measures everything the model weighs and hands each of it on, so that
// not all need to be held at once. A factor that is not wanted (nil wants all)
// is left out.
func (o *observed) factors(wanted func(name string) bool, each func(factor)) {
	f := factoring{o: o, bar: o.bar()}
	f.pattern = min(patternShare*o.pattern(), 1)
	for _, r := range readings {
		if name := r.name(); wanted == nil || wanted(name) {
			each(factor{name, r.cause, f.level(f.read(r))})
		}
	}
}

type factoring struct {
	o       *observed
	bar     float64 // a measure in quarter notes, the median
	pattern float64 // how much of each factor is evened out, 0 to 1
}

// patternShare is the share of levelling for each unit of pattern; chosen on the performances.
const patternShare = 4.0

// read gives a reading at every moment.
func (f *factoring) read(r reading) series {
	v := f.o.series(r.of)
	switch r.how {
	case around:
		return f.o.mean(v, r.a*f.bar)
	case among:
		return f.o.window(v, r.a*f.bar, r.b*f.bar)
	case coming:
		return minus(f.o.window(v, 0, r.a*f.bar), f.o.window(v, -r.a*f.bar, 0))
	case rated:
		return logged(f.o.mean(v, r.a*f.bar))
	}
	return v
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

// places says how far from the ends of the piece each moment is.
func (o *observed) places() {
	place, arch, first, last, latest := o.series("place"), o.series("arch"), o.series("first 8"), o.series("last 8"), o.series("last 2")
	end, bar := o.time[o.cells()], o.bar()
	ramp := func(quarters, measures float64) float64 { return min(max(1-quarters/(measures*bar), 0), 1) }
	for i := range place {
		t := o.time[i]
		place[i] = t / end
		arch[i] = (t/end - 0.5) * (t/end - 0.5)
		first[i], last[i], latest[i] = ramp(t, 8), ramp(end-t, 8), ramp(end-t, 2)
	}
}

// derived are series made of others.
func (o *observed) derived() {
	pp, mf, before := o.series("over pp"), o.series("over mf"), o.series("accent before")
	rate, moves, span := o.series("rate"), o.series("moves"), o.series("span")
	printed, accent := o.series("printed"), o.series("accent")
	notes, attack, top, bass := o.series("notes"), o.series("attack"), o.series("top"), o.series("bass")
	for i := range pp {
		pp[i], mf[i] = max(printed[i]-2.5, 0), max(printed[i]-5.5, 0)
		before[i] = accent[max(i-1, 0)]
		q := max(o.quart[i], 1e-6)
		rate[i], moves[i] = notes[i]/q, attack[i]/q
		span[i] = top[i] - bass[i]
	}
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

func logged(v series) series {
	out := make(series, len(v))
	for i, x := range v {
		out[i] = logRate(x)
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
