package events

import (
	"sort"

	"hairpin/harmony"
	"hairpin/score"
)

// finder is a score and what is heard in it.
type finder struct {
	s *score.Score
	a *harmony.Analysis
}

// Find lists the events of a score, in order of time. The analysis must be of the
// same score.
func Find(s *score.Score, a *harmony.Analysis) []Event {
	f := &finder{s: s, a: a}
	var out []Event
	out = append(out, f.withheld()...)
	sort.SliceStable(out, func(i, j int) bool { return out[i].Start < out[j].Start })
	return out
}
