package report

import (
	"fmt"
	"strings"
)

func (x *explanation) heading(r *Reading) string {
	title := r.Score.Title
	if title == "" {
		title = r.File.Name
	}
	if x.Chord == "" {
		return fmt.Sprintf("%s, %s: no chord sounds. Tension %s of 100.", title, x.At, whole(x.Tension))
	}
	return fmt.Sprintf("%s, %s: %s, %s in %s (%s). Tension %s of 100.", title, x.At, x.Chord, x.Roman, x.Key, x.Certainty, whole(x.Tension))
}

// rows is the explanation as a grid of causes.
func (x *explanation) rows() grid {
	g := grid{head: []string{"cause", "of 100", "why"}, right: []bool{false, true, false}, wrap: 2}
	add := func(cause, points, why string) {
		if why != "" {
			g.rows = append(g.rows, []string{cause, points, why})
		}
	}
	add("sounding", "", x.notesText())
	add("reading", "", x.readingText())
	add("dissonance", whole(x.Dissonance), x.clashText())
	add("distance", whole(x.Distance), x.distanceText())
	add("pull", whole(x.Pull), x.pullText())
	if x.Next != nil {
		add("then", "", fmt.Sprintf("%s %s, %s, tension %s", x.Next.At, x.Next.Chord, x.Next.Roman, whole(x.Next.Tension)))
	}
	add("page", "", x.Printed)
	add("verdict", "", strings.Join(x.Verdicts, " "))
	return g
}

func (x *explanation) notesText() string {
	if len(x.Notes) == 0 {
		return "silence"
	}
	var out []string
	part := ""
	for _, n := range x.Notes {
		text := n.Pitch
		if n.Part != part && n.Part != "" {
			text += " (" + n.Part + ")"
		}
		part = n.Part
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

func (x *explanation) readingText() string {
	text := x.Why
	if x.Rival != "" {
		text = strings.TrimSpace(text + "; second best: " + x.Rival)
	}
	return strings.TrimPrefix(text, "; ")
}

func (x *explanation) clashText() string {
	var out []string
	for _, c := range x.Clashes {
		out = append(out, c.Interval+" "+c.Low+"–"+c.High)
	}
	if len(x.Foreign) > 0 {
		out = append(out, "foreign to the chord: "+strings.Join(x.Foreign, " "))
	}
	if len(out) == 0 {
		return "no clash between the sounding notes"
	}
	return strings.Join(out, "; ")
}

func (x *explanation) distanceText() string {
	if x.Steps == nil {
		return ""
	}
	text := fmt.Sprintf("%s from the tonic of %s", plural(x.Steps.FromTonic, "step"), x.Key)
	if x.Steps.FromTonic == 0 {
		text = "the tonic of " + x.Key
	}
	if x.Steps.KeyToHome > 0 {
		text += fmt.Sprintf("; that key is %s from home, %s", plural(x.Steps.KeyToHome, "step"), x.Home)
	}
	return text
}

func (x *explanation) pullText() string {
	var out []string
	for _, a := range x.Awaited {
		text := fmt.Sprintf("%s waits since %s for %s", a.By, a.Since, a.What)
		if a.Release != "" {
			text += fmt.Sprintf(", let go %s at %s", a.Release, a.Until)
		} else {
			text += ", to the end unanswered"
		}
		out = append(out, text)
	}
	if len(out) == 0 && x.Fading != "" {
		return x.Fading
	}
	if len(out) == 0 {
		return "nothing is waited for"
	}
	return strings.Join(out, "; ")
}
