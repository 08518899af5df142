package phrasing

import (
	"maps"
	"math"
	"slices"
	"sort"

	"hairpin/harmony/form"
	"hairpin/score"
)

// What a return tells of phrases. Choices of ours.
const (
	leastAlike  = 0.8 // likeness from which the phrases of a return are judged with those of its first time
	longReturn  = 8   // bars: from here on a return starts a phrase …
	nearReturn  = 2   // bars between that do for the opening of the piece
	apartReturn = 4   // … if so many bars of other music came between
	signGain    = 3   // a new key signature or metre starts a phrase
	turnGain    = 2   // the texture changes wholly
	enterGain   = 4   // the leading line comes in after a prelude or an interlude, twice that if it sings …
	enterBars   = 2   // … of so many bars
	leastReturn = 6   // bars that music must have to tell so, and other music between
)

// judgeAlike makes repeated music be cut alike: a boundary inside a return weighs
// what it weighs on average at all the places where that music stands. Where a long
// return starts, a phrase starts.
func (v *surface) judgeAlike(list []boundary) {
	groups := map[score.Tick][]int{}
	for i, b := range list {
		at := v.origin(b.at)
		groups[at] = append(groups[at], i)
	}
	for _, g := range groups {
		share(list, g)
	}
	starts := v.starts()
	for _, at := range slices.Sorted(maps.Keys(starts)) {
		v.startAt(list, at, starts[at], "")
	}
	for _, at := range v.signs {
		v.startAt(list, at, signGain, "a new signature follows")
	}
	for _, r := range v.s.Repeats {
		if !r.Forward && r.At < v.end {
			v.startAt(list, v.afterEnding(r.At), signGain, "")
		}
	}
	for _, at := range slices.Sorted(maps.Keys(v.turns)) {
		v.startAt(list, at, turnGain*v.turns[at], "another texture follows")
	}
	solo := soloist(v.s) >= 0
	for i := range list {
		if v.enters(list[i].at, solo) {
			list[i].opens = true
			list[i].add(enterGain, "the leading line comes in")
			if solo && len(v.sung) > 0 {
				list[i].gain += enterGain
			}
		}
	}
}

// starts are the moments at which music starts that comes back, and what that adds to a
// phrase's start.
func (v *surface) starts() map[score.Tick]float64 {
	out := map[score.Tick]float64{}
	for _, r := range v.returns {
		if tellsStart(r) {
			out[r.First.Start] = max(out[r.First.Start], v.w.Alike)
			out[r.Again.Start] = max(out[r.Again.Start], v.w.Alike)
		}
		switch {
		case r.Opening && r.Between() >= nearReturn && r.Between() < apartReturn:
			out[r.Again.Start] = max(out[r.Again.Start], v.w.Return)
		case r.Between() < apartReturn:
		case r.Opening:
			out[r.Again.Start] = v.w.Opening
		case r.Count >= longReturn:
			out[r.Again.Start] = max(out[r.Again.Start], v.w.Return)
		}
	}
	return out
}

// enters reports whether the leading line comes in at a moment, after others have played
// alone for some bars: at the start of the piece, or wherever it is a soloist. Common
// practice, no source.
func (v *surface) enters(t score.Tick, solo bool) bool {
	if v.lead < 0 {
		return false
	}
	l := v.lines[v.lead]
	p := l.before(t)
	if p+1 >= len(l.events) || l.events[p+1].onset != t {
		return false
	}
	last := v.first
	switch {
	case p >= 0 && !solo:
		return false
	case p >= 0:
		last = l.events[p].end
	}
	m := v.s.Measures[v.s.MeasureAt(t)]
	bar := max(m.Nominal, m.Length)
	return t-last >= enterBars*bar && v.plays(t-bar, t)
}

// plays reports whether any line strikes a note in a stretch.
func (v *surface) plays(from, to score.Tick) bool {
	return slices.ContainsFunc(v.lines, func(l line) bool { return l.before(to) > l.before(from) })
}

// tellsStart reports whether a return is so long, like and apart that phrases start with it.
func tellsStart(r form.Return) bool {
	return r.Count >= leastReturn && r.Likeness >= leastAlike && r.Between() > 0
}

