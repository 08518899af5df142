package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// wholePiece is what is told of the piece before its parts.
type wholePiece struct {
	Form     string         `json:"form,omitempty"` // "A–B–A"
	Sections []studySection `json:"sections"`
	Returns  []studyReturn  `json:"returns"`
	Climax   *climax        `json:"climax,omitempty"`
	Text     []string       `json:"text"` // sentences
}

type studySection struct {
	Letter    string   `json:"letter"` // "A", "A′"
	Measures  string   `json:"measures"`
	Onset     Quarters `json:"onset"`
	End       Quarters `json:"end"`
	Climax    *climax  `json:"climax,omitempty"`
	Certainty string   `json:"certainty"`
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

type climax struct {
	At        string   `json:"at"`
	Onset     Quarters `json:"onset"`
	Level     string   `json:"level"`
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
func (r *Reading) whole(ranked []events.Event) wholePiece {
	f := r.Harmony.Form
	w := wholePiece{Form: f.Outline, Sections: []studySection{}, Returns: []studyReturn{}}
	var spans []advice.Span
	for _, s := range f.Sections {
		spans = append(spans, advice.Span{Start: s.Start, End: s.End})
	}
	peaks := r.Plan.Climaxes(append(spans, r.all()))
	for _, s := range f.Sections {
		w.Sections = append(w.Sections, studySection{
			Letter: letter(s.Letter, s.Prime), Measures: r.Span(s.Start, s.End), Onset: r.quarters(s.Start), End: r.quarters(s.End),
			Climax: r.climaxOf(peaks, s.Start, s.End), Certainty: tonal.CertaintyOf(s.Certainty).String(),
		})
	}
	for _, x := range f.Returns {
		w.Returns = append(w.Returns, studyReturn{r.Span(x.Again.Start, x.Again.End), r.Span(x.First.Start, x.First.End),
			r.quarters(x.Again.Start), x.Kind, x.Semitones, tonal.CertaintyOf(x.Certainty).String()})
	}
	if c, ok := r.climaxOfAll(); ok {
		w.Climax = r.climax(c)
	}
	w.Text = r.wholeText(w, ranked)
	return w
}

// all is the piece as a span.
func (r *Reading) all() advice.Span { return advice.Span{Start: 0, End: r.Score.Length()} }

// climaxOfAll is the climax of the piece; false if no phrase has a goal.
func (r *Reading) climaxOfAll() (advice.Climax, bool) {
	list := r.Plan.Climaxes([]advice.Span{r.all()})
	if len(list) == 0 {
		return advice.Climax{}, false
	}
	return list[0], true
}

func letter(name string, prime bool) string {
	if prime {
		return name + "′"
	}
	return name
}

func (r *Reading) climax(c advice.Climax) *climax {
	return &climax{r.At(c.At), r.quarters(c.At), page.Mark(c.Level), c.Certainty.String()}
}

// climaxOf is the climax of one section, nil if it has none.
func (r *Reading) climaxOf(list []advice.Climax, start, end score.Tick) *climax {
	for _, c := range list {
		if c.Start == start && c.End == end {
			return r.climax(c)
		}
	}
	return nil
}

func (r *Reading) wholeText(w wholePiece, ranked []events.Event) []string {
	var out []string
	add := func(text string) {
		if text != "" {
			out = append(out, sentence(text))
		}
	}
	add(r.formSentence(w))
	add(r.keySentence())
	add(climaxSentence(w.Climax))
	if e := colour(ranked); e != nil {
		add(r.eventWhat(*e) + ": " + r.eventTry(*e))
	}
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
	if f := r.Harmony.Form; f.Outline != "" {
		return r.outlineSentence(f)
	}
	var backs []string
	longest := slices.Clone(r.Harmony.Form.Returns)
	slices.SortStableFunc(longest, func(a, b form.Return) int { return b.Count - a.Count })
	for _, x := range longest {
		if len(backs) < 2 && x.Count >= 2 && tonal.CertaintyOf(x.Certainty) > tonal.Unsure {
			backs = append(backs, r.returnWords(x))
		}
	}
	return strings.Join(backs, "; ")
}

// outlineSentence names the sections, neighbours of one letter as one, and what
// comes back: "A–B–A: A mm. 1–33, B mm. 33–105, A mm. 106–121; 106 is 1 again".
func (r *Reading) outlineSentence(f form.Form) string {
	const most = 7 // more sections than that nobody keeps in mind
	var parts, backs []string
	unsure := false
	for i := 0; i < len(f.Sections); {
		j := i + 1
		for j < len(f.Sections) && f.Sections[j].Letter == f.Sections[i].Letter {
			j++
		}
		s := f.Sections[i]
		parts = append(parts, s.Letter+" "+r.Span(s.Start, f.Sections[j-1].End))
		if s.Of >= 0 && s.Of < i {
			unsure = unsure || tonal.CertaintyOf(s.Certainty) == tonal.Unsure
			again := " is " + r.Score.At(f.Sections[s.Of].Start).Number + " again"
			if s.Prime {
				again += ", changed"
			}
			backs = append(backs, r.Score.At(s.Start).Number+again)
		}
		i = j
	}
	text := "the form is " + f.Outline
	if unsure {
		text = "the form may be " + f.Outline
	}
	if len(parts) <= most {
		text += ": " + strings.Join(parts, ", ")
	}
	if len(backs) > 0 {
		text += "; " + strings.Join(backs[:min(3, len(backs))], ", ")
	}
	return text
}

// returnWords says what comes back: "mm. 60–72 are mm. 16–28 again, a third lower".
func (r *Reading) returnWords(x form.Return) string {
	text := fmt.Sprintf("%s are %s again", r.Span(x.Again.Start, x.Again.End), r.Span(x.First.Start, x.First.End))
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

// keySentence says where the music goes: the keys that last longest, in order.
func (r *Reading) keySentence() string {
	const most = 4
	home, time := r.Harmony.Home, map[tonal.Key]score.Tick{}
	var keys []tonal.Key
	first := map[tonal.Key]score.Tick{}
	for _, k := range r.Harmony.Keys {
		if _, known := first[k.Key]; !known && k.Key != home {
			keys, first[k.Key] = append(keys, k.Key), k.Start
		}
		time[k.Key] += k.End - k.Start
	}
	slices.SortStableFunc(keys, func(a, b tonal.Key) int { return int(time[b] - time[a]) })
	keys = slices.DeleteFunc(keys, func(k tonal.Key) bool { return 20*time[k] < r.Score.Length() })
	keys = keys[:min(most, len(keys))]
	slices.SortFunc(keys, func(a, b tonal.Key) int { return int(first[a] - first[b]) })
	if len(keys) == 0 {
		return ""
	}
	away := make([]string, len(keys))
	for i, k := range keys {
		away[i] = fmt.Sprintf("%s (from %s)", k.Name(), r.Score.At(first[k]).Number)
	}
	return fmt.Sprintf("from %s it goes to %s", home.Name(), join(away))
}

// join lists words as a sentence does: "a, b and c".
func join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

func climaxSentence(c *climax) string {
	switch {
	case c == nil:
		return ""
	case c.Certainty == tonal.Unsure.String():
		return "the loudest place may be " + c.At + ", but no place stands out"
	}
	return fmt.Sprintf("all of it leads to %s (%s)", c.At, c.Certainty)
}

// phraseEvents are the events that start in a phrase, the most telling first.
func (r *Reading) phraseEvents(ranked []events.Event, start, end score.Tick) []eventNote {
	out := []eventNote{}
	for _, e := range ranked {
		if e.Start >= start && e.Start < end && r.Shows(e.Start, e.End) {
			out = append(out, r.eventNote(e))
		}
	}
	return out
}

// tellPhrase fills in goal, proposal and advice of a phrase.
func (r *Reading) tellPhrase(sp *studyPhrase, start score.Tick) {
	for i, g := range r.Plan.Goals {
		if g.Start != start {
			continue
		}
		sp.Goal = &goal{r.At(g.At), r.quarters(g.At), twoPlaces(g.Confidence), g.Certainty.String(),
			twoPlaces(g.Harmony), twoPlaces(g.Line), twoPlaces(g.Page), r.At(g.Rival)}
		for _, a := range r.Plan.Advice {
			if a.Phrase == i {
				sp.Advice = append(sp.Advice, counsel{a.Kind, r.At(a.At), r.quarters(a.At), r.quarters(a.Start), r.quarters(a.End),
					twoPlaces(a.Share), twoPlaces(a.Baseline), a.N, a.Certainty.String(), a.Cause, a.Against, a.Reason})
			}
		}
		for _, p := range r.Plan.Proposals {
			if p.Phrase == i {
				sp.Loudness = loudness(p)
				sp.Departs = r.departs(p)
			}
		}
	}
}

// loudness is a phrase's proposal in marks: "p < mf > p".
func loudness(p advice.Proposal) string {
	from, peak, to := page.Mark(p.From), page.Mark(p.Peak), page.Mark(p.To)
	text := peak
	if from != peak && p.From < p.Peak {
		text = from + " < " + peak
	}
	if to != peak && p.To < p.Peak {
		text += " > " + to
	}
	return text
}

// departs says where a proposal leaves the page, "" if it keeps to it.
func (r *Reading) departs(p advice.Proposal) string {
	if p.Departure == nil {
		return ""
	}
	way := map[bool]string{true: "louder", false: "softer"}[p.Departure.Steps > 0]
	text := fmt.Sprintf("at %s %s than printed", r.At(p.Departure.At), way)
	if p.Departure.Cause != advice.ByPage {
		text += ", for the " + string(p.Departure.Cause)
	}
	return text
}

// matters is the one line beside goal and loudness that a phrase deserves: where
// page and harmony disagree, or else its most telling event; "" for neither.
func (r *Reading) matters(spans []verdict.Verdict, told []eventNote) string {
	var worst *verdict.Verdict
	for i, v := range spans {
		if v.Kind == verdict.WorksAgainst && v.Certainty > tonal.Unsure && (worst == nil || v.Size > worst.Size) {
			worst = &spans[i]
		}
	}
	if worst != nil {
		return r.between(worst.Start, worst.Harmony.End) + " " + spanHarmony(*worst) + ", but the page " + r.pageDoes(*worst) + ": contrast intended?"
	}
	for _, e := range told {
		if e.Certainty != tonal.Unsure.String() {
			return sentence(e.What)
		}
	}
	return ""
}

func twoPlaces(x float64) float64 { return math.Round(100*x) / 100 }
