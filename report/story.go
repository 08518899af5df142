package report

import (
	"fmt"
	"math"

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
	Fugue    *fugue         `json:"fugue,omitempty"`
	Themes   []theme        `json:"themes,omitempty"` // of a sonata movement
	Text     []string       `json:"text"`             // sentences
}

type studySection struct {
	Letter    string   `json:"letter"`           // "A", "A′"
	Name      string   `json:"name,omitempty"`   // "trio", "coda"
	Number    int      `json:"number,omitempty"` // which verse or variation, of several that are written out
	Measures  string   `json:"measures"`
	Onset     Quarters `json:"onset"`
	End       Quarters `json:"end"`
	Climax    *climax  `json:"climax,omitempty"`
	Certainty string   `json:"certainty"`
	last      Quarters // where its last measure begins: nothing leads there
	goesOn    bool     // it is told as one with the section before it
	run       string   // the measures of all that are told as one with it, from it on
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

// oneLetter reports whether two neighbours of one letter are told as one section.
func oneLetter(a, b form.Section) bool {
	return a.Letter != "" && a.Letter == b.Letter && a.Name == b.Name
}

// runLast is the last section that is told as one with section i.
func runLast(list []form.Section, i int) int {
	for i+1 < len(list) && oneLetter(list[i], list[i+1]) {
		i++
	}
	return i
}

// whole tells the piece: form, climax, keys, the rarest event.
func (r *Reading) whole() wholePiece {
	f, stays := r.Harmony.Form, events.Stays(r.Score, r.Harmony)
	w := wholePiece{Form: f.Outline, Type: f.Type, Sections: []studySection{}, Returns: []studyReturn{}, Keys: r.keyStays(stays)}
	var spans []advice.Span
	from := advice.Entry(r.Score)
	for _, s := range f.Sections {
		spans = append(spans, advice.Span{Start: max(s.Start, from), End: s.End})
	}
	peaks := r.Plan.Climaxes(spans)
	for i, s := range f.Sections {
		w.Sections = append(w.Sections, studySection{
			Letter: letter(s.Letter, s.Prime), Name: string(s.Name), Number: partNumber(f.Sections, i), Measures: r.PhraseBars(s.Start, s.End).Named(), Onset: r.quarters(s.Start), End: r.quarters(s.End),
			Climax: r.climaxOf(peaks, s.Start, s.End), Certainty: tonal.CertaintyOf(s.Certainty).String(),
			last:   r.quarters(r.Score.Measures[r.Score.MeasureAt(max(s.End-1, s.Start))].Start),
			goesOn: i > 0 && oneLetter(f.Sections[i-1], s), run: r.PhraseBars(s.Start, f.Sections[runLast(f.Sections, i)].End).Named(),
		})
	}
	for _, x := range f.Returns {
		w.Returns = append(w.Returns, studyReturn{r.Span(x.Again.Start, x.Again.End), r.Span(x.First.Start, x.First.End),
			r.quarters(x.Again.Start), x.Kind, x.Semitones, tonal.CertaintyOf(x.Certainty).String()})
	}
	w.Climax = r.told()
	w.Fugue, w.Themes = r.fugueOf(), r.themes()
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
		if !r.comes(start, end, c.At) {
			c.Certainty = tonal.Unsure
		}
		return r.climax(c)
	}
	return nil
}

// comes reports whether a section leads to a place so that it can be heard coming: past its
// first quarter, and louder than the page was on the mean before. Choices of ours.
func (r *Reading) comes(start, end, at score.Tick) bool {
	const soonest, louder = 4, 0.75 // a share of the section, steps
	if at-start < (end-start)/soonest {
		return false
	}
	sum := 0.0
	for _, g := range r.Page.Whole.Segments {
		if from, to := max(g.Start, start), min(g.End, at); to > from {
			sum += g.At((from+to)/2) * float64(to-from)
		}
	}
	return r.Page.Whole.At(at) >= sum/float64(at-start)+louder
}

func (r *Reading) wholeText(w wholePiece, stays []events.Stay) []string {
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, sentence(text))
		}
	}
	add(r.versesSentence())
	if w.Fugue != nil {
		for _, text := range w.Fugue.sentences() {
			add(text)
		}
	} else {
		add(r.formSentence(w))
	}
	for _, text := range w.themeSentences() {
		add(text)
	}
	add(r.strangeReturn())
	add(r.keySentence(stays))
	add(r.climaxSentence())
	add(r.quietTop())
	if e := colour(r.ranked); e != nil {
		text := "the colour to wait for is " + r.eventWhat(*e)
		if rest := r.likewise(*e); rest != "" {
			text += ", also in " + rest
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
