package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// wholePiece is what is told of the piece before its parts.
type wholePiece struct {
	Form     string         `json:"form,omitempty"` // "A–B–A"
	Type     form.Type      `json:"type,omitempty"` // "sonata": the trade's name of it, if the evidence is plain
	Sections []studySection `json:"sections"`
	Returns  []studyReturn  `json:"returns"`
	Keys     []keyStay      `json:"keys"` // away from home, in order
	Climax   *climax        `json:"climax,omitempty"`
	Text     []string       `json:"text"` // sentences
}

type studySection struct {
	Letter    string   `json:"letter"`         // "A", "A′"
	Name      string   `json:"name,omitempty"` // "trio", "coda"
	Measures  string   `json:"measures"`
	Onset     Quarters `json:"onset"`
	End       Quarters `json:"end"`
	Climax    *climax  `json:"climax,omitempty"`
	Certainty string   `json:"certainty"`
	last      Quarters // where its last measure begins: nothing leads there
}

// studyReturn is music that comes back.
type studyReturn struct {
	Measures  string    `json:"measures"`
	Of        string    `json:"of"`
	Onset     Quarters  `json:"onset"`
	Kind      form.Kind `json:"kind"`
	Semitones int       `json:"semitones"`
	Certainty string    `json:"certainty"`
}

// climax is the loudest place of the piece or of a section: at the loudest mark
// that the page prints, if it prints any.
type climax struct {
	At        string   `json:"at"`
	place     string   // At in words
	Onset     Quarters `json:"onset"`
	Level     string   `json:"level"`
	Mark      string   `json:"mark,omitempty"`   // the loudest mark of the page, if it stands there
	Others    []string `json:"others,omitempty"` // where else the page prints that mark
	Why       []string `json:"why,omitempty"`    // what speaks for it
	Certainty string   `json:"certainty"`
}

// goal is where a phrase is going.
type goal struct {
	At         string   `json:"at"`
	Onset      Quarters `json:"onset"`
	Confidence float64  `json:"confidence"`
	Certainty  string   `json:"certainty"`
	Harmony    float64  `json:"harmony"` // what speaks for the place: harmony, line, page
	Line       float64  `json:"line"`
	Page       float64  `json:"page"`
	Rival      string   `json:"rival"`
}

// counsel is one piece of advice.
type counsel struct {
	Kind      advice.Kind  `json:"kind"`
	At        string       `json:"at"`
	Onset     Quarters     `json:"onset"`
	Start     Quarters     `json:"start"`
	End       Quarters     `json:"end"`
	Share     float64      `json:"share"`
	Baseline  float64      `json:"baseline"`
	Places    int          `json:"places"`
	Certainty string       `json:"certainty"`
	Cause     advice.Cause `json:"cause"`
	Against   bool         `json:"against_harmony"`
	Reason    advice.Cause `json:"reason,omitempty"`
}

// whole tells the piece: form, climax, keys, the rarest event.
func (r *Reading) whole() wholePiece {
	f, stays := r.Harmony.Form, events.Stays(r.Score, r.Harmony)
	w := wholePiece{Form: f.Outline, Type: f.Type, Sections: []studySection{}, Returns: []studyReturn{}, Keys: r.keyStays(stays)}
	var spans []advice.Span
	from := entry(r.Score)
	for _, s := range f.Sections {
		spans = append(spans, advice.Span{Start: max(s.Start, from), End: s.End})
	}
	peaks := r.Plan.Climaxes(spans)
	for _, s := range f.Sections {
		w.Sections = append(w.Sections, studySection{
			Letter: letter(s.Letter, s.Prime), Name: string(s.Name), Measures: r.PhraseBars(s.Start, s.End).Named(), Onset: r.quarters(s.Start), End: r.quarters(s.End),
			Climax: r.climaxOf(peaks, s.Start, s.End), Certainty: tonal.CertaintyOf(s.Certainty).String(),
			last: r.quarters(r.Score.Measures[r.Score.MeasureAt(max(s.End-1, s.Start))].Start),
		})
	}
	for _, x := range f.Returns {
		w.Returns = append(w.Returns, studyReturn{r.Span(x.Again.Start, x.Again.End), r.Span(x.First.Start, x.First.End),
			r.quarters(x.Again.Start), x.Kind, x.Semitones, tonal.CertaintyOf(x.Certainty).String()})
	}
	w.Climax = r.told()
	w.Text = r.wholeText(w, stays)
	return w
}

