package page

import (
	"math"
	"slices"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Reach of ramps printed as words, in measures; common practice, no source.
const (
	wordReach   = 4  // cresc. with nothing after it
	markReach   = 8  // cresc. looking for the mark it aims at
	slowReach   = 16 // poco a poco cresc.
	settleReach = 1  // back from a hairpin that no mark answers, at most
)

// Sizes of what no mark answers, in steps; common practice, no source.
const (
	nuance   = 0.5 // of a hairpin shorter than a measure; and the share of the one before if it follows without a gap
	restated = 0.5 // of a crescendo from f to f: the second f is its peak
)

// goal is where a ramp goes.
type goal struct {
	end   score.Tick
	to    float64
	cause Cause
	sure  tonal.Certainty
	named bool   // a printed level is the target
	back  bool   // it closes a swell
	cut   bool   // a mark cuts it off: until then the level stays
	mark  string // the print that states where it goes; "" if none does
}

// ramp writes the ramp at events[i].
func (r *resolver) ramp(i int) {
	e := r.events[i]
	if e.at < r.at { // begins inside a ramp already written
		if e.end <= r.at {
			return
		}
		e.at = r.at
	}
	sign := 1.0
	if e.act.steps < 0 {
		sign = -1
	}
	r.bridge(e, sign)
	if e.act.niente && sign > 0 && e.wedge {
		r.level = Niente
	}
	g := r.aim(i, e, sign)
	if g.end <= e.at {
		return
	}
	if r.recalled = e.recalled; e.recalled {
		g.sure = tonal.Unsure
	}
	from := r.level
	r.segments = append(r.segments, Segment{Start: e.at, End: g.end, From: from, To: g.to, Cause: g.cause, Certainty: g.sure, Implied: e.recalled,
		Slope: int(sign), FromMark: r.mark, ToMark: g.mark})
	if !g.named || g.sure < tonal.Sure {
		r.infer(e.at, g.sure, g.cause)
	}
	r.last = rampEnd{start: e.at, end: g.end, from: from, mark: r.mark, base: g.base(r), sign: sign, named: g.named || g.cut, word: !e.wedge, back: g.back, run: r.runOn(e, sign)}
	r.level, r.at, r.cause, r.sure = g.to, g.end, Cause{Kind: After, Text: e.act.text}, g.sure
	r.mark = g.mark
	switch {
	case g.back:
		r.base = r.last.base
	case g.named || !e.wedge || g.end-e.at >= r.measures(e.at, 3):
		r.base, r.baseMark = g.to, g.mark
	}
	if turn, turned := r.nextTurn(i, e.at+1, sign); e.end > g.end+r.s.Division && e.wedge && !(turned && turn <= g.end) {
		r.rest(i, e, g.end)
	}
}

// base is the running mark that a swell leaves behind, or the one before a ramp.
func (g goal) base(r *resolver) float64 {
	if g.back {
		return r.last.base
	}
	return r.base
}

// runOn counts the hairpins of one kind that came before e without a gap.
func (r *resolver) runOn(e event, sign float64) int {
	if l := r.last; e.wedge && !l.named && l.sign == sign && l.end == e.at && l.end > 0 {
		return l.run + 1
	}
	return 0
}

// bridge writes the level from an open hairpin to the next: between the two
// halves of a swell it stays, before one more of the same kind it goes back.
func (r *resolver) bridge(e event, sign float64) {
	t := e.at
	if gap := t - r.at; r.away() && gap <= r.measures(r.at, settleReach) {
		if r.answers(e, sign) {
			r.stay(t)
		} else if !r.last.back {
			r.back(t)
		}
	}
	r.hold(t)
}

// away reports whether the level stands where an open hairpin left it.
func (r *resolver) away() bool { return !r.last.named && r.last.end > 0 && r.last.end == r.at }

// answers reports whether a ramp is the other half of the open one before it:
// of a swell within a measure, of a dip without a gap of more than a beat. What
// a word carried on, a hairpin shorter than a measure does not take back, and a
// word alone is no answer to a hairpin.
func (r *resolver) answers(e event, sign float64) bool {
	l := r.last
	gap := r.measures(l.end, 1)
	if sign > 0 {
		gap = r.s.BeatAt(l.end)
	}
	if l.word && e.wedge && e.end-e.at < r.measures(e.at, 1) || !l.word && !e.wedge && !e.joined {
		return false
	}
	return !l.named && !l.back && l.end > 0 && l.sign == -sign && e.at-l.end <= gap
}

// rest keeps the part of a hairpin after a mark that stands inside it.
func (r *resolver) rest(i int, e event, from score.Tick) {
	e.at, e.remainder = from, true
	j := i + 1
	for j < len(r.events) && before(r.events[j], e) {
		j++
	}
	r.events = slices.Insert(r.events, j, e)
}

// aim finds end and target of a ramp.
func (r *resolver) aim(i int, e event, sign float64) goal {
	end, known := r.printedEnd(i, e, sign)
	if e.act.niente && (sign < 0 || !e.wedge) {
		return goal{end: end, to: Niente, cause: Cause{Kind: ToNothing, Text: e.act.text}, sure: tonal.Sure, named: true}
	}
	if e.act.target > 0 {
		if m, ok := r.nextSet(i, e.at+1); ok && m.act.level == e.act.target && m.at <= e.at+r.measures(e.at, slowReach) {
			end = m.at
		}
		return goal{end: end, to: e.act.target, cause: e.act.cause(), sure: tonal.Sure, named: true, mark: Mark(e.act.target)}
	}
	slack := r.measures(end, 1)
	if !known {
		slack = 0
	}
	m, ok := r.nextGoal(i, e, end, end+slack)
	if turn, turned := r.nextTurn(i, e.at+1, sign); !ok || m.at > end+slack || turned && turn < m.at {
		return r.openGoal(e, end, sign)
	}
	if to := r.peakOf(m, sign); (to-r.level)*sign > 0 {
		return goal{end: min(end, m.at), to: to, cause: Cause{Kind: ToMark, Text: e.act.text, Mark: m.act.text}, sure: tonal.Sure, named: true, mark: peakMark(m, to)}
	}
	g := r.openGoal(e, end, sign)
	if sign > 0 && math.Abs(m.act.level-r.level)+math.Abs(m.act.level-r.base) < 0.1 {
		r.again(&g, e, m)
	}
	return g
}

// nextGoal is the mark that a ramp may aim at: its own next one, or that of
// another instrument if its own comes later than the latest.
func (r *resolver) nextGoal(i int, e event, end, latest score.Tick) (event, bool) {
	own, ok := r.nextSet(i, e.at+1)
	if ok && own.at <= latest {
		return own, true
	}
	if o, found := r.nextOfSystem(max(e.at+1, end-r.s.Division)); found && o.at <= latest {
		return o, true
	}
	return own, ok
}

// nextOfSystem is the next level mark of the other instruments at or after t.
func (r *resolver) nextOfSystem(t score.Tick) (event, bool) {
	n := sort.Search(len(r.system), func(n int) bool { return r.system[n].at >= t })
	if n < len(r.system) {
		return r.system[n], true
	}
	return event{}, false
}

// peakMark names the mark that a ramp reaches: the f of fp.
func peakMark(m event, to float64) string {
	if to != m.act.level {
		return Mark(to)
	}
	return stated(m)
}

// peakOf is the level that a ramp reaches at a mark: of fp, coming from below, the f.
func (r *resolver) peakOf(m event, sign float64) float64 {
	to := m.act.level
	for _, e := range r.events {
		if e.at == m.at && e.act.kind == accent && sign > 0 {
			to = max(to, e.act.level)
		}
	}
	return to
}

// again reads a crescendo whose end repeats the mark that rules. From p to p
// it is cut off: the p comes at once. From f to f it only has room for a little
// more, and the second f is its peak. Common practice, no source; a player may
// hold either reading of both.
func (r *resolver) again(g *goal, e, m event) {
	g.cut = true
	if m.act.level >= MF {
		g.to, g.sure = r.level+restated, tonal.Unsure
		g.cause = Cause{Kind: LittleMore, Text: e.act.text, Mark: m.act.text}
		return
	}
	g.cause.Then = m.act.text
}

// openGoal is the target of a ramp that no mark answers: back to where a swell
// began, else one step.
func (r *resolver) openGoal(e event, end score.Tick, sign float64) goal {
	l := r.last
	if r.answers(e, sign) && e.act.steps*e.act.steps <= 1 && (l.from-r.level)*sign > 0 {
		return goal{end: end, to: l.from, cause: Cause{Kind: BackTo, Text: e.act.text, Mark: Mark(l.from)}, sure: tonal.Likely, back: true, mark: l.mark}
	}
	steps := e.act.steps // one step is taken, two for molto, half for poco
	switch run := r.runOn(e, sign); {
	case !e.wedge || steps*steps > 1:
	case run > 0:
		steps = sign * math.Pow(nuance, float64(run)) // it goes on from the one before: half of what that took
	case e.end-e.at < r.measures(e.at, 1):
		steps = sign * nuance
	}
	from := r.level
	if !e.wedge && r.away() && (r.base-r.level)*sign > 0 { // a word leads on from the mark that rules, not from the hairpin before it
		from = r.base
	}
	to := min(max(from+steps, 0.5), max(from, 8.5))
	return goal{end: end, to: to, cause: r.about(e.act.text, to), sure: tonal.Likely}
}

// about names a guessed level. Louder or softer than all that is printed has no name.
func (r *resolver) about(text string, to float64) Cause {
	low, high := r.printedRange()
	switch name := math.Round(to); {
	case name > high:
		return Cause{Kind: MoreThan, Text: text, Mark: Mark(high)}
	case name < low:
		return Cause{Kind: LessThan, Text: text, Mark: Mark(low)}
	}
	return Cause{Kind: About, Text: text, Mark: Mark(to)}
}

// printedRange is the softest and the loudest level that a mark states, at least pp to ff.
func (r *resolver) printedRange() (low, high float64) {
	if r.loudest == 0 {
		r.softest, r.loudest = PP, FF
		for _, e := range r.events {
			if e.act.kind == setLevel {
				r.softest, r.loudest = min(r.softest, e.act.level), max(r.loudest, e.act.level)
			}
		}
	}
	return r.softest, r.loudest
}

// printedEnd is where the ramp stops; known is false if no sign says so.
func (r *resolver) printedEnd(i int, e event, sign float64) (score.Tick, bool) {
	next, hasNext := r.nextSet(i, e.at+1)
	turn, hasTurn := r.nextTurn(i, e.at+1, sign)
	end, known := e.end, e.end > e.at
	if !known {
		reach := markReach
		if e.act.slow {
			reach = slowReach
		}
		end = r.wordEnd(e, next, hasNext, reach)
	}
	if hasNext && next.at < end {
		end = next.at
	}
	if o, found := r.nextOfSystem(e.at + 1); found && !known { // an old cresc. ends at the next mark of the system
		end = min(end, o.at)
	}
	if hasTurn && turn < end {
		end = turn
	}
	return min(end, r.s.Length()), known
}

// wordEnd is how far a ramp word without dashes reaches: to the next mark if
// that is near, else to the end of the phrase, else some measures.
func (r *resolver) wordEnd(e event, next event, hasNext bool, reach int) score.Tick {
	if hasNext && next.at <= e.at+r.measures(e.at, reach) {
		return next.at
	}
	limit := e.at + r.measures(e.at, reach/markReach*wordReach)
	for _, p := range r.phrases {
		if p.End > e.at+r.measures(e.at, 1) && p.End <= e.at+r.measures(e.at, reach) {
			return p.End
		}
	}
	return limit
}

// nextSet is the next printed level at or after t, events[i] excluded.
func (r *resolver) nextSet(i int, t score.Tick) (event, bool) {
	for _, e := range r.events[i+1:] {
		if e.at >= t && e.act.kind == setLevel && e.act.pass != 2 {
			return e, true
		}
	}
	return event{}, false
}

// nextTurn is where the next ramp the other way starts.
func (r *resolver) nextTurn(i int, t score.Tick, sign float64) (score.Tick, bool) {
	for _, e := range r.events[i+1:] {
		if e.at < t {
			continue
		}
		if e.act.kind == cancel || e.act.kind == ramp && e.act.steps*sign < 0 && !inside(e, r.events[i]) {
			return e.at, true
		}
		if e.act.kind == ramp && !r.events[i].wedge && e.wedge { // a hairpin takes over from the word
			return e.at, true
		}
	}
	return 0, false
}

// inside reports whether a hairpin lies within another: a voice of its own.
func inside(e, outer event) bool {
	return e.wedge && outer.wedge && e.at > outer.at && e.end < outer.end
}

// measures is the length of n measures at t.
func (r *resolver) measures(t score.Tick, n int) score.Tick {
	m := r.s.Measures[r.s.MeasureAt(t)]
	return score.Tick(n) * max(m.Length, m.Nominal, 1)
}
