package shaping

import (
	"sort"

	"hairpin/score"
)

// line is one voice as a melody: notes in order, of a chord the highest.
type line []*score.Note

// lines gives every voice of every staff, in order.
func (o *observed) lines() []line {
	type voice struct{ part, staff, voice int }
	at := map[voice]int{}
	var out []line
	for i := range o.s.Notes { // in order of onset
		n := &o.s.Notes[i]
		if !n.Pitched() || n.Grace {
			continue
		}
		v := voice{n.Part, n.Staff, n.Voice}
		k, ok := at[v]
		if !ok {
			k = len(out)
			at[v], out = k, append(out, nil)
		}
		switch l := out[k]; {
		case len(l) == 0 || l[len(l)-1].Onset != n.Onset:
			out[k] = append(l, n)
		case n.Pitch.MIDI() > l[len(l)-1].Pitch.MIDI():
			l[len(l)-1] = n
		}
	}
	return out
}

// melodic looks at how each voice moves: the step into and out of its notes in
// semitones, up positive, the mean of the voices that begin a note there and
// held until the next does; and the notes that lie above both neighbours.
func (o *observed) melodic() {
	in, out, turn := o.series("step in"), o.series("step out"), o.series("turn")
	count := make([]float64, len(in))
	for _, l := range o.lines() {
		for k, n := range l {
			i, before, after := o.cell(n.Onset), 0.0, 0.0
			if k > 0 {
				before = stepOf(l[k-1], n)
			}
			if k+1 < len(l) {
				after = stepOf(n, l[k+1])
			}
			in[i], out[i], count[i] = in[i]+before, out[i]+after, count[i]+1
			if before > 0 && after < 0 {
				turn[i] = 1
			}
		}
	}
	for i, n := range count {
		switch {
		case n > 0:
			in[i], out[i] = in[i]/n, out[i]/n
		case i > 0:
			in[i], out[i] = in[i-1], out[i-1]
		}
	}
}

// stepOf is the way from one note to the next of its voice, an octave at most;
// over a rest there is none.
func stepOf(a, b *score.Note) float64 {
	if b.Onset > a.End() {
		return 0
	}
	return min(max(b.Pitch.MIDI()-a.Pitch.MIDI(), -12), 12)
}

// A theme is the music with which the first voice begins: so many steps, of
// which all but one must come back in the same rhythm and direction. It is
// played out wherever it comes in (common practice for the subject of a fugue,
// no source).
const themeSteps = 7

// move is one step of a line as a theme knows it.
type move struct {
	after score.Tick // from onset to onset
	way   int        // 1 up, 0 level, -1 down
}

// theme marks where the beginning of the piece comes back in any voice, at any pitch.
func (o *observed) theme() {
	sounds, starts := o.series("theme"), o.series("theme start")
	lines := o.lines()
	sort.SliceStable(lines, func(i, j int) bool { return lines[i][0].Onset < lines[j][0].Onset })
	if len(lines) == 0 || len(lines[0]) <= themeSteps {
		return
	}
	first := movesOf(lines[0][:themeSteps+1])
	for _, l := range lines {
		moves := movesOf(l)
		for k := 0; k+themeSteps <= len(moves); k++ {
			if alike(first, moves[k:]) < themeSteps-1 {
				continue
			}
			from, to := o.cell(l[k].Onset), o.cell(l[k+themeSteps].Onset)
			starts[from] = 1
			for i := from; i <= to; i++ {
				sounds[i] = 1
			}
		}
	}
}

func movesOf(l line) []move {
	var out []move
	for k := 0; k+1 < len(l); k++ {
		out = append(out, move{l[k+1].Onset - l[k].Onset, wayOf(l[k+1].Pitch.MIDI() - l[k].Pitch.MIDI())})
	}
	return out
}

// wayOf is the way of a step in semitones; less than half a semitone is level.
func wayOf(step float64) int {
	switch {
	case step >= 0.5:
		return 1
	case step <= -0.5:
		return -1
	}
	return 0
}

// alike counts the steps that agree.
func alike(theme, with []move) int {
	n := 0
	for k, m := range theme {
		if with[k] == m {
			n++
		}
	}
	return n
}

// peaks says how far the melody lies below its highest note within a measure,
// and the bass above its lowest within four, in semitones.
func (o *observed) peaks() {
	below, over := o.series("below peak"), o.series("over low")
	melody, bass := o.series("melody"), o.series("bass")
	bar := o.bar()
	highest, lowest := extreme{list: melody, sign: 1}, extreme{list: bass, sign: -1}
	for i := range below {
		below[i] = melody[i] - highest.of(o.within(i, bar))
		over[i] = bass[i] - lowest.of(o.within(i, 4*bar))
	}
}

// extreme finds the highest value, or with sign -1 the lowest, of a window that
// only moves forward. It keeps those that may still become it, falling from the
// front on, so that all windows together cost one walk.
type extreme struct {
	list  []float64
	sign  float64
	seen  int   // values taken in so far
	queue []int // indices into list
}

func (e *extreme) of(lo, hi int) float64 {
	for ; e.seen < hi; e.seen++ {
		for len(e.queue) > 0 && e.sign*e.list[e.queue[len(e.queue)-1]] <= e.sign*e.list[e.seen] {
			e.queue = e.queue[:len(e.queue)-1]
		}
		e.queue = append(e.queue, e.seen)
	}
	for e.queue[0] < lo {
		e.queue = e.queue[1:]
	}
	return e.list[e.queue[0]]
}

// within is the range of cells that begin at most some quarter notes before or after cell i.
func (o *observed) within(i int, quarters float64) (lo, hi int) {
	on := o.time[:o.cells()]
	lo = sort.SearchFloat64s(on, on[i]-quarters-1e-9)
	hi = sort.SearchFloat64s(on, on[i]+quarters+1e-9)
	return lo, hi
}