func letter(name string, prime bool) string {
	if prime {
		return name + "′"
	}
	return name
}

// climaxOf is the climax of one section, nil if it has none.
func (r *Reading) climaxOf(list []advice.Climax, start, end score.Tick) *climax {
	for _, c := range list {
		if c.Start < start || c.End != end {
			continue
		}
		if p := r.peak; p != nil && p.Certainty > tonal.Unsure && p.At >= start && p.At < end {
			c.At, c.Mark, c.Certainty = p.At, p.Mark, p.Certainty
		}
		return r.climax(c)
	}
	return nil
}

func (r *Reading) wholeText(w wholePiece, stays []events.Stay) []string {
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, sentence(text))
		}
	}
	add(r.versesSentence())
	add(r.formSentence(w))
	add(r.keySentence(stays))
	add(r.climaxSentence())
	add(r.quietTop())
	if e := colour(r.ranked); e != nil {
		text := "the colour to wait for is " + r.eventWhat(*e)
		if rest := r.likewise(*e); rest != "" {
			text += ", again in " + rest
		}
		add(text)
	}
	if text := r.handsSentence(); text != "" {
		add(text)
	} else {
		add(r.bassTune())
	}
	add(r.respelled())
	add(r.sameAgain())
	add(r.silenceSentence())
	add(r.majorEnd())
	return out
}

// colour is the colour to wait for: the most telling of the rarest kind that is
// one, nil if there is none.
func colour(ranked []events.Event) *events.Event {
	for _, k := range [...]events.Kind{events.Neapolitan, events.AugmentedSixth, events.FarKey, events.Borrowed} {
		for i, e := range ranked {
			if e.Kind == k && tonal.CertaintyOf(e.Confidence) > tonal.Unsure {
				return &ranked[i]
			}
		}
	}
	return nil
}

// formSentence says how the piece is built: its sections, or else its longest returns.
func (r *Reading) formSentence(w wholePiece) string {
	f := r.Harmony.Form
	if f.Outline != "" {
		return r.outlineSentence(f)
	}
	if text := r.partsSentence(f); text != "" {
		return text
	}
	var backs []string
	longest := slices.Clone(r.Harmony.Form.Returns)
	slices.SortStableFunc(longest, func(a, b form.Return) int { return b.Count - a.Count })
	for _, x := range longest {
		if len(backs) < 2 && x.Count >= 2 && tonal.CertaintyOf(x.Certainty) > tonal.Unsure {
			backs = append(backs, r.returnWords(x))
		}
	}
	if len(backs) == 0 {
		return r.noReturn()
	}
	return strings.Join(backs, "; ")
}

// noReturn says of a piece of some length that nothing comes back in it. A few bars
// have no form to speak of, and a repeat sign brings all of it back.
func (r *Reading) noReturn() string {
	const least = 16 // measures
	if len(r.Score.Measures) < least || len(r.Harmony.Form.Returns) > 0 || len(r.Score.Repeats) > 0 {
		return ""
	}
	return "no section clearly comes back"
}

// versesSentence says how many verses are sung to the same music: a song whose text
// stands in several lines under most notes is strophic (common practice, no source). Two
// lines that nothing repeats and nobody counts are mostly a text and its translation.
func (r *Reading) versesSentence() string {
	var lines []int
	for _, y := range r.Score.Syllables {
		lines = append(lines, y.Verses)
	}
	slices.Sort(lines)
	n := len(lines)
	if n == 0 || lines[n/2] == 2 && len(r.Score.Repeats) == 0 && !strings.HasPrefix(r.Score.Syllables[0].Text, "1") {
		return ""
	}
	if lines[n/2] > 1 {
		return fmt.Sprintf("the song is strophic, %d verses to the same music: let each find its own colour", lines[n/2])
	}
	return ""
}

