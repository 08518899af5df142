package page

import (
	"math"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// begin finds the level before the first mark.
func (r *resolver) begin() {
	defer func() { r.base, r.baseMark = r.level, r.mark }()
	r.level, r.cause, r.sure = MF, Cause{Kind: Unmarked}, tonal.Unsure
	first, ok := r.nextSetFrom(0)
	if ok && first.at == 0 {
		return
	}
	if v, ok := r.fileLevel(); ok {
		r.level = v
		r.infer(0, tonal.Unsure, Cause{Kind: Starts, Mark: Mark(v)}) // the file's own playback level
		return
	}
	switch {
	case (!ok || first.at >= r.firstFull()) && r.borrow():
	case !ok:
		r.infer(0, tonal.Unsure, Cause{Kind: Starts, Mark: Mark(MF)}) // it stands for the player's own middle
	case first.at < r.firstFull():
		r.level, r.cause, r.sure, r.mark = first.act.level, first.act.cause(), tonal.Likely, stated(first)
		r.infer(0, tonal.Likely, Cause{Kind: Starts, Mark: first.act.text})
	default:
		r.fromRamp(first)
	}
}

// fromRamp starts one step from the goal if a ramp leads to the first mark.
func (r *resolver) fromRamp(first event) {
	if e, ok := r.leadsTo(first); ok {
		r.level = Clamp(first.act.level - math.Copysign(1, e.act.steps))
		r.infer(0, tonal.Unsure, Cause{Kind: Starts, Text: e.act.text, Mark: Mark(r.level)})
		return
	}
	r.infer(0, tonal.Unsure, Cause{Kind: Starts, Mark: Mark(MF)}) // common practice, no source
}

// leadsTo is the last ramp before a mark, if nothing else lies between the two.
func (r *resolver) leadsTo(mark event) (event, bool) {
	for i := len(r.events) - 1; i >= 0; i-- {
		e := r.events[i]
		if e.at >= mark.at || e.act.kind != ramp {
			continue
		}
		end, reach := e.end, 1
		if end <= e.at {
			end, reach = e.at, markReach
		}
		return e, mark.at <= end+r.measures(end, reach)
	}
	return event{}, false
}

func (r *resolver) nextSetFrom(t score.Tick) (event, bool) {
	for _, e := range r.events {
		if e.at >= t && e.act.kind == setLevel && e.act.pass != 2 {
			return e, true
		}
	}
	return event{}, false
}

// firstFull is the end of the first full measure.
func (r *resolver) firstFull() score.Tick {
	for _, m := range r.s.Measures {
		if !m.Pickup {
			return m.End()
		}
	}
	return 0
}

// fileLevel is the playback level the file states at its very start.
func (r *resolver) fileLevel() (float64, bool) {
	for _, l := range r.s.Sounds {
		if l.At == 0 && l.Part == r.part {
			return fromPercent(l.Percent), true
		}
	}
	return 0, false
}
