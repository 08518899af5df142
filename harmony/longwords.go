package harmony

import (
	"fmt"
	"sort"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// ExplainLong is the long line at a moment, and in words what its chord belongs to and
// where the phrase is: "V7 belongs to I at 12:1; the half cadence is near, expectation is
// highest at 14:1". Both are empty outside of the moments.
func (a *Analysis) ExplainLong(s *score.Score, at score.Tick) (tonal.Tension, string) {
	i := sort.Search(len(a.Moments), func(i int) bool { return a.Moments[i].End > at })
	if i == len(a.Moments) || a.Moments[i].Start > at || len(a.Tree) == 0 {
		return tonal.Tension{}, ""
	}
	m := a.Moments[i]
	var out []string
	if m.Chord >= 0 {
		if text := a.belongs(s, m.Chord); text != "" {
			out = append(out, text)
		}
	}
	for k, p := range a.PhraseArcs {
		if p.Start <= at && at < p.End {
			out = append(out, a.onTheWay(s, k, at))
		}
	}
	return m.LongLine, strings.Join(out, "; ")
}

// onTheWay says where a moment stands in its phrase: before the place at which a close is
// expected most, between it and the close, or after.
func (a *Analysis) onTheWay(s *score.Score, phrase int, at score.Tick) string {
	p := a.PhraseArcs[phrase]
	cadence := "the phrase's end"
	if k := a.Phrases[phrase].Cadence; k >= 0 {
		cadence = "the " + string(a.Cadences[k].Kind) + " cadence"
		if at >= a.Cadences[k].At {
			return cadence + " has come, " + s.At(a.Cadences[k].At).Counted("at ")
		}
	}
	switch {
	case at < p.Goal:
		return "on the way to " + cadence + ", expected most " + s.At(p.Goal).Counted("at ")
	case at == p.Goal:
		return cadence + " is expected most here"
	}
	return cadence + " is near, and was expected most " + s.At(p.Goal).Counted("at ")
}

// reach is how many measures away a chord may stand that another is said to belong to:
// what is farther, nobody hears as one. Our own choice.
const reach = 4

// belongs says which harmony a chord belongs to, "" if that is far away.
func (a *Analysis) belongs(s *score.Score, chord int) string {
	c, b := a.Chords[chord], a.Tree[chord]
	if b.Over < 0 {
		return fmt.Sprintf("%s is the harmony that all others belong to", c.Roman())
	}
	over := a.Chords[b.Over]
	if apart := s.MeasureAt(over.Start) - s.MeasureAt(c.Start); apart > reach || apart < -reach {
		return ""
	}
	return fmt.Sprintf("%s belongs to %s %s", c.Roman(), over.Roman(), s.At(over.Start).Counted("at "))
}