// outlineSentence names the sections, neighbours of one letter as one, and what
// comes back: "A–B–A′: A mm. 1–33, B mm. 33–105, A′ mm. 106–121; 106 brings back 1, changed".
func (r *Reading) outlineSentence(f form.Form) string {
	const most = 7 // more sections than that nobody keeps in mind
	var letters, parts, backs []string
	unsure := false
	for i := 0; i < len(f.Sections); {
		j := i + 1
		for j < len(f.Sections) && f.Sections[j].Letter == f.Sections[i].Letter {
			j++
		}
		s := f.Sections[i]
		if s.Letter != "" {
			letters = append(letters, letter(s.Letter, s.Prime))
		}
		parts = append(parts, sectionName(s)+" "+r.PhraseBars(s.Start, f.Sections[j-1].End).Named())
		if s.Of >= 0 && s.Of < i {
			unsure = unsure || tonal.CertaintyOf(s.Certainty) == tonal.Unsure
			back := "m. " + r.PhraseBars(s.Start, s.End).First + " brings back m. " + r.PhraseBars(s.From, s.End).First
			if s.Prime {
				back += ", changed"
			}
			backs = append(backs, back)
		}
		i = j
	}
	form, list := strings.Join(letters, "–"), ": "+strings.Join(parts, ", ")
	if len(parts) > most {
		list = ""
	}
	switch {
	case len(backs) == 0 && list == "": // a string of letters says nothing
		return ""
	case len(backs) == 0:
		return "the sections are " + join(parts) + ", and none comes back"
	case unsure:
		form = "the form may be " + form
	default:
		form = "the form is " + form
	}
	return form + list + "; " + strings.Join(backs[:min(3, len(backs))], "; ")
}

// partsSentence names the parts of a piece whose form has names of its own: "the form is
// sonata form: exposition mm. 1–24 …", "prelude mm. 1–4, song mm. 5–37 …"; "" if no part
// has one.
func (r *Reading) partsSentence(f form.Form) string {
	var parts []string
	named := false
	for _, s := range f.Sections {
		name := string(s.Name)
		if named = named || name != ""; name == "" {
			name = "song"
		}
		parts = append(parts, name+" "+r.PhraseBars(s.Start, s.End).Named())
	}
	switch {
	case len(parts) < 2 || !named:
		return ""
	case f.Type != form.Sonata:
		return join(parts)
	case tonal.CertaintyOf(f.TypeCertainty) == tonal.Unsure:
		return "the form may be sonata form: " + join(parts)
	}
	return "the form is sonata form: " + join(parts)
}

// sectionName is a section's letter, with its name if it has one: "B (trio)".
func sectionName(s form.Section) string {
	text := letter(s.Letter, s.Prime)
	if text == "" {
		return string(s.Name)
	}
	if s.Name != "" {
		text += " (" + string(s.Name) + ")"
	}
	return text
}

// returnWords says what comes back: "mm. 60–72 are mm. 16–28 again, a third lower".
func (r *Reading) returnWords(x form.Return) string {
	text := fmt.Sprintf("%s are %s again", r.PhraseBars(x.Again.Start, x.Again.End).Named(), r.PhraseBars(x.First.Start, x.First.End).Named())
	switch {
	case x.Semitones != 0:
		text += ", " + movedBy(x.Steps, x.Semitones)
	case x.Kind == form.Varied:
		text += ", varied"
	}
	return text
}

// movedBy names a transposition.
func movedBy(steps, semitones int) string {
	names := [...]string{"a semitone", "a step", "a third", "a fourth", "a fifth", "a sixth", "a seventh", "an octave"}
	n := max(steps, -steps)
	way := map[bool]string{true: "higher", false: "lower"}[semitones > 0]
	if n < len(names) {
		return names[n] + " " + way
	}
	return "more than an octave " + way
}

func twoPlaces(x float64) float64 { return math.Round(100*x) / 100 }
