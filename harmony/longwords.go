package harmony

import (
	"fmt"
	"sort"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// ExplainLong is the long line at a moment, and in words what its chord belongs to and
// where the phrase is going: "V7 belongs to I at 12:1; the phrase goes to 14:1, on the
// way to the half cadence". Both are empty outside of the moments.
func (a *Analysis) ExplainLong(s *score.Score, at score.Tick) (tonal.Tension, string) {
	i := sort.Search(len(a.Moments), func(i int) bool { return a.Moments[i].End > at })
	if i == len(a.Moments) || a.Moments[i].Start > at || len(a.Tree) == 0 {
		return tonal.Tension{}, ""
	}
	m := a.Moments[i]
	var out []string
	if m.Chord >= 0 {
		out = append(out, a.belongs(s, m.Chord))
	}
	for _, p := range a.PhraseArcs {
		if p.Start <= at && at < p.End {
			out = append(out, fmt.Sprintf("the phrase goes to %s, %s", s.At(p.Goal), p.Why))
		}
	}
	return m.LongLine, strings.Join(out, "; ")
}

// belongs says which harmony a chord belongs to.
func (a *Analysis) belongs(s *score.Score, chord int) string {
	c, b := a.Chords[chord], a.Tree[chord]
	if b.Over < 0 {
		return fmt.Sprintf("%s is the harmony that all others belong to", c.Roman())
	}
	over := a.Chords[b.Over]
	return fmt.Sprintf("%s belongs to %s at %s", c.Roman(), over.Roman(), s.At(over.Start))
}
