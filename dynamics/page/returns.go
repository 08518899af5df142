package page

import (
	"math"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Music that comes back without a mark is played as it was marked the first
// time: composers and copyists did not write the marks of a reprise again, and
// editors add them in brackets (common practice, no source). Only a return of
// some measures after other music counts; what is repeated at once goes on.
const (
	shortestReturn = 4 // measures
	leastBetween   = 4 // measures of other music before it comes back
	longestReturn  = 200
)

// reprise is a run of measures that came before.
type reprise struct{ first, again, measures int }

// reprises finds the runs, the longest at each place, in order.
func reprises(prints []uint64) []reprise {
	places := map[uint64][]int{}
	var out []reprise
	for m := 0; m < len(prints); m++ {
		best := reprise{}
		for _, k := range places[prints[m]] {
			n := 0
			for n < longestReturn && m+n < len(prints) && k+n < m && prints[k+n] == prints[m+n] && prints[m+n] != 0 {
				n++
			}
			if n > best.measures && m-(k+n) >= leastBetween {
				best = reprise{k, m, n}
			}
		}
		last := m
		if best.measures >= shortestReturn {
			out = append(out, best)
			last = m + best.measures - 1
		}
		for ; m <= last; m++ {
			if prints[m] != 0 && len(places[prints[m]]) < mostPlaces {
				places[prints[m]] = append(places[prints[m]], m)
			}
		}
		m--
	}
	return out
}

// mostPlaces keeps the search short in music that repeats one measure all along.
const mostPlaces = 8

// recall adds to the events of one instrument what its reprises leave out, and
// says whether it added any.
func recall(s *score.Score, runs []reprise, events []event, c Curve) ([]event, bool) {
	var added []event
	for _, r := range runs {
		from, to := s.Measures[r.again].Start, s.Measures[r.again+r.measures-1].End()
		if !silentIn(s, events, from, to) {
			continue
		}
		if back := recalled(s, r, events, c); len(back) > 1 || math.Abs(c.At(from)-back[0].act.level) >= LevelMove {
			added = append(added, back...)
		}
	}
	if len(added) == 0 {
		return events, false
	}
	out := append(append([]event(nil), events...), added...)
	sort.SliceStable(out, func(i, j int) bool { return before(out[i], out[j]) })
	return out, true
}

// silentIn reports whether no mark of loudness stands in a run or on its upbeat.
func silentIn(s *score.Score, events []event, from, to score.Tick) bool {
	from -= s.Division
	for _, e := range events {
		if e.act.kind != accent && e.at < to && max(e.end-1, e.at) >= from {
			return false
		}
	}
	return true
}

// recalled are the marks of the first time, moved to the reprise.
func recalled(s *score.Score, r reprise, events []event, c Curve) []event {
	start, again := s.Measures[r.first].Start, s.Measures[r.again].Start
	end := s.Measures[r.first+r.measures-1].End()
	number := s.Measures[r.first].Number
	out := []event{{at: again, part: c.Part, recalled: true, act: action{kind: setLevel, level: c.At(start), text: number, from: AsMeasure}}}
	for _, e := range events {
		if e.at < start || e.at >= end || e.act.kind == accent || e.act.kind == setLevel && e.at == start {
			continue
		}
		e.at += again - start
		if e.end > 0 {
			e.end = min(e.end, end) + again - start
		}
		e.recalled = true
		out = append(out, e)
	}
	return out
}

// recallStart notes where a reprise takes its level from.
func (r *resolver) recallStart(e event) {
	r.infer(e.at, tonal.Unsure, Cause{Kind: AsMeasure, Text: e.act.text, Mark: Mark(e.act.level)})
}
