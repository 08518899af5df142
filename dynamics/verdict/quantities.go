package verdict

import (
	"math"

	"hairpin/dynamics/page"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// span is a stretch with what its way is told from.
type span struct {
	j        *judge
	from, to score.Tick
	move     HarmonyMove
	page     page.MoveKind
	chords   []tonal.Chord
}

// quantity is something that tells what the harmony does over a stretch.
type quantity struct {
	name string
	of   func(*span) float64
}

// quantities are those of the model; direction.tsv has a line for each.
var quantities = [...]quantity{
	{"first is tonic", func(x *span) float64 { return rolesOf(x.move.Starts).tonic }},
	{"tonic to dominant", func(x *span) float64 { return rolesOf(x.move.Starts).tonic * rolesOf(x.move.Onto).dominant }},
	{"dominant to tonic", func(x *span) float64 { return rolesOf(x.move.Starts).dominant * rolesOf(x.move.Onto).tonic }},
	{"share of tonics", func(x *span) float64 { return x.share(isTonic) }},
	{"share of dominants", func(x *span) float64 { return x.share(isDominant) }},
	{"dominants only", func(x *span) float64 { return bit(len(x.chords) > 0 && x.share(isDominant) == 1) }},
	{"one root", (*span).oneRoot},
	{"chords", func(x *span) float64 { return math.Log(float64(max(x.move.Chords, 1))) }},
	{"bass on the fifth", func(x *span) float64 { return x.share(x.bassOn(1)) }},
	{"bass on the tonic", func(x *span) float64 { return x.share(x.bassOn(0)) }},
	{"closes", (*span).closes},
	{"end over start", func(x *span) float64 { return (x.move.To - x.move.From) / fullTension }},
	{"slope of tension", (*span).slope},
	{"mean tension", func(x *span) float64 { return x.beats().mean / fullTension }},
	{"long line", (*span).longLine},
	{"slope into tonic", func(x *span) float64 { return bit(x.leadsInto(tonic)) }},
	{"slope into dominant", func(x *span) float64 { return bit(x.leadsInto(dominant)) }},
	{"page grows", func(x *span) float64 { return bit(x.page == page.Grows) }},
	{"page falls", func(x *span) float64 { return bit(x.page == page.Falls) }},
	{"page swells", func(x *span) float64 { return bit(x.page == page.Swells) }},
	{"page is terraced", func(x *span) float64 { return bit(x.page == page.Terraced) }},
}

func bit(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// roles are the probabilities of what a chord does in its key, by its best and
// its second-best reading.
type roles struct{ tonic, dominant float64 }

func rolesOf(c *tonal.Chord) roles {
	var out roles
	if c == nil {
		return out
	}
	p := c.Confidence
	if c.Given {
		p = 1
	}
	out.add(functionOf(c), p)
	if c.Rival != "" {
		out.add(rivalFunction(c), 1-p)
	}
	return out
}

func (r *roles) add(f function, p float64) {
	switch f {
	case tonic:
		r.tonic += p
	case dominant:
		r.dominant += p
	}
}

func isTonic(c *tonal.Chord) bool    { return functionOf(c) == tonic }
func isDominant(c *tonal.Chord) bool { return functionOf(c) == dominant }

// bassOn asks for a bass so many fifths above the tonic of the key in which the stretch ends.
func (x *span) bassOn(fifths int) func(*tonal.Chord) bool {
	return func(c *tonal.Chord) bool { return int(c.Bass)-int(x.move.Onto.Key.Tonic) == fifths }
}

// share is the part of the sounding time, 0 to 1, whose chords are such.
func (x *span) share(such func(*tonal.Chord) bool) float64 {
	with, all := score.Tick(0), score.Tick(0)
	for i := range x.chords {
		c := &x.chords[i]
		time := min(c.End, x.to) - max(c.Start, x.from)
		if all += time; such(c) {
			with += time
		}
	}
	if all == 0 {
		return 0
	}
	return float64(with) / float64(all)
}

// oneRoot is 1 if all chords have the same root.
func (x *span) oneRoot() float64 {
	for _, c := range x.chords {
		if c.Root != x.chords[0].Root {
			return 0
		}
	}
	return 1
}

// closes is the confidence of a cadence that closes within the last measure.
func (x *span) closes() float64 {
	last := x.to - x.j.s.Measures[x.j.s.MeasureAt(x.from)].Length
	out := 0.0
	for _, c := range x.j.a.Cadences {
		if c.At > x.from && c.At >= last && c.At < x.to && (c.Kind.Authentic() || c.Kind == phrasing.Plagal) {
			out = c.Confidence
		}
	}
	return out
}

// trend is the tension of a stretch's beats: their mean, the slope of a line
// through them from start to end, and the highest less the lowest.
type trend struct{ mean, slope, spread float64 }

// beats fits a line through the tension of the beats.
func (x *span) beats() trend {
	var n, t, y, tt, ty float64
	low, high := math.Inf(1), math.Inf(-1)
	for k := x.j.beatAt(x.from); k < len(x.j.beats) && x.j.beats[k].at < x.to; k++ {
		at := float64(x.j.beats[k].at-x.from) / float64(x.to-x.from)
		v := x.j.beats[k].tension
		n, t, y, tt, ty = n+1, t+at, y+v, tt+at*at, ty+at*v
		low, high = min(low, v), max(high, v)
	}
	out := trend{mean: y / max(n, 1), spread: max(high-low, 0)}
	if spread := n*tt - t*t; spread > 1e-9 {
		out.slope = (n*ty - t*y) / spread
	}
	return out
}

func (x *span) slope() float64 { return x.beats().slope / fullTension }

// longLine is the change of the long line's tension from start to end.
func (x *span) longLine() float64 {
	at := func(t score.Tick) float64 {
		if i := x.j.momentAt(t); i >= 0 {
			return x.j.a.Moments[i].LongLine.Total
		}
		return 0
	}
	return (at(x.to-1) - at(x.from)) / fullTension
}

// leadsInto reports whether a printed slope goes up to a chord of that function
// which begins at the end: then it is heard as the goal.
func (x *span) leadsInto(f function) bool {
	c := x.j.chordAt(x.to)
	return (x.page == page.Grows || x.page == page.Falls) && c != nil && functionOf(c) == f && x.j.beginsAt(c, x.to)
}
