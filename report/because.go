package report

import (
	"fmt"
	"sort"
	"strings"

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
	switch {
	case cause == "" && x.chord != nil && x.chord.Numeral.Degree == 1 && x.chord.Numeral.Target == 0:
		return how + ": " + x.chordWords() + " is the tonic of " + x.Chord.Key + "."
	case cause == "":
		return how + ": " + x.Chord.Name + " in " + x.Chord.Key + "."
	case how == "At rest":
		return how + ", though " + cause + "."
	}
	return how + " because " + cause + "."
}

// largestCause is what adds most to the tension of all that can be said, as a clause; ""
// if nothing adds much.
func (x *explanation) largestCause(s *score.Score, at score.Tick) string {
	const little = 4 // points: less is not worth a reason
	causes := []struct {
		points float64
		clause func() string
	}{
		{float64(x.Points.Pull), func() string { return x.waitingClause(s, at) }},
		{float64(x.Points.Dissonance), x.clashClause},
		{float64(x.Points.Distance), x.distanceClause},
	}
	sort.SliceStable(causes, func(i, j int) bool { return causes[i].points > causes[j].points })
	for _, c := range causes {
		if text := c.clause(); c.points >= little && text != "" {
			return text
		}
	}
	return ""
}

// waitingClause says what is waited for, and how long it has been.
func (x *explanation) waitingClause(s *score.Score, at score.Tick) string {
	if len(x.Waiting) == 0 {
		return "an earlier dominant still rings on"
	}
	w := x.Waiting[0]
	of := w.Of
	if of == cadential {
		of = "the dominant"
		if x.sixFour() {
			of = "the cadential six-four"
		}
	}
	since := waited(s, w.From, at)
	if since == "" {
		return fmt.Sprintf("%s asks for %s", of, w.Target)
	}
	return fmt.Sprintf("%s has waited %s for %s", of, since, w.Target)
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

// clashClause says which tones rub; "" if none are heard to: that much dissonance lies
// in the spacing of the chord, and is no news.
func (x *explanation) clashClause() string {
	switch {
	case len(x.Foreign) > 0:
		f := x.Foreign[0]
		text := fmt.Sprintf("%s, %s, rubs against %s", letterOf(f.Name), withArticle(string(f.Kind)), x.chordWords())
		if f.To != "" && letterOf(f.To) != letterOf(f.Name) {
			text += " and goes to " + letterOf(f.To)
		}
		return text
	case len(x.Clashes) > 0:
		c := x.Clashes[0]
		return fmt.Sprintf("%s and %s clash, %s", letterOf(c.Low), letterOf(c.High), withArticle(c.Interval))
	}
	return ""
}

// chordWords is the chord of the moment as a sentence says it.
func (x *explanation) chordWords() string {
	if x.chord == nil || x.chord.Numeral.Degree == 0 {
		return x.Chord.Name
	}
	return numeralWords(x.chord)
}

// letterOf is a note's name without its octave: "F#" of "F#4".
func letterOf(note string) string { return strings.TrimRight(note, "-0123456789") }

// distanceClause says what the chord is in its key, and where that key stands.
func (x *explanation) distanceClause() string {
	c, d := x.chord, x.Distance
	if c == nil {
		return ""
	}
	tonic := d.FromTonic == 0 && !c.Numeral.Quality.Seventh()
	switch {
	case tonic && d.FromHome > 0:
		where := "away from home"
		if isFar(c.Key, x.home) {
			where = "far from home"
		}
		return fmt.Sprintf("the music is %s in %s, %s", where, c.Key.Name(), keyRelation(c.Key, x.home))
	case tonic && !d.Inverted && len(d.Ear) > 0:
		return d.Ear[0].Key + " is still in the ear"
	case tonic && !d.Inverted:
		return ""
	case d.FromHome > 0:
		return relation(c, x.next) + ", in " + c.Key.Name() + ", " + keyRelation(c.Key, x.home)
	}
	return relation(c, x.next)
}
