package report

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"

	"hairpin/dynamics"
	"hairpin/harmony"
	"hairpin/score"
)

// explanation says why a moment is as tense as it is.
type explanation struct {
	Schema    int      `json:"schema"`
	At        string   `json:"at"`
	Onset     Quarters `json:"onset"`
	Chord     string   `json:"chord,omitempty"`
	Roman     string   `json:"roman,omitempty"`
	Key       string   `json:"key,omitempty"`
	Home      string   `json:"home"`
	Certainty string   `json:"certainty,omitempty"`
	Why       string   `json:"why,omitempty"`
	Rival     string   `json:"rival,omitempty"`

	Tension    tenth `json:"tension"`
	Dissonance tenth `json:"dissonance"`
	Distance   tenth `json:"distance"`
	Pull       tenth `json:"pull"`

	Notes    []soundingNote `json:"notes"`
	Clashes  []clash        `json:"clashes"`
	Foreign  []string       `json:"foreign"` // names of sounding notes that are not in the chord
	Steps    *stepCount     `json:"distance_steps,omitempty"`
	Awaited  []awaited      `json:"awaited"`
	Fading   string         `json:"fading,omitempty"` // an older promise whose pull is left
	Next     *nextChord     `json:"next,omitempty"`
	Printed  string         `json:"printed,omitempty"` // the level the page asks for
	Verdicts []string       `json:"verdicts"`
}

type soundingNote struct {
	Pitch string   `json:"pitch"`
	Part  string   `json:"part"`
	Since string   `json:"since"`
	Onset Quarters `json:"onset"`
}

// clash is two sounding notes that rub.
type clash struct {
	Low      string `json:"low"`
	High     string `json:"high"`
	Interval string `json:"interval"`
}

// stepCount is the chord's distance in steps: Lerdahl (2001), Tonal Pitch Space.
type stepCount struct {
	FromTonic int `json:"from_tonic"`
	KeyToHome int `json:"key_from_home"`
}

// awaited is something promised and not yet given.
type awaited struct {
	What    string   `json:"what"`
	By      string   `json:"by"`
	Since   string   `json:"since"`
	Onset   Quarters `json:"onset"`
	Beats   float64  `json:"waited_quarters"`
	Release string   `json:"release,omitempty"`
	Until   string   `json:"until"`
}

type nextChord struct {
	At      string `json:"at"`
	Chord   string `json:"chord"`
	Roman   string `json:"roman"`
	Tension tenth  `json:"tension"`
}

// Explain says why the moment at, "MEASURE:BEAT", is as tense as it is, as
// table, json or markdown. It returns a [ChoiceError] for a moment that the
// score does not have.
func (r *Reading) Explain(w io.Writer, format, at string) error {
	t, err := r.find(at)
	if err != nil {
		return err
	}
	x := r.explain(t)
	if format == "json" {
		return writeJSON(w, x)
	}
	g := x.rows()
	if format == "markdown" {
		if _, err := fmt.Fprintf(w, "# %s\n\n", markdownText(x.heading(r))); err != nil {
			return err
		}
		return g.markdown(w)
	}
	if _, err := fmt.Fprintf(w, "%s\n\n", wrapText(x.heading(r), r.opt.Width, "")); err != nil {
		return err
	}
	g.bare = true
	if err := g.table(w, r.opt.Width); err != nil {
		return err
	}
	return r.note(w, sentence(r.Harmony.Caution))
}

// find is the tick of "12:3", or of "12" for its first beat.
func (r *Reading) find(at string) (score.Tick, error) {
	measure, beat, ok := strings.Cut(at, ":")
	if !ok {
		beat = "1"
	}
	i := measureIndex(r.Score, measure, 0)
	b, err := strconv.ParseFloat(beat, 64)
	switch {
	case err != nil || !(b >= 1 && b < 1000):
		return 0, &ChoiceError{fmt.Sprintf("%q is no moment", at), "write measure and beat, such as 12:3 or 12:2.5"}
	case i < 0:
		return 0, &ChoiceError{fmt.Sprintf("measure %q is not in the score", measure), measuresHint(r.Score)}
	}
	t, ok := r.Score.Find(measure, b)
	if !ok {
		m := r.Score.Measures[i]
		return 0, &ChoiceError{fmt.Sprintf("measure %s has no beat %s", measure, beat),
			fmt.Sprintf("it goes from %s to just before %s", r.at(m.Start), r.Score.Measures[i].Number+":"+
				score.FormatBeat(r.Score.At(m.Start).Beat+float64(m.Length)*float64(max(m.BeatUnit, 1))/float64(4*r.Score.Division)))}
	}
	return t, nil
}

