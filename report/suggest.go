package report

import (
	"cmp"
	"fmt"
	"slices"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/events"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// mostSuggestions is how many suggestions a reading ends with: more than a
// player can take to the next practice are none.
const mostSuggestions = 5

// Suggestion is something to try, the most important first.
type Suggestion struct {
	At        string       `json:"at"`
	Onset     Quarters     `json:"onset"`
	End       Quarters     `json:"end"`
	Measures  string       `json:"measures"`
	Verdict   verdict.Kind `json:"verdict,omitempty"`  // if it is a disagreement
	Event     events.Kind  `json:"event,omitempty"`    // if it is an event
	Moment    Moment       `json:"moment,omitempty"`   // if it is a moment of the page
	Share     float64      `json:"share,omitempty"`    // of recorded pianists at comparable places: they do so
	Baseline  float64      `json:"baseline,omitempty"` // the same move at random places
	Certainty string       `json:"certainty"`
	Text      string       `json:"text"`
}

// importance weighs a verdict: where page and harmony disagree first, then
// where the page is silent, then what is well and worth bringing out; large
// and sure before small and unsure. The weights are our own.
func importance(v verdict.Verdict) float64 {
	return kindWeight(v) * certaintyWeight(v.Certainty) * v.Size
}

func kindWeight(v verdict.Verdict) float64 {
	switch {
	case v.Aspect == verdict.AtContrast: // the page's own wish, not a disagreement
		return 0.4
	case v.Kind == verdict.WorksAgainst:
		return 1
	case v.Kind == verdict.Unshaped:
		return 0.8
	case v.Kind == verdict.Supports:
		return 0.4
	case v.Kind == verdict.Independent:
		return 0.3
	}
	return 0
}

func certaintyWeight(c tonal.Certainty) float64 {
	switch c {
	case tonal.Sure:
		return 1
	case tonal.Likely:
		return 0.75
	}
	return 0.4
}

// candidate is a suggestion before it is chosen, with the stretch that it speaks of.
type candidate struct {
	Suggestion
	start, end score.Tick
	weight     float64
	keeps      bool // it asks to keep the sound up to its moment
	eases      bool // it asks to ease
}

// Suggestions are at most five things to try in the shown stretch, of the piece
// and not of its bars: the climax, then by weight where page and harmony disagree,
// what a moment of the page asks for, and what a teacher would point at; each kind
// of thing once, and one thing at a place.
func (r *Reading) Suggestions() []Suggestion {
	list := slices.Concat(r.disagreements(), r.holding(), r.switching(), r.pointing())
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(b.weight, a.weight) })
	chosen := r.leading()
	for _, c := range list {
		if len(chosen) < mostSuggestions && !slices.ContainsFunc(chosen, c.repeats) && !slices.ContainsFunc(list, func(d candidate) bool { return r.opposes(c, d) }) {
			chosen = append(chosen, c)
		}
	}
	out := make([]Suggestion, len(chosen))
	for i, c := range chosen {
		out[i] = c.Suggestion
	}
	return out
}

// repeats reports whether another speaks of the same kind of thing, or of the same
// place: both begin there, or each covers half of the other. The climax's way there is no place.
func (c candidate) repeats(d candidate) bool {
	if c.Event == d.Event && c.Verdict == d.Verdict && c.Moment == d.Moment {
		return true
	}
	over := min(c.end, d.end) - max(c.start, d.start)
	return c.start == d.start || over > 0 && 2*over >= max(c.end-c.start, d.end-d.start)
}

// opposes reports whether one asks to keep the sound up to a moment to which the other, in
// the measure before, asks to ease.
func (r *Reading) opposes(c, d candidate) bool {
	return c.keeps && d.eases && d.start < c.start && d.end > c.start-r.measureAt(max(c.start-1, 0))
}

// leading asks to lead to the climax, if one can be named.
func (r *Reading) leading() []candidate {
	c := r.peak
	if c == nil || !r.Shows(c.At, c.At+1) {
		return nil
	}
	p := r.Plan.Proposals[c.Phrase]
	text := r.leadText(c.Climax, p)
	if text == "" {
		return nil
	}
	sure := c.Certainty
	if c.Mark != "" {
		sure = max(sure, tonal.Likely) // the page says so
	}
	s := Suggestion{At: r.At(c.At), Onset: r.quarters(c.At), End: r.quarters(c.At + r.Score.BeatAt(c.At)), Measures: r.Span(p.Start, p.End),
		Certainty: sure.String(), Text: text}
	for _, a := range r.Plan.Advice {
		if a.Phrase == c.Phrase && a.Kind == advice.Grow {
			s.Share, s.Baseline = twoPlaces(a.Share), twoPlaces(a.Baseline)
		}
	}
	return []candidate{{Suggestion: s, start: c.At, end: c.At + 1, weight: 1}}
}

