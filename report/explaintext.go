package report

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// heading is the moment under the score's title.
func (x *explanation) heading() string { return x.Title + ", " + x.said() }

// said is the moment, its chord and its tension in a line.
func (x *explanation) said() string {
	if x.Chord == nil {
		return fmt.Sprintf("%s: no chord sounds. Tension %s of 100.", x.At.Counted(""), whole(x.Tension.Total))
	}
	how := x.Chord.Certainty
	if x.Chord.Given {
		how = "given"
	}
	return fmt.Sprintf("%s: %s, %s in %s (%s). Tension %s of 100.",
		x.At.Counted(""), x.Chord.Words, x.Chord.Roman, x.Chord.Key, how, whole(x.Tension.Total))
}

// rows is the explanation as a grid of causes; points is what each adds to the total.
func (x *explanation) rows() grid {
	g := grid{head: []string{"cause", "points", "why"}, right: []bool{false, true, false}, wrap: 2}
	add := func(cause, points, why string) {
		if why != "" {
			g.rows = append(g.rows, []string{cause, points, why})
		}
	}
	add("sounding", "", x.notesText())
	add("reading", "", x.readingText())
	points := signedPoints(x.Explanation.Points)
	add("dissonance", points[0], x.clashText())
	add("distance", points[1], x.distanceText())
	add("pull", points[2], x.pullText())
	add("long line", whole(x.LongLine.Total), x.Long)
	if x.Next != nil {
		add("then", "", fmt.Sprintf("%s %s, %s, tension %s", x.Next.At.Counted(""), x.Next.Chord, x.Next.Roman, whole(x.Next.Tension)))
	}
	add("printed", "", x.Printed)
	add("verdict", "", x.Verdict)
	return g
}

// signedPoints writes whole points as a sum does: "+48".
func signedPoints(c tonal.Tension) (out [3]string) {
	for i, n := range WholePoints(c) {
		out[i] = fmt.Sprintf("%+d", n)
	}
	return out
}

// WholePoints rounds what dissonance, distance and pull add to a total so that they
// give the rounded total.
func WholePoints(c tonal.Tension) [3]int {
	parts, rest := [3]float64{c.Dissonance, c.Distance, c.Pull}, math.Round(c.Total)
	var out [3]int
	for i, p := range parts {
		out[i] = int(math.Floor(p))
		rest -= math.Floor(p)
	}
	order := [3]int{0, 1, 2} // the largest fractions are rounded up first
	sort.SliceStable(order[:], func(i, j int) bool {
		a, b := parts[order[i]], parts[order[j]]
		return a-math.Floor(a) > b-math.Floor(b)
	})
	for i, k := range order {
		if float64(i) < rest {
			out[k]++
		}
	}
	return out
}

// notesText names what sounds, lowest first, after the part it sounds in.
func (x *explanation) notesText() string {
	if len(x.Sounding) == 0 {
		return "silence"
	}
	var b strings.Builder
	for i, n := range x.Sounding {
		switch {
		case i > 0 && n.Part == x.Sounding[i-1].Part:
			b.WriteString(" ")
		case i > 0:
			b.WriteString("; ")
			fallthrough
		default:
			if n.Part != "" {
				b.WriteString(n.Part + " ")
			}
		}
		b.WriteString(n.Name)
	}
	return b.String()
}

func (x *explanation) readingText() string {
	if x.Chord == nil {
		return ""
	}
	var out []string
	if x.Chord.Why != "" {
		out = append(out, "from "+since(x.Chord.From)+" on, "+x.Chord.Why)
	}
	if x.Chord.Rival != "" && x.Chord.Rival != x.Chord.Name && !x.Chord.RivalClose {
		out = append(out, "second best: "+x.Chord.Rival)
	}
	return strings.Join(out, "; ")
}

