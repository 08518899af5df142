package harmony

import (
	"fmt"
	"sort"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// ExplainLong is the long line at a moment, and in words what its chord belongs to and
// where the phrase is: "V7 leads to I at 12:1; on the way to the half cadence at 14:1".
// Both are empty outside of the moments.
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

// onTheWay says whether a phrase's cadence is still to come at a moment, and where it is.
func (a *Analysis) onTheWay(s *score.Score, phrase int, at score.Tick) string {
	k := a.Phrases[phrase].Cadence
	if k < 0 {
		return "in a phrase that does not close"
	}
	name, place := "the "+string(a.Cadences[k].Kind)+" cadence", s.At(a.Cadences[k].At).Counted("at ")
	if at >= a.Cadences[k].At {
		return name + " has come, " + place
	}
	return "on the way to " + name + " " + place
}

// reach is how many measures away a chord may stand that another is said to belong to:
// what is farther, nobody hears as one. Our own choice.
const reach = 1

// belongs says which harmony a chord belongs to: a dominant, or a chord that prepares
// one, to where it leads, any other chord to the tonic or the dominant around which it moves.
// It is "" where that is far away, in another key, across a cadence, or no plain tonic or
// dominant: the tree joins every chord to some other, and a musician hears but these as one.
func (a *Analysis) belongs(s *score.Score, chord int) string {
	c, b := a.Chords[chord], a.Tree[chord]
	if c.Numeral.Cadential {
		if n := chord + 1; n < len(a.Chords) && fifth(a.Chords[n]) && a.Chords[n].Key.Tonic == c.Key.Tonic {
			return fmt.Sprintf("%s belongs to %s %s", c.Roman(), a.Chords[n].Roman(), s.At(a.Chords[n].Start).Counted("at "))
		}
		return ""
	}
	if b.Over < 0 {
		return ""
	}
	over := a.Chords[b.Over]
	switch apart := s.MeasureAt(over.Start) - s.MeasureAt(c.Start); {
	case apart > reach || apart < -reach, over.Key.Tonic != c.Key.Tonic, over.Roman() == c.Roman(), !stable(over) || a.closedBetween(c, over):
		return ""
	case over.Start > c.Start && b.Over == chord+1:
		return fmt.Sprintf("%s leads to %s %s", c.Roman(), over.Roman(), s.At(over.Start).Counted("at "))
	case over.Start > c.Start || fifth(c) || c.Numeral.Target != 0:
		return ""
	}
	return fmt.Sprintf("%s belongs to %s %s", c.Roman(), over.Roman(), s.At(over.Start).Counted("at "))
}

// fifth reports whether a chord is the dominant of its key.
func fifth(c tonal.Chord) bool {
	return c.Numeral.Degree == 5 && c.Numeral.Target == 0 && c.Numeral.Alter == 0
}

// stable reports whether a chord is the tonic or the dominant of its key, over its root or third.
func stable(c tonal.Chord) bool {
	tonic := c.Numeral.Degree == 1 && c.Numeral.Target == 0 && !c.Numeral.Quality.Seventh()
	return (tonic || fifth(c)) && c.Inversion < 2 && !c.Numeral.Cadential
}

// closedBetween reports whether a cadence falls between two chords, or a phrase ends there.
func (a *Analysis) closedBetween(c, over tonal.Chord) bool {
	from, to := min(c.Start, over.Start), max(c.Start, over.Start)
	for _, x := range a.Cadences {
		if x.At >= from && x.At < to {
			return true
		}
	}
	for _, p := range a.Phrases {
		if p.Start > from && p.Start <= to {
			return true
		}
	}
	return false
}