// leadText says how to lead to the climax, or which places must not spend it; "" where
// neither can be said.
func (r *Reading) leadText(c advice.Climax, p advice.Proposal) string {
	peak := page.Mark(p.Peak)
	if c.Mark != "" {
		peak = c.Mark
	}
	from, level, bar := r.lastBelow(c, p)
	if way := r.Bars(from, c.At+1); page.Mark(level) != peak && level < p.Peak && bar != r.number(c.At) && way.First != way.Last && !r.breaksOut(from, c.At, p.Peak) && !r.fades(from, c.At) {
		most := "be fullest there"
		switch {
		case c.Mark != "":
			most = "keep " + c.Mark + " for there"
		case len(r.loudMarks()) > 0 && r.Page.Range.High > p.Peak+leastLouder:
			most = "let the line have its goal there"
		}
		return fmt.Sprintf("Lead to %s: grow from %s in m. %s, and %s.", r.Place(c.At), page.Mark(level), bar, most)
	}
	const most = 5 // more places than that nobody grades
	var others []Bars
	for _, t := range r.loudMarks() {
		if !r.sameMeasure(t, c.At) {
			others = append(others, r.Bars(t, t+1))
		}
	}
	if c.Mark == "" || len(others) == 0 || len(others) > most {
		return ""
	}
	return fmt.Sprintf("Let %s be the fullest, and the %s in %s less.", r.Place(c.At), page.Mark(r.Page.Range.High), named(others))
}

// leastLouder is how much louder than a climax the page's loudest mark is at least, in steps,
// for the climax not to be the fullest place.
const leastLouder = 0.75

// fades reports whether a printed diminuendo lies between two moments: nothing is to grow
// through it.
func (r *Reading) fades(from, to score.Tick) bool {
	return slices.ContainsFunc(r.Page.Whole.Segments, func(g page.Segment) bool {
		return g.Slope < 0 && g.Start < to && g.End > from
	})
}

// growthTo is where the printed growth begins that leads to a moment or into its beat, with
// its level; false if none does.
func (r *Reading) growthTo(t score.Tick) (start score.Tick, level float64, ok bool) {
	list := r.Page.Whole.Segments
	for i := len(list) - 1; i >= 0; i-- {
		switch g := list[i]; {
		case g.Start >= t:
		case g.Slope > 0 && (ok || g.End > t-r.Score.BeatAt(t)):
			start, level, ok = g.Start, g.From, true
		default:
			return start, level, ok
		}
	}
	return start, level, ok
}

// lastBelow is where the way to a climax starts: with the printed growth that leads there, at
// the last softer mark printed in its phrase before it, else at the phrase's start.
func (r *Reading) lastBelow(c advice.Climax, p advice.Proposal) (at score.Tick, level float64, bar string) {
	at, level, bar = p.Start, p.From, r.PhraseBars(p.Start, p.End).First
	for _, z := range r.Page.Zones {
		if z.Text != "" && z.Start > p.Start && z.Start < c.At && z.Level < p.Peak {
			at, level, bar = z.Start, z.Level, r.Score.At(z.Start).Number
		}
	}
	if start, from, ok := r.growthTo(c.At); ok && start > at {
		at, level, bar = start, from, r.number(start)
	}
	return at, level, bar
}

// breaksOut reports whether the page reaches a peak at once between two moments, or at the
// second: nothing grows towards it then.
func (r *Reading) breaksOut(from, to score.Tick, peak float64) bool {
	const near = 0.5
	for _, z := range r.Page.Zones {
		if z.Start > from && z.Start <= to && z.Level > peak-near && z.Level-r.Page.Whole.Before(z.Start) >= leastSwitch {
			return true
		}
	}
	return false
}

// pointing are the events that a teacher would point at, each kind once, save what is
// told of the whole.
func (r *Reading) pointing() []candidate {
	var out []candidate
	said, told := map[events.Kind]bool{events.Quickening: true, events.PicardyThird: true}, colour(r.ranked)
	for _, e := range r.ranked {
		c := tonal.CertaintyOf(e.Confidence)
		if said[e.Kind] || told != nil && r.retells(e, *told) || !r.heardOnTop(e) || r.ornament(e) || r.everyBar(e) || c == tonal.Unsure && !r.mayRefuse(e) || !r.Shows(e.Start, e.End) {
			continue
		}
		said[e.Kind] = true
		text := sentence(r.eventWhat(e) + ifHeard(c) + ": " + r.eventTry(e))
		if n := r.everyTime(e); n > 0 {
			text += fmt.Sprintf(" So every time: it comes %s times%s.", counted(n), r.onOthers(e))
		} else if rest := r.likewise(e); rest != "" {
			text += " The same in " + rest + "."
		}
		s := Suggestion{At: r.At(e.Start), Onset: r.quarters(e.Start), End: r.quarters(e.End), Measures: r.Span(e.Start, e.End), Event: e.Kind, Certainty: c.String(), Text: text}
		out = append(out, candidate{Suggestion: s, start: e.Start, end: max(e.End, e.Start+1), weight: e.Weight, eases: e.Kind == events.Sequence && e.Step < 0})
	}
	return out
}