func (x *explanation) clashText() string {
	var out []string
	for _, c := range x.Clashes {
		out = append(out, fmt.Sprintf("%s–%s %s", c.Low, c.High, c.Interval))
	}
	for _, f := range x.Foreign {
		text := f.Name + " is foreign to the chord, " + withArticle(string(f.Kind))
		if f.To != "" {
			text += ", to " + f.To + " " + f.When.Counted("at ")
		}
		out = append(out, text)
	}
	if len(out) == 0 {
		out = []string{"no two notes clash"}
	}
	if x.Motion >= 1 {
		out = append(out, fmt.Sprintf("the voices move %s on average to get here", plural(int(math.Round(x.Motion)), "semitone")))
	}
	return strings.Join(out, "; ")
}

func (x *explanation) distanceText() string {
	c, d := x.Chord, x.Distance
	if c == nil {
		return ""
	}
	text := fmt.Sprintf("%s from the tonic of %s in Lerdahl's tonal pitch space", plural(d.FromTonic, "step"), c.Key)
	if d.FromTonic == 0 {
		text = "the tonic of " + c.Key
	}
	if d.Inverted {
		text += ", inverted"
	}
	if d.FromHome > 0 {
		text += fmt.Sprintf("; that key is %s from home, %s", plural(d.FromHome, "step"), x.Home)
	}
	for _, k := range d.Ear {
		text += fmt.Sprintf("; %s is still in the ear (%.0f %%)", k.Key, 100*k.Share)
	}
	return text
}

func (x *explanation) pullText() string {
	var out []string
	for _, w := range x.Waiting {
		text := x.asks(w)
		if w.Pedal {
			text += ", kept alive by the bass"
		}
		if w.Until == (score.Position{}) {
			text += ", and is never answered"
		} else {
			text += ", and is " + released(w.Release) + " " + w.Until.Counted("at ")
		}
		out = append(out, text)
	}
	for _, w := range x.Answered {
		of := w.Of
		if of == cadential {
			of = "the dominant with its six-four"
		}
		out = append(out, fmt.Sprintf("%s, waiting since %s for %s, is %s here", of, since(w.Since), w.Target, released(w.Release)))
	}
	if len(out) == 0 && x.Points.Pull >= 1 {
		return "what is left of an earlier dominant fades"
	}
	if len(out) == 0 {
		return "nothing is waited for"
	}
	return strings.Join(out, "; ")
}

// cadential is the numeral of the six-four before a dominant.
const cadential = "Cad64"

// asks says what a chord or tone waits for, and since when: what enters here has not
// waited. After its six-four it is the dominant itself that waits.
func (x *explanation) asks(w tension.ExplainedAwait) string {
	of, name := w.Of, withArticle(awaitedName(w))
	if w.Of == cadential && !x.sixFour() {
		of, name = "the dominant", "begun with its six-four"
	}
	if w.From == x.tick {
		return fmt.Sprintf("%s, %s, asks for %s", of, name, w.Target)
	}
	return fmt.Sprintf("%s, %s, has waited since %s for %s", of, name, since(w.Since), w.Target)
}

// sixFour reports whether the chord of the moment is a cadential six-four.
func (x *explanation) sixFour() bool { return x.chord != nil && x.chord.Numeral.Cadential }

func awaitedName(w tension.ExplainedAwait) string {
	switch {
	case w.By == tension.ByTone:
		return "leaning tone"
	case w.Applied:
		return "applied " + string(w.By)
	}
	return string(w.By)
}

func withArticle(word string) string {
	if strings.ContainsAny(word[:1], "aeiou") {
		return "an " + word
	}
	return "a " + word
}

// released says how a wait ends.
func released(how tension.Release) string {
	switch how {
	case tension.PassedOn:
		return "passed on to another chord"
	case tension.Abandoned:
		return "given up"
	case tension.Fully:
		return "answered in full"
	case tension.Partly:
		return "answered in part"
	}
	return "answered " + string(how)
}

// since is a moment as a player counts it after another preposition: "shortly after 9:2".
func since(at score.Position) string {
	return strings.Replace(at.Counted(""), "after", "shortly after", 1)
}