// startsAlike reports whether music starts at a moment that comes back, or comes back, or
// did so where the music of that moment was first heard.
func (v *surface) startsAlike(t score.Tick) bool {
	t = v.firstTime(t, func(form.Return, score.Tick) bool { return true })
	for _, r := range v.returns {
		if tellsStart(r) && (r.First.Start == t || r.Again.Start == t) {
			return true
		}
	}
	return false
}

// goesOn reports whether some line moves on in the measure that starts at a moment.
func (v *surface) goesOn(t score.Tick) bool {
	m := v.s.Measures[v.s.MeasureAt(t)]
	for _, l := range v.lines {
		if l.before(m.End())-l.before(t) > 2 {
			return true
		}
	}
	return false
}

// origin is the moment of the first time at which the music of a moment was heard,
// the moment itself if it is new. Only long returns tell, and not their first two
// measures: what comes before differs and may close in them.
func (v *surface) origin(t score.Tick) score.Tick {
	return v.firstTime(t, func(r form.Return, t score.Tick) bool {
		return r.Count >= longReturn && v.barsFrom(r.Again.Start, t) >= 2
	})
}

// firstTime follows a moment back through the returns that tell.
func (v *surface) firstTime(t score.Tick, tells func(form.Return, score.Tick) bool) score.Tick {
	t, _ = v.firstHeard(t, tells)
	return t
}

// firstHeard is firstTime, with how far the music has moved since, in fifths.
func (v *surface) firstHeard(t score.Tick, tells func(form.Return, score.Tick) bool) (at score.Tick, moved score.Class) {
	left := v.returns // in order, and they do not overlap
	for {
		n := sort.Search(len(left), func(i int) bool { return left[i].Again.Start > t })
		if n == 0 {
			return t, moved
		}
		r := left[n-1]
		at, ok := r.Before(t)
		if !ok || r.Likeness < leastAlike || !tells(r, t) {
			return t, moved
		}
		t, moved, left = at, moved+r.Fifths(), left[:n-1] // a source lies before its return
	}
}

// shareCloses makes the same turn at the end of a phrase close as surely wherever its
// music stands: as where it does most surely.
func (v *surface) shareCloses(list []candidate) {
	type place struct {
		at   score.Tick
		kind CadenceKind
	}
	alike := func(c candidate) place {
		return place{v.firstTime(c.cadence.At, func(form.Return, score.Tick) bool { return true }), c.cadence.Kind}
	}
	most := map[place]float64{}
	for _, c := range list {
		if c.ends {
			most[alike(c)] = max(most[alike(c)], c.cadence.Confidence)
		}
	}
	for i := range list {
		if c := &list[i]; c.ends {
			c.cadence.Confidence = most[alike(*c)]
		}
	}
}

// opensAgain reports whether the opening of the piece comes back at a moment.
func (v *surface) opensAgain(t score.Tick) bool {
	for _, r := range v.returns {
		if r.Opening && r.Between() >= apartReturn && r.Again.Start == t {
			return true
		}
	}
	return false
}

// nameAlike gives the cadences of repeated music one name, that of the surest: its kind,
// and its key moved as the music is, with its mode if it moves by a fourth or fifth. Each must
// stand on the same chord, reached from the same bass, moved: an end that was changed is
// another end.
func (a *piece) nameAlike(v *surface) {
	always := func(form.Return, score.Tick) bool { return true }
	places := make([]heard, len(a.Cadences))
	surest := map[heard]int{}
	for i, c := range a.Cadences {
		at, by := v.firstHeard(c.At, always)
		places[i] = heard{at, a.Chords[c.Chord].Root - by}
		key := places[i]
		if k, ok := surest[key]; !ok || c.Confidence > a.Cadences[k].Confidence {
			surest[key] = i
		}
	}
	for i := range a.Cadences {
		k := surest[places[i]]
		c, like := &a.Cadences[i], a.Cadences[k]
		_, by := v.firstHeard(c.At, always)
		_, from := v.firstHeard(like.At, always)
		key := like.Key
		if key.Tonic += by - from; by-from < -1 || by-from > 1 {
			key.Minor = c.Key.Minor // moved by a second or a third, a tune in major may stand in minor
		}
		if k != i && (c.Kind != like.Kind || c.Key != key) && v.sameApproach(c.At, like.At, by-from) {
			c.Kind, c.Key = like.Kind, key
			c.Why += ", as where the music was heard before"
		}
	}
}

