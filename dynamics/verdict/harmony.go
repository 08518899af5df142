package verdict

import (
	"math"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// HarmonyMove is what the harmony does over a stretch.
type HarmonyMove struct {
	From, To float64      // tension of its first and its last chord, 0 to 100
	End      score.Tick   // of the stretch
	Way      Way          // builds, holds or releases
	Waits    bool         // a dominant is sustained over it, or its last chord is a cadential six-four
	Onto     *tonal.Chord // the chord that it holds or goes to; nil if none sounds there
	Starts   *tonal.Chord // its first chord; nil if none sounds
	Chords   int          // how many chords sound in it
	Answered bool         // the chord after it is the tonic that its last dominant waits for
	Chances  Chances      // of what it does; see [Model]

	spread float64 // of the tension of its beats, highest less lowest
}

// harmonyOver compares the chords at both ends of a stretch; what it does is
// told by the model.
func (j *judge) harmonyOver(from, to score.Tick) HarmonyMove {
	out := HarmonyMove{End: to}
	chords := j.chordsIn(from, to)
	near := Tolerance(j.s, from)
	if len(chords) == 0 {
		out.From, out.To = j.tensionIn(from, to, near, false), j.tensionIn(from, to, near, true)
		return out
	}
	first, last := &chords[0], &chords[len(chords)-1]
	out.Starts, out.Onto, out.Chords = first, last, len(chords)
	out.From = j.tensionIn(max(first.Start, from), min(first.End, to), near, false)
	out.To = j.tensionIn(max(last.Start, from), min(last.End, to), Tolerance(j.s, to-1), true)
	out.Answered = functionOf(last) == dominant && j.restAt(to)
	return out
}

// does sets what the harmony does.
func (m *HarmonyMove) does(d Deed) {
	m.Way, m.Waits = [...]Way{Builds: Up, Releases: Down, Holds: Still, Waits: Still}[d], d == Waits
}

// arrive names the chord that begins where a stretch ends, or within a beat, if a
// printed slope leads into it and it is what the harmony goes to.
func (j *judge) arrive(x *span, m *HarmonyMove) {
	var goal *tonal.Chord
	switch {
	case m.Onto == nil:
	case m.Way == Up && functionOf(m.Onto) != dominant && x.leadsInto(dominant), m.Way == Down && functionOf(m.Onto) != tonic && x.leadsInto(tonic):
		goal = j.chordAt(x.to)
	case m.Way == Down && x.page == page.Falls:
		goal = x.home()
	}
	if goal != nil {
		from := max(goal.Start, x.to)
		m.Onto, m.To = goal, j.tensionIn(from, goal.End, Tolerance(j.s, from), false)
	}
}

// change is how far tension goes, none while a dominant waits.
func (m HarmonyMove) change() float64 {
	if m.Waits {
		return 0
	}
	return m.To - m.From
}

// moved is how much the harmony moves for a verdict's size: nothing where it
// holds, and at least half of its way between the lowest and the highest beat.
func (m HarmonyMove) moved() float64 {
	if m.Way == Still {
		return 0
	}
	return max(math.Abs(m.To-m.From), m.spread/2)
}

// chordsIn are the chords of a stretch. One that only ends or begins in it, for
// less than half a beat, is left out where others sound.
func (j *judge) chordsIn(from, to score.Tick) []tonal.Chord {
	all := j.a.Chords
	i := sort.Search(len(all), func(i int) bool { return all[i].End > from })
	k := sort.Search(len(all), func(k int) bool { return all[k].Start >= to })
	if i >= k {
		return nil
	}
	least := Tolerance(j.s, from) / 2
	if k-i > 1 && all[i].End-from < least {
		i++
	}
	if k-i > 1 && to-all[k-1].Start < least {
		k--
	}
	return all[i:k]
}

// tensionIn is the mean tension of the first or the last beat of a stretch, of
// all of it if no chord sounds there.
func (j *judge) tensionIn(from, to, beat score.Tick, last bool) float64 {
	a, b := from, min(to, from+beat)
	if last {
		a, b = max(from, to-beat), to
	}
	i := sort.Search(len(j.a.Moments), func(i int) bool { return j.a.Moments[i].End > from })
	if v, silent := meanTension(j.a.Moments[i:], a, b); !silent {
		return v
	}
	v, _ := meanTension(j.a.Moments[i:], from, to)
	return v
}

// restAt reports whether a chord at rest begins at t.
func (j *judge) restAt(t score.Tick) bool {
	c := j.chordAt(t)
	return c != nil && functionOf(c) == tonic && j.beginsAt(c, t)
}

// beginsAt reports whether a chord that sounds at t begins there, give or take half a beat.
func (j *judge) beginsAt(c *tonal.Chord, t score.Tick) bool { return c.Start+Tolerance(j.s, t)/2 > t }

// sixFour reports whether a cadential six-four sounds at t.
func (j *judge) sixFour(t score.Tick) bool {
	c := j.chordAt(t)
	return c != nil && c.Numeral.Cadential
}

func (j *judge) chordAt(t score.Tick) *tonal.Chord {
	chords := j.a.Chords
	i := sort.Search(len(chords), func(i int) bool { return chords[i].End > t })
	if i < len(chords) && chords[i].Start <= t {
		return &chords[i]
	}
	return nil
}

// moves is the way of a change that reaches the threshold.
func moves(change, threshold float64) Way {
	switch {
	case change >= threshold:
		return Up
	case change <= -threshold:
		return Down
	}
	return Still
}