// mayRefuse reports whether an event is a close that may be refused: worth a word
// even where it is unsure, for a player who takes it for an end is lost. Inside a line that
// goes on nobody expects an end: it must stand in the last measure of its phrase.
func (r *Reading) mayRefuse(e events.Event) bool {
	const least = 0.4
	if e.Kind != events.DeceptiveCadence && e.Kind != events.EvadedCadence || e.Confidence < least {
		return false
	}
	return !slices.ContainsFunc(r.Harmony.Phrases, func(p phrasing.Phrase) bool {
		return p.Start <= e.Start && e.Start < p.End && (!r.sameMeasure(e.Start, p.End-1) || r.closesLater(p, e))
	})
}

// closesLater reports whether a phrase goes on past a refused close to one of its own.
func (r *Reading) closesLater(p phrasing.Phrase, e events.Event) bool {
	if p.Cadence < 0 {
		return false
	}
	c := r.Harmony.Cadences[p.Cadence]
	return c.At > e.Start && c.Kind != phrasing.Deceptive && c.Kind != phrasing.Evaded
}

func ifHeard(c tonal.Certainty) string {
	if c == tonal.Unsure {
		return ", if you hear it so"
	}
	return ""
}

// retells reports whether an event is the colour that the whole tells of already, or a
// chord of the same kind; of keys only the same one.
func (r *Reading) retells(e, colour events.Event) bool {
	return e.Kind == colour.Kind && (e.Kind != events.FarKey || e.Start == colour.Start) || r.alikeEvents(e, colour)
}

// everyTime counts the leans of a motive: those by the same interval, whatever their
// tones; 0 where they are too few to be one, and for other events.
func (r *Reading) everyTime(e events.Event) int {
	const least = 4
	if e.Kind != events.Appoggiatura && e.Kind != events.Suspension {
		return 0
	}
	n := 0
	for _, x := range r.Events {
		if events.Alike(r.Score, r.Harmony, x, e) && r.heardOnTop(x) && tonal.CertaintyOf(x.Confidence) > tonal.Unsure {
			n++
		}
	}
	if n < least {
		return 0
	}
	return n
}

// onOthers says that a motive leans on other tones as well, "" if it does not.
func (r *Reading) onOthers(e events.Event) string {
	for _, x := range r.Events {
		if events.Alike(r.Score, r.Harmony, x, e) && !r.alikeEvents(x, e) && r.heardOnTop(x) && tonal.CertaintyOf(x.Confidence) > tonal.Unsure {
			return ", on other tones too"
		}
	}
	return ""
}

// likewise names further events that are the same.
func (r *Reading) likewise(e events.Event) string {
	var list []Bars
	for _, x := range r.Events {
		if x.Start != e.Start && r.Shows(x.Start, x.End) && tonal.CertaintyOf(x.Confidence) > tonal.Unsure && r.alikeEvents(x, e) {
			list = append(list, r.eventBars(x))
		}
	}
	return also(r.eventBars(e), list)
}

// eventBars are the measures by which an event is named: a new key is told where it is entered.
func (r *Reading) eventBars(e events.Event) Bars {
	if e.Kind == events.FarKey {
		return r.Bars(e.Start, e.Start+1)
	}
	return r.Bars(e.Start, e.End)
}

// disagreements is the stretch where page and harmony disagree most, with those
// that are the same.
func (r *Reading) disagreements() []candidate {
	ranked := r.Ranked()
	for i, v := range ranked {
		if v.Aspect != verdict.OverSpan || v.Certainty == tonal.Unsure || !r.Contrast(v) {
			continue
		}
		text := r.VerdictSentence(v)
		var list []Bars
		for _, w := range ranked[i+1:] {
			if w.Aspect == v.Aspect && r.Contrast(w) && sameWay(w, v) {
				list = append(list, r.Bars(w.Start, w.End))
			}
		}
		if rest := also(r.Bars(v.Start, v.End), list); rest != "" {
			text += " The same in " + rest + "."
		}
		s := Suggestion{At: r.At(v.Start), Onset: r.quarters(v.Start), End: r.quarters(v.End), Measures: r.Span(v.Start, v.End), Verdict: v.Kind, Certainty: v.Certainty.String(), Text: text}
		return []candidate{{Suggestion: s, start: v.Start, end: v.End, weight: (1 + importance(v)) / 2}}
	}
	return nil
}

// Ranked are the shown verdicts that ask for something, the most important first.
func (r *Reading) Ranked() []verdict.Verdict {
	var out []verdict.Verdict
	for _, v := range r.Verdicts {
		if r.Shows(v.Start, v.End) && importance(v) > 0 && v.Aspect != verdict.AtPeak {
			out = append(out, v)
		}
	}
	slices.SortStableFunc(out, func(a, b verdict.Verdict) int { return cmp.Compare(importance(b), importance(a)) })
	return out
}

// sameWay reports whether two stretches are told in the same words: the same move
// of the harmony, and the same marks.
func sameWay(a, b verdict.Verdict) bool {
	return a.Harmony.Way == b.Harmony.Way && a.Harmony.Waits == b.Harmony.Waits && a.SixFour == b.SixFour && a.Swells == b.Swells &&
		a.Page.Kind == b.Page.Kind && a.Page.FromMark == b.Page.FromMark && a.Page.ToMark == b.Page.ToMark
}
