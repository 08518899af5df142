package harmony

import (
	"fmt"
	"math"
	"strings"
)

// Sentences says the explanation in plain words, most important first.
func (e Explanation) Sentences() []string {
	if len(e.Sounding) == 0 && e.Chord == nil {
		out := []string{fmt.Sprintf("At %s nothing sounds.", e.At)}
		return append(out, e.waitingWords()...)
	}
	out := []string{e.headline()}
	out = append(out, e.chordWords()...)
	out = append(out, e.clashWords()...)
	out = append(out, e.foreignWords()...)
	if e.Motion >= 0.5 {
		out = append(out, fmt.Sprintf("The voices move %.1f semitones on average into this chord.", e.Motion))
	}
	out = append(out, e.distanceWords()...)
	out = append(out, e.waitingWords()...)
	out = append(out, e.answeredWords()...)
	return append(out, e.NotCounted)
}

func round(v float64) int { return int(math.Round(v)) }

func (e Explanation) headline() string {
	return fmt.Sprintf("At %s the tension is %d of 100: dissonance gives %d, distance %d, pull %d.",
		e.At, round(e.Tension.Total), round(e.Points.Dissonance), round(e.Points.Distance), round(e.Points.Pull))
}

func (e Explanation) chordWords() []string {
	var names []string
	for _, n := range e.Sounding {
		names = append(names, n.Name)
	}
	heard := "Nothing sounds"
	if len(names) > 0 {
		heard = strings.Join(names, " ") + pluralVerb(len(names), " sounds", " sound")
	}
	c := e.Chord
	if c == nil {
		return []string{heard + "; no chord is named here."}
	}
	s := fmt.Sprintf("%s: %s, %s in %s, since %s", heard, c.Name, c.Roman, c.Key, c.From)
	switch {
	case c.Given:
		s += "; the reading is given, not heard"
	case c.Certainty != "":
		s += fmt.Sprintf("; the reading is %s (%d %%)", c.Certainty, round(100*c.Confidence))
	}
	out := []string{s + "."}
	if c.Why != "" {
		out[0] += " " + capital(c.Why) + "."
	}
	if c.Rival != "" {
		out = append(out, "Second-best reading: "+c.Rival+".")
	}
	return out
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func pluralVerb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func (e Explanation) clashWords() []string {
	if len(e.Clashes) == 0 {
		return []string{"No two notes clash."}
	}
	var items []string
	for _, c := range e.Clashes {
		items = append(items, fmt.Sprintf("%s and %s (%s)", c.Low, c.High, c.Interval))
	}
	return []string{"Rubbing against each other: " + strings.Join(items, ", ") + "."}
}

func (e Explanation) foreignWords() []string {
	var out []string
	for _, f := range e.Foreign {
		s := fmt.Sprintf("%s does not belong to the chord: %s %s", f.Name, article(string(f.Kind)), f.Kind)
		if f.To != "" {
			s += fmt.Sprintf(", going to %s at %s", f.To, f.When)
		}
		out = append(out, s+".")
	}
	return out
}

func article(word string) string {
	if word != "" && strings.ContainsRune("aeiouAEIOU", rune(word[0])) {
		return "an"
	}
	return "a"
}

func (e Explanation) distanceWords() []string {
	c, d := e.Chord, e.Distance
	if c == nil {
		return nil
	}
	var out []string
	tonic, _, _ := strings.Cut(c.Key, " ")
	switch {
	case d.FromTonic == 0 && !d.Inverted:
		out = append(out, fmt.Sprintf("This is the tonic of %s, in root position.", c.Key))
	case d.FromTonic == 0:
		out = append(out, fmt.Sprintf("This is the tonic of %s, but inverted.", c.Key))
	default:
		out = append(out, fmt.Sprintf("%s lies %d from the tonic %s: %s.", c.Roman, d.FromTonic, tonic, d.count(c.Key)))
		if d.Unclear > 0.05 {
			out = append(out, "Its root is less clear than the tonic triad's, so it stands less firmly.")
		}
	}
	if d.FromHome > 0 {
		out = append(out, fmt.Sprintf("The key here, %s, lies %d from the home key, %s.", c.Key, d.FromHome, e.Home))
	}
	return out
}

// count puts i, j and k into words.
func (d ExplainedSteps) count(key string) string {
	var parts []string
	if d.HeardIn != key {
		parts = append(parts, fmt.Sprintf("heard in %s, %s round the circle of keys", d.HeardIn, stepWords(d.Region)))
	}
	parts = append(parts, fmt.Sprintf("%s from root to root on the circle of fifths", stepWords(d.Fifths)))
	parts = append(parts, fmt.Sprintf("%d new among root, fifth, chord and scale", d.New))
	s := strings.Join(parts, ", ")
	if d.Inverted {
		s += fmt.Sprintf("; %d more for the inversion", inversionStep)
	}
	return s
}

func stepWords(n int) string {
	if n == 1 {
		return "1 step"
	}
	return fmt.Sprintf("%d steps", n)
}

func (e Explanation) waitingWords() []string {
	var out []string
	for _, w := range e.Waiting {
		s := fmt.Sprintf("Since %s %s (%s) waits for %s", w.Since, w.what(), w.Of, w.Target)
		if w.Pedal {
			s += ", kept alive by the bass on its dominant"
		}
		switch w.Release {
		case StillOpen:
			s += "; it is never answered"
		case Abandoned:
			s += fmt.Sprintf("; it fades unanswered by %s", w.Until)
		default:
			s += fmt.Sprintf("; it is let go %s at %s", releaseWords[w.Release], w.Until)
		}
		out = append(out, s+".")
	}
	return out
}

func (e Explanation) answeredWords() []string {
	var out []string
	for _, w := range e.Answered {
		out = append(out, fmt.Sprintf("The %s (%s) that waited for %s since %s is let go here %s.",
			w.name(), w.Of, w.Target, w.Since, releaseWords[w.Release]))
	}
	return out
}

func (w ExplainedAwait) name() string {
	if w.Applied {
		return "applied " + string(w.By)
	}
	return string(w.By)
}

func (w ExplainedAwait) what() string {
	if w.By == ByTone {
		return "a leaning tone"
	}
	return article(w.name()) + " " + w.name()
}

var releaseWords = map[Release]string{
	Fully: "fully", Partly: "only in part", Deceptively: "deceptively, into another chord",
	PassedOn: "by a chord that is itself a dominant: the waiting is passed on", Abandoned: "unanswered",
}
