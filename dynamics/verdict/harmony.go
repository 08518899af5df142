package verdict

import (
	"math"
	"sort"

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

	margin float64 // how far the change exceeds its threshold, or stays under it: 1 is the threshold
	late   bool    // the last chord takes less than two fifths of it
	peak   float64 // the highest tension of a chord in it
}

// harmonyOver compares the chords at both ends of a stretch.
func (j *judge) harmonyOver(from, to score.Tick) HarmonyMove {
	out := HarmonyMove{End: to, margin: 1}
	chords := j.chordsIn(from, to)
	if len(chords) == 0 {
		near := Tolerance(j.s, from)
		out.From, out.To = j.tensionIn(from, to, near, false), j.tensionIn(from, to, near, true)
		out.Way = moves(out.To-out.From, tensionMove)
		return out
	}
	first, last := &chords[0], &chords[len(chords)-1]
	out.Starts, out.Onto, out.Chords = first, last, len(chords)
	near := Tolerance(j.s, from)
	out.From = j.tensionIn(max(first.Start, from), min(first.End, to), near, false)
	out.To = j.tensionIn(max(last.Start, from), min(last.End, to), Tolerance(j.s, to-1), true)
	for _, c := range chords {
		out.peak = max(out.peak, j.tensionIn(max(c.Start, from), min(c.End, to), to-from, false))
	}
	out.late = 5*(to-max(last.Start, from)) < 2*(to-from)
	out.Answered = functionOf(last) == dominant && j.restAt(to)
	out.decide(chords)
	return out
}

// decide finds the way of the harmony.
func (m *HarmonyMove) decide(chords []tonal.Chord) {
	a, b := functionOf(m.Starts), functionOf(m.Onto)
	change := m.To - m.From
	least := thresholdOf(a, b)
	m.Way, m.margin = moves(change, least), math.Abs(change)/least
	if m.Way == Still && a != tonic && b != tonic { // between two chords that lead on, a little is a lean
		m.Way = moves(change, leanMove)
	}
	sustained := true
	for i := range chords {
		sustained = sustained && functionOf(&chords[i]) == dominant
	}
	switch {
	case sustained, a == dominant && b == dominant && m.Way == Still:
		m.Waits, m.Way = true, Still
	case m.Onto.Numeral.Cadential && change < 0: // fourth and sixth hang over the dominant as suspensions
		m.Waits, m.Way = true, Still // (Aldwell & Schachter, Harmony and Voice Leading, on the cadential six-four; from memory)
	}
}

// lead lets a slope over a harmony that holds, other than one tonic all along, lead into the dominant with which
// it ends, if one begins there.
func (j *judge) lead(m *HarmonyMove, at score.Tick) {
	c := j.chordAt(at)
	if m.Way != Still || m.Waits || m.Starts == nil || c == nil || c.Start != at || functionOf(c) != dominant || m.Chords == 1 && functionOf(m.Onto) == tonic {
		return
	}
	m.Onto, m.To = c, j.tensionIn(at, c.End, Tolerance(j.s, at), false)
	m.Way, m.margin = moves(m.To-m.From, tensionMove), math.Abs(m.To-m.From)/tensionMove
}

// tends is the way of the harmony with waiting counted as building: a dominant
// that is sustained asks to go on more and more.
func (m HarmonyMove) tends() Way {
	if m.Waits {
		return Up
	}
	return m.Way
}

// change is how far tension goes, none while a dominant waits.
func (m HarmonyMove) change() float64 {
	if m.Waits {
		return 0
	}
	return m.To - m.From
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
	return c != nil && functionOf(c) == tonic && c.Start+Tolerance(j.s, t)/2 > t
}

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
