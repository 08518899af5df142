package report

import (
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// explanation says why a moment is as tense as it is, and what the page does there.
type explanation struct {
	Schema  int      `json:"schema"`
	Title   string   `json:"title,omitempty"`
	Onset   Quarters `json:"onset"`
	Weights weighing `json:"weights"`
	tension.Explanation
	Tension  tensionParts `json:"tension"` // in place of the embedded numbers: rounded
	Points   tensionParts `json:"points"`
	LongLine tensionParts `json:"long_line"`
	Long     string       `json:"long,omitempty"` // where the moment stands in its phrase, and what its chord belongs to
	Next     *nextChord   `json:"next,omitempty"`
	Printed  string       `json:"printed,omitempty"` // the level the page asks for: "mf"; "nothing yet, taken as mf"
	Verdict  string       `json:"verdict,omitempty"`

	tick        score.Tick
	chord, next *tonal.Chord // that govern the moment and follow it, nil for none
	home        tonal.Key
}

// tensionParts is a tension and its parts, 0 to 100.
type tensionParts struct {
	Total      tenth `json:"total"`
	Dissonance tenth `json:"dissonance"`
	Distance   tenth `json:"distance"`
	Pull       tenth `json:"pull"`
}

func partsOf(t tonal.Tension) tensionParts {
	return tensionParts{tenth(t.Total), tenth(t.Dissonance), tenth(t.Distance), tenth(t.Pull)}
}

type nextChord struct {
	At      score.Position `json:"at"`
	Chord   string         `json:"chord"`
	Roman   string         `json:"roman"`
	Tension tenth          `json:"tension"`
}

// Explain says why the moment at, "MEASURE:BEAT", is as tense as it is, as
// table, json or markdown. It returns a [ChoiceError] for a moment that the
// score does not have.
func (r *Reading) Explain(w io.Writer, format, at string) error {
	t, err := r.find(at)
	if err != nil {
		return err
	}
	x := r.Explainer().explain(t)
	if format == "json" {
		return writeJSON(w, x)
	}
	g := x.rows()
	if format == "markdown" {
		if _, err := fmt.Fprintf(w, "# %s\n\n", markdownText(x.heading())); err != nil {
			return err
		}
		return r.markdown(w, g)
	}
	if _, err := fmt.Fprintf(w, "%s\n\n", WrapText(x.heading(), r.Options.Width, "")); err != nil {
		return err
	}
	g.bare = true
	if err := g.table(w, r.Options.Width); err != nil {
		return err
	}
	return r.notes(w, sentence(r.Harmony.Caution))
}

// find is the tick of "12:3", or of "12" for its first beat.
func (r *Reading) find(at string) (score.Tick, error) {
	measure, beat, ok := strings.Cut(at, ":")
	i, known := r.byNumber[measure]
	if !known {
		return 0, &ChoiceError{fmt.Sprintf("measure %q is not in the score", measure), measuresHint(r.Score)}
	}
	m := r.Score.Measures[i]
	if !ok {
		return m.Start, nil
	}
	b, err := strconv.ParseFloat(beat, 64)
	if err != nil || !(b >= 1 && b < 1000) {
		return 0, &ChoiceError{fmt.Sprintf("%q is no moment", at), "write measure and beat, such as 12:3 or 12:2.5"}
	}
	t, ok := r.Score.FindFrom(i, measure, b)
	if !ok {
		end := r.Score.At(m.Start).Beat + float64(m.Length)/float64(m.Unit(r.Score.Division))
		return 0, &ChoiceError{fmt.Sprintf("measure %s has no beat %s", measure, beat),
			fmt.Sprintf("it goes from %s to just before %s:%s", r.At(m.Start), measure, score.FormatBeat(end))}
	}
	return t, nil
}

func (e *Explainer) explain(t score.Tick) *explanation {
	r, why := e.r, e.ear.At(t)
	x := &explanation{Schema: 1, Title: r.title(), Onset: r.quarters(t), Weights: r.weighing(), Explanation: why,
		Tension: partsOf(why.Tension), Points: partsOf(why.Points), Verdict: e.verdictAt(t)}
	x.Sounding, x.Clashes, x.Foreign = orEmpty(why.Sounding), orEmpty(why.Clashes), orEmpty(why.Foreign)
	x.Waiting, x.Answered = orEmpty(why.Waiting), orEmpty(why.Answered)
	line, words := r.Harmony.ExplainLong(r.Score, t)
	x.LongLine, x.Long = partsOf(line), words
	if r.Page.Marked {
		x.Printed = r.printedAt(t)
	}
	x.tick, x.chord, x.home = t, r.chordAt(t), r.Harmony.Home
	chords := r.Harmony.Chords
	if i := sort.Search(len(chords), func(i int) bool { return chords[i].Start > t }); i < len(chords) {
		c := &chords[i]
		x.next = c
		x.Next = &nextChord{r.Score.At(c.Start), c.Name(), c.Roman(), tenth(c.Tension.Total)}
	}
	return x
}

// printedAt names the level that the page asks for; where no mark has stated one yet it
// says what is taken in its place.
func (r *Reading) printedAt(t score.Tick) string {
	level := page.Mark(r.Page.Whole.At(t))
	if r.Page.Whole.Unstated(t) {
		return "nothing yet, taken as " + level
	}
	return level
}

// chordAt is the chord that governs a moment, nil if none does.
func (r *Reading) chordAt(t score.Tick) *tonal.Chord {
	list := r.Harmony.Chords
	i := sort.Search(len(list), func(i int) bool { return list[i].End > t })
	if i == len(list) || list[i].Start > t {
		return nil
	}
	return &list[i]
}

// title is the score's title, or its file's name.
func (r *Reading) title() string {
	if title := spaced(r.Score.Title); title != "" {
		return title
	}
	return r.File.Name
}

// verdictAt is the verdict on the stretch that a moment lies in.
func (e *Explainer) verdictAt(t score.Tick) string {
	i := sort.Search(len(e.spans), func(i int) bool { return e.spans[i].End > t })
	if i == len(e.spans) || e.spans[i].Start > t {
		return ""
	}
	v := e.spans[i]
	if v.Kind == verdict.Calm && (v.Harmony.Waits || v.Harmony.To >= tense) { // nothing moves, but nobody is at rest
		return e.r.VerdictSentence(v)
	}
	return string(v.Kind) + ": " + e.r.VerdictSentence(v)
}