// sameApproach reports whether the same bass leads to two moments, moved by some fifths, or
// none to one of them.
func (v *surface) sameApproach(at, like score.Tick, moved score.Class) bool {
	here, ok := v.lowestAt(at - 1)
	there, sounds := v.lowestAt(like - 1)
	return !ok || !sounds || v.s.Notes[here].Pitch.Class() == v.s.Notes[there].Pitch.Class()+moved
}

// heard is a moment at which a cadence was first heard, and the root of its last chord there.
type heard struct {
	at   score.Tick
	root score.Class
}

// share gives all members of a group the mean of what speaks for them.
func share(list []boundary, group []int) {
	gain, closing := 0.0, 0.0
	for _, i := range group {
		gain += list[i].gain
		closing += list[i].closing
	}
	n := float64(len(group))
	for _, i := range group {
		list[i].gain, list[i].closing = gain/n, closing/n
	}
}

// startAt lets a phrase start at a moment, or with the upbeat to it: at a candidate in the
// half measure before it that is clearly likelier.
func (v *surface) startAt(list []boundary, at score.Tick, gain float64, why string) {
	bar := v.s.Measures[v.s.MeasureAt(at)]
	best, most := -1, math.Inf(-1)
	from := sort.Search(len(list), func(i int) bool { return list[i].at >= at-max(bar.Length, bar.Nominal)/2 })
	for i := from; i < len(list) && list[i].at <= at; i++ {
		x := list[i].gain + v.w.Cadence*list[i].closing
		if list[i].at == at {
			x += clearUpbeat
		}
		if x >= most {
			best, most = i, x
		}
	}
	if best < 0 && from < len(list) && list[from].at < bar.End() { // a rest, or what begins late
		best = from
	}
	if best >= 0 {
		list[best].opens = list[best].opens || gain >= signGain && why != ""
		list[best].add(gain, why)
	}
}

// clearUpbeat is how much likelier a start before a moment must be than that moment: a choice of ours.
const clearUpbeat = 0.5

// add adds what speaks for a start, and says so if there is a word for it.
func (b *boundary) add(gain float64, why string) {
	b.gain += gain
	if why != "" {
		b.follows = append(b.follows, why)
	}
}

// startOnBeat moves what speaks for a start inside the first half of a measure to the
// downbeat, where another line strikes it while the leading line holds over, or
// comes in within a quarter of a beat: the phrase starts with the accompaniment. A close that only arrives on that downbeat stays
// before the boundary. Common practice, no source.
func (v *surface) startOnBeat(list []boundary) {
	down := 0
	for i := range list {
		b := &list[i]
		m := v.s.Measures[v.s.MeasureAt(b.at)]
		if b.at == m.Start {
			down = i
			continue
		}
		d := &list[down]
		if d.at != m.Start || m.Pickup || 2*(b.at-m.Start) >= max(m.Length, m.Nominal) || b.from >= m.Start && b.closing >= clearClose || v.leadMoves(m.Start, b.at) {
			continue
		}
		if b.gain > d.gain && (v.heldOver(m.Start) || 4*(b.at-m.Start) <= v.beat) {
			b.gain, d.gain = d.gain, b.gain
			d.rest = b.rest
		}
	}
}

// clearClose is the probability of a close from which it is told by its own measure: a choice of ours.
const clearClose = 0.3

// leadMoves reports whether the leading line strikes a note in a stretch.
func (v *surface) leadMoves(from, to score.Tick) bool {
	if v.lead < 0 {
		return true
	}
	l := v.lines[v.lead]
	return l.before(to) > l.before(from)
}

// heldOver reports whether the leading line holds a note over a moment.
func (v *surface) heldOver(t score.Tick) bool {
	e, ok := v.lines[v.lead].soundingAt(t)
	return ok && e.onset < t
}