func (r *Reading) explain(t score.Tick) *explanation {
	x := &explanation{
		Schema: 1, At: r.at(t), Onset: r.quarters(t), Home: r.Harmony.Home.Name(),
		Notes: []soundingNote{}, Clashes: []clash{}, Foreign: []string{}, Awaited: r.awaited(t), Verdicts: r.verdictsAt(t),
	}
	if r.Page.Marked {
		x.Printed = dynamics.Mark(r.Page.Whole.At(t))
	}
	i := sort.Search(len(r.Harmony.Moments), func(i int) bool { return r.Harmony.Moments[i].End > t })
	if i == len(r.Harmony.Moments) || r.Harmony.Moments[i].Start > t {
		return x
	}
	m := r.Harmony.Moments[i]
	x.Tension, x.Dissonance, x.Distance, x.Pull = tenth(m.Tension.Total), tenth(m.Tension.Dissonance), tenth(m.Tension.Distance), tenth(m.Tension.Pull)
	if len(x.Awaited) == 0 && x.Pull >= 1 {
		x.Fading = r.fading(t)
	}
	r.sounding(x, r.Harmony.Slices[i].Notes)
	if m.Chord >= 0 {
		r.chordOf(x, m.Chord, r.Harmony.Slices[i].Notes)
	}
	return x
}

// sounding fills in the notes and the intervals that rub between them.
func (r *Reading) sounding(x *explanation, notes []int) {
	for k, i := range notes {
		n := r.Score.Notes[i]
		x.Notes = append(x.Notes, soundingNote{n.Pitch.String(), r.Score.Parts[n.Part].Name, r.at(n.Onset), r.quarters(n.Onset)})
		for _, j := range notes[:k] {
			if name := dissonantInterval(r.Score.Notes[j].Pitch, n.Pitch); name != "" {
				x.Clashes = append(x.Clashes, clash{r.Score.Notes[j].Pitch.String(), n.Pitch.String(), name})
			}
		}
	}
}

// dissonantInterval names the interval between two pitches, the lower first, if
// it is a dissonance: a second, a seventh, a tritone or another augmented or
// diminished interval; "" otherwise (common practice, no source).
func dissonantInterval(low, high score.Pitch) string {
	fifths := int(high.Class() - low.Class())
	names := map[int]string{
		2: "major second", -5: "minor second", 5: "major seventh", -2: "minor seventh",
		6: "augmented fourth", -6: "diminished fifth", 8: "augmented fifth", -8: "diminished fourth",
		9: "augmented second", -9: "diminished seventh", 10: "augmented sixth", -10: "diminished third", 7: "augmented octave",
	}
	if low.Key() > high.Key() || low.Key()%12 == high.Key()%12 {
		return ""
	}
	return names[fifths]
}

func (r *Reading) chordOf(x *explanation, i int, notes []int) {
	c := &r.Harmony.Chords[i]
	x.Chord, x.Roman, x.Key = c.Name(), c.Roman(), c.Key.Name()
	x.Certainty, x.Why, x.Rival = certaintyWord(c.Certainty), c.Why, c.Rival
	in := map[score.Class]bool{}
	for _, tone := range c.Tones {
		in[tone] = true
	}
	for _, n := range notes {
		if p := r.Score.Notes[n].Pitch; !in[p.Class()] {
			x.Foreign = append(x.Foreign, p.String())
		}
	}
	if len(c.Tones) > 0 {
		x.Steps = &stepCount{harmony.TonicDistance(c).Total(), harmony.RegionDistance(r.Harmony.Home, c.Key)}
	}
	if i+1 < len(r.Harmony.Chords) {
		n := r.Harmony.Chords[i+1]
		x.Next = &nextChord{r.at(n.Start), n.Name(), n.Roman(), tenth(n.Tension.Total)}
	}
}

// awaited lists what is open at a moment.
func (r *Reading) awaited(t score.Tick) []awaited {
	out := []awaited{}
	for _, e := range r.Harmony.Expectations {
		if e.From > t || e.Until <= t {
			continue
		}
		a := awaited{By: string(e.By), Since: r.at(e.From), Onset: r.quarters(e.From), Until: r.at(e.Until), Release: string(e.Release),
			Beats: math.Round(100*r.Score.Quarters(t-e.From)) / 100}
		switch {
		case e.By == harmony.ByTone && e.Note >= 0:
			a.By, a.What = r.Score.Notes[e.Note].Pitch.String(), "the step to "+e.Target.String()
		case e.Applied:
			a.What = "the chord on " + e.Target.String()
		default:
			a.What = e.Target.String() + ", the tonic of " + e.Region.Name()
		}
		out = append(out, a)
	}
	return out
}

// fading names the last promise that was not let go fully before a moment.
func (r *Reading) fading(t score.Tick) string {
	last := -1
	for i, e := range r.Harmony.Expectations {
		if e.Until <= t && e.Release != harmony.Fully && (last < 0 || e.Until >= r.Harmony.Expectations[last].Until) {
			last = i
		}
	}
	if last < 0 {
		return ""
	}
	e := r.Harmony.Expectations[last]
	return fmt.Sprintf("what is left of the %s from %s, let go %s at %s", e.By, r.at(e.From), e.Release, r.at(e.Until))
}

// verdictsAt is the verdict on the stretch that a moment lies in.
func (r *Reading) verdictsAt(t score.Tick) []string {
	out := []string{}
	for _, v := range r.spanVerdicts() {
		if v.Start <= t && t < v.End {
			out = append(out, string(v.Kind)+": "+v.Sentence)
		}
	}
	return out
}
