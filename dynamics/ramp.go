package dynamics

import (
	"fmt"

	"hairpin/harmony"
	"hairpin/score"
)

// Reach of ramps printed as words, in measures; common practice, no source.
const (
	wordReach   = 4  // cresc. with nothing after it
	markReach   = 8  // cresc. looking for the mark it aims at
	slowReach   = 16 // poco a poco cresc.
	lead        = 0.5
	settleReach = 1 // back from a hairpin that no mark answers
)

// goal is where a ramp goes.
type goal struct {
	end    score.Tick
	to     float64
	what   string
	reason string
	sure   harmony.Certainty
	named  bool // a printed level is the target
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
	r.hold(e.at)
	sign := 1.0
	if e.act.steps < 0 {
		sign = -1
	}
	if e.act.niente && sign > 0 && e.wedge {
		r.level = Niente
	}
	if e.wedge && sign < 0 && e.end-e.at <= r.measures(e.at, 1) && r.level <= r.base {
		r.level += lead
	}
	g := r.aim(i, e, sign)
	if g.end <= e.at {
		return
	}
	from := r.level
	r.segments = append(r.segments, Segment{e.at, g.end, from, g.to, g.what, g.sure})
	if !g.named || g.sure < harmony.Sure {
		r.infer(e.at, g.sure, g.what, g.reason)
	}
	r.last = rampEnd{e.at, g.end, from, sign, !g.named}
	r.level, r.at, r.why, r.sure = g.to, g.end, "after "+e.act.text, g.sure
	if g.named || !e.wedge || g.end-e.at >= r.measures(e.at, 3) {
		r.base = g.to
		r.last.open = false
	}
	if e.end > g.end+r.s.Division && e.wedge {
		r.rest(i, e, g.end)
	}
}

// rest keeps the part of a hairpin after a mark that stands inside it.
func (r *resolver) rest(i int, e event, from score.Tick) {
	e.at, e.remainder = from, true
	j := i + 1
	for j < len(r.events) && before(r.events[j], e) {
		j++
	}
	tail := append([]event{e}, r.events[j:]...)
	r.events = append(r.events[:j:j], tail...)
}

// aim finds end and target of a ramp.
func (r *resolver) aim(i int, e event, sign float64) goal {
	end, known := r.printedEnd(i, e, sign)
	if e.act.niente && (sign < 0 || !e.wedge) {
		return goal{end, Niente, e.act.text + " to nothing", "printed", harmony.Sure, true}
	}
	if e.act.target > 0 {
		if m, ok := r.nextSet(i, e.at+1); ok && m.act.level == e.act.target && m.at <= e.at+r.measures(e.at, slowReach) {
			end = m.at
		}
		return goal{end, e.act.target, e.act.text, "the words name the goal", harmony.Sure, true}
	}
	slack := r.measures(end, 1)
	if !known {
		slack = 0
	}
	if m, ok := r.nextSet(i, e.at+1); ok && m.at <= end+slack && (m.act.level-r.level)*sign > 0 {
		return goal{min(end, m.at), m.act.level, fmt.Sprintf("%s to %s", e.act.text, m.act.text),
			"it aims at the next mark", harmony.Sure, true}
	}
	return r.openGoal(e, end, sign)
}

// openGoal is the target of a ramp that no mark answers: back to where a swell
// began, else one step.
func (r *resolver) openGoal(e event, end score.Tick, sign float64) goal {
	l := r.last
	if l.open && l.sign == -sign && l.end > 0 && e.at-l.end <= r.measures(e.at, 1) && e.act.steps*e.act.steps <= 1 && (l.from-r.level)*sign > 0 {
		return goal{end, l.from, fmt.Sprintf("%s back to %s", e.act.text, Mark(l.from)),
			"a swell with no mark after it returns to where it began", harmony.Likely, false}
	}
	to := r.bounded(r.level + e.act.steps)
	return goal{end, to, fmt.Sprintf("%s to about %s", e.act.text, Mark(to)),
		"no mark follows at its end; one step is taken (two for molto, half for poco)", harmony.Likely, false}
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
		if e.act.kind == cancel || e.act.kind == ramp && e.act.steps*sign < 0 {
			return e.at, true
		}
		if e.act.kind == ramp && !r.events[i].wedge && e.wedge { // a hairpin takes over from the word
			return e.at, true
		}
	}
	return 0, false
}

// measures is the length of n measures at t.
func (r *resolver) measures(t score.Tick, n int) score.Tick {
	m := r.s.Measures[r.s.MeasureAt(t)]
	return score.Tick(n) * max(m.Length, m.Nominal, 1)
}

// bounded keeps a ramp without a goal near the running mark.
func (r *resolver) bounded(to float64) float64 {
	return min(max(to, r.base-1, 0.5), r.base+1, 8.5)
}
