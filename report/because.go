package report

import (
	"fmt"

	"hairpin/score"
)

// because is the reason for a moment's tension in one sentence, the largest
// cause first: "Tense because V7 has waited for C since 9:1."
func (x *explanation) because(s *score.Score, at score.Tick) string {
	if x.Chord == nil {
		return "No chord sounds here."
	}
	how := "At rest"
	switch t := float64(x.Tension.Total); {
	case t >= 60:
		how = "Very tense"
	case t >= 35:
		how = "Tense"
	case t >= 15:
		how = "Mildly tense"
	}
	cause := x.largestCause(s, at)
	if cause == "" {
		return how + ": " + x.Chord.Name + " is " + x.distanceText() + "."
	}
	if how == "At rest" {
		return how + ", though " + cause + "."
	}
	return how + " because " + cause + "."
}

// largestCause is what adds most to the tension, as a clause; "" if nothing adds much.
func (x *explanation) largestCause(s *score.Score, at score.Tick) string {
	const little = 4 // points: less is not worth a reason
	p := x.Points
	switch {
	case p.Pull >= little && p.Pull >= p.Dissonance && p.Pull >= p.Distance:
		return x.waitingClause(s, at)
	case p.Dissonance >= little && p.Dissonance >= p.Distance:
		return x.clashClause()
	case p.Distance >= little:
		return x.distanceClause()
	}
	return ""
}

// waitingClause says what is waited for, and how long it has been.
func (x *explanation) waitingClause(s *score.Score, at score.Tick) string {
	if len(x.Waiting) == 0 {
		return "an earlier dominant still rings on"
	}
	w := x.Waiting[0]
	since := waited(s, w.From, at)
	if since == "" {
		return fmt.Sprintf("%s asks for %s", w.Of, w.Target)
	}
	return fmt.Sprintf("%s has waited %s for %s", w.Of, since, w.Target)
}

// waited is a time in whole measures, or in beats below two measures; "" if none has passed.
func waited(s *score.Score, from, to score.Tick) string {
	measures, beats := 0, 0
	for _, m := range s.Measures[s.MeasureAt(from) : s.MeasureAt(to)+1] {
		if m.Start > from && m.Start <= to {
			measures++
		}
		for _, t := range m.Every(m.Unit(s.Division)) {
			if t > from && t <= to {
				beats++
			}
		}
	}
	switch {
	case beats == 0:
		return ""
	case measures < 2:
		return plural(beats, "beat")
	}
	return plural(measures, "measure")
}

func (x *explanation) clashClause() string {
	switch {
	case len(x.Foreign) > 0:
		f := x.Foreign[0]
		text := fmt.Sprintf("%s is foreign to %s", f.Name, x.Chord.Name)
		if f.To != "" {
			text += " and leans to " + f.To
		}
		return text
	case len(x.Clashes) > 0:
		c := x.Clashes[0]
		return fmt.Sprintf("%s and %s clash, %s", c.Low, c.High, withArticle(c.Interval))
	}
	return "the tones of " + x.Chord.Name + " rub against each other"
}

func (x *explanation) distanceClause() string {
	c, d := x.Chord, x.Distance
	if d.FromHome > d.FromTonic {
		return fmt.Sprintf("%s lies far from home, %s", c.Key, x.Home)
	}
	text := fmt.Sprintf("%s lies %s from the tonic of %s", c.Name, plural(d.FromTonic, "step"), c.Key)
	if d.FromTonic == 0 {
		text = fmt.Sprintf("%s stands inverted", c.Name)
		if !d.Inverted {
			text = fmt.Sprintf("%s is not heard as rest", c.Name)
		}
	}
	if d.FromHome > 0 {
		text += ", and that key away from home"
	}
	return text
}
