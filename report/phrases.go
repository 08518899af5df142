package report

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/events"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// tellPhrases fills in goal, proposal, advice and events of the phrases, and the one
// thing that matters in each, save what is among the suggestions.
func (r *Reading) tellPhrases(d *studyData) {
	r.tellEvents(d.Phrases)
	goals, before := r.Plan.Goals, r.suggested(d.Suggestions)
	for i := range d.Phrases {
		sp := &d.Phrases[i]
		k := sort.Search(len(goals), func(k int) bool { return goals[k].Start >= sp.start })
		if k < len(goals) && goals[k].Start == sp.start {
			r.tellGoal(sp, k)
		}
		r.tellMatter(sp, d.Suggestions, &before)
	}
}

// suggested are the events among the suggestions, and the colour to wait for.
func (r *Reading) suggested(list []Suggestion) []events.Event {
	var out []events.Event
	if c := colour(r.ranked); c != nil {
		out = append(out, *c)
	}
	for _, e := range r.Events {
		if slices.ContainsFunc(list, func(s Suggestion) bool { return s.Event == e.Kind && s.Onset == r.quarters(e.Start) }) {
			out = append(out, e)
		}
	}
	return out
}

// tellEvents shares the events among the phrases that they start in, the most telling first.
func (r *Reading) tellEvents(phrases []studyPhrase) {
	for _, e := range r.ranked {
		i := sort.Search(len(phrases), func(i int) bool { return phrases[i].end > e.Start })
		if i < len(phrases) && phrases[i].start <= e.Start && r.Shows(e.Start, e.End) {
			phrases[i].Events, phrases[i].heard = append(phrases[i].Events, r.eventNote(e)), append(phrases[i].heard, e)
		}
	}
}

// tellGoal fills in the goal of a phrase, and the proposal and advice for it.
func (r *Reading) tellGoal(sp *studyPhrase, k int) {
	g := r.goal(k)
	sp.goalAt = r.Place(g.At)
	if sp.upbeat && r.number(g.At) != sp.bars.First && r.sameMeasure(g.At, sp.start) {
		sp.goalAt += ", upbeat"
	}
	sp.goalBar, sp.Lack = r.number(g.At), g.Lack
	sp.brief = r.Score.MeasureAt(max(sp.end-1, sp.start))-r.Score.MeasureAt(sp.start) < brief+map[bool]int{true: 1}[sp.upbeat]
	sp.opens = sp.goalBar == sp.bars.First && sp.bars.Last != sp.bars.First
	if g.Told() {
		sp.Goal = &goal{r.At(g.At), r.quarters(g.At), twoPlaces(g.Confidence), g.Certainty.String(),
			twoPlaces(g.Harmony), twoPlaces(g.Line), twoPlaces(g.Page), r.At(g.Rival)}
	}
	sp.Loudness, sp.grows = loudness(r.Plan.Proposals[k]), r.Plan.Proposals[k].Grows()
	for _, a := range r.advice[k] {
		sp.Advice = append(sp.Advice, counsel{a.Kind, r.At(a.At), r.quarters(a.At), r.quarters(a.Start), r.quarters(a.End),
			twoPlaces(a.Share), twoPlaces(a.Baseline), a.N, a.Certainty.String(), a.Cause, a.Against, a.Reason})
	}
}

// brief is the most measures of a phrase in which a goal is told by its beat, however unsure.
const brief = 3

// goal is that of phrase k: the climax of the piece, if one is named and lies there. It is the
// goal of the long line, and only as sure as players are to be loudest there.
func (r *Reading) goal(k int) advice.Goal {
	g, c := r.Plan.Goals[k], r.peak
	if c == nil || c.Phrase != k || c.Certainty == tonal.Unsure && len(r.leading()) == 0 {
		return g
	}
	if c.Certainty > tonal.Unsure && !r.sameMeasure(g.At, c.At) { // what is asked for below is no secret here
		g.Certainty, g.Confidence = tonal.Unsure, 0
	}
	if sure := min(c.Certainty, r.loudAbout(c.At)); sure > g.Certainty {
		g.Certainty, g.Confidence = sure, max(g.Confidence, sure.Least())
	}
	g.At, g.Lack = c.At, ""
	return g
}

// adviceByPhrase is the advice of each goal.
func adviceByPhrase(p *advice.Plan) [][]advice.Advice {
	out := make([][]advice.Advice, len(p.Goals))
	for _, a := range p.Advice {
		out[a.Phrase] = append(out[a.Phrase], a)
	}
	return out
}

// tellMatter finds the one thing beside goal and loudness that a phrase deserves:
// where page and harmony disagree, or else its most telling event that has not been told
// of another phrase. That the chords come quicker is true of most ends, and no news.
func (r *Reading) tellMatter(sp *studyPhrase, told []Suggestion, before *[]events.Event) {
	said := func(onset Quarters, v verdict.Kind, e events.Kind) bool {
		return slices.ContainsFunc(told, func(s Suggestion) bool { return s.Onset == onset && s.Verdict == v && s.Event == e })
	}
	var worst *verdict.Verdict
	for i, v := range sp.spans {
		if v.Certainty > tonal.Unsure && r.Contrast(v) && (worst == nil || v.Size > worst.Size) {
			worst = &sp.spans[i]
		}
	}
	if worst != nil && !said(r.quarters(worst.Start), worst.Kind, "") && !r.asked(told, *worst) {
		sp.Matters, sp.weight = r.between(worst.Start, worst.Harmony.End)+" "+r.spanHarmony(*worst)+", but the print "+r.pageDoes(*worst)+": contrast intended?", importance(*worst)
		return
	}
	c := colour(r.ranked) // a key has one Neapolitan, and the whole tells of it
	for i, e := range sp.heard {
		lean := e.Kind == events.Appoggiatura || e.Kind == events.Suspension // a motive is told once
		again := func(x events.Event) bool {
			return r.alikeEvents(x, e) || lean && events.Alike(r.Score, r.Harmony, x, e)
		}
		if !r.matters(e) || c != nil && e.Kind == events.Neapolitan && e.Kind == c.Kind || said(r.quarters(e.Start), "", e.Kind) || slices.ContainsFunc(*before, again) {
			continue
		}
		sp.Matters, sp.weight = sentence(sp.Events[i].What), e.Weight
		if n := r.everyTime(e); n > 0 {
			sp.Matters += fmt.Sprintf(" It comes %s times%s.", counted(n), r.onOthers(e))
		} else if rest := r.likewise(e); rest != "" {
			sp.Matters += " Also in " + rest + "."
		}
		*before = append(*before, e)
		return
	}
}

// asked reports whether a suggestion asks about a stretch already, or about one that is told
// in the same words.
func (r *Reading) asked(told []Suggestion, v verdict.Verdict) bool {
	return slices.ContainsFunc(r.Verdicts, func(w verdict.Verdict) bool {
		return w.Aspect == v.Aspect && sameWay(w, v) && slices.ContainsFunc(told, func(s Suggestion) bool {
			return s.Event == "" && s.Verdict == w.Kind && s.Onset == r.quarters(w.Start)
		})
	})
}

// matters reports whether an event is worth a line: no doubtful one, no quicker chords, no
// last chord that the whole tells of, no ornament, no lean inside the texture that nobody
// follows (common practice, no source).
func (r *Reading) matters(e events.Event) bool {
	headed := e.Kind == events.PicardyThird && r.majorEnd() != ""
	return e.Kind != events.Quickening && !headed && !plainScale(e) && tonal.CertaintyOf(e.Confidence) > tonal.Unsure && r.heardOnTop(e) && !r.ornament(e) && !r.everyBar(e)
}

// plainScale reports whether a bass walks down or up the scale for less than an octave: that
// is how basses go (common practice, no source).
func plainScale(e events.Event) bool {
	const octave = 8 // tones
	return e.Kind == events.BassLine && !e.Chromatic && !e.Lament && len(e.Tones) < octave
}

// everyBar reports whether an event is one lean of a piece that leans in a measure of five or
// more, and of no motive that is told once for all: no one of them is to be pointed at.
func (r *Reading) everyBar(e events.Event) bool {
	const share = 5
	isLean := func(x events.Event) bool { return x.Kind == events.Appoggiatura || x.Kind == events.Suspension }
	if !isLean(e) {
		return false
	}
	n, last := 0, -1
	for _, x := range r.Events {
		if !isLean(x) {
			continue
		}
		if i := r.Score.MeasureAt(x.Start); i != last {
			n, last = n+1, i
		}
	}
	return share*n >= len(r.Score.Measures) && r.everyTime(e) == 0
}

// ornament reports whether an appoggiatura is one of a close, in the measure before its last
// chord, or shorter than a beat: it is played with its figure and needs no word (common
// practice, no source). One that comes often is a motive, and is told once.
func (r *Reading) ornament(e events.Event) bool {
	n := len(e.Notes)
	if e.Kind != events.Appoggiatura || n < 2 {
		return false
	}
	lean, measure := r.Score.Notes[e.Notes[n-2]], r.measureAt(e.Start)
	slight := lean.Duration < r.Score.BeatAt(lean.Onset) || slices.ContainsFunc(r.Harmony.Cadences, func(c phrasing.Cadence) bool {
		return c.Kind.Authentic() && e.Start < c.At && e.Start >= c.At-measure
	})
	return slight && r.everyTime(e) == 0
}

// heardOnTop reports whether a lean is sung, or in the highest voice that sounds; other
// events count as heard.
func (r *Reading) heardOnTop(e events.Event) bool {
	if n := len(e.Notes); e.Kind == events.Appoggiatura || e.Kind == events.Suspension {
		lean := r.Score.Notes[e.Notes[n-2]]
		if slices.ContainsFunc(r.Score.Syllables, func(y score.Syllable) bool { return y.Part == lean.Part }) {
			return true
		}
		top := lean.Pitch.Key()
		list := r.Harmony.Slices
		i := sort.Search(len(list), func(i int) bool { return list[i].End > e.Start })
		if i < len(list) && list[i].Start <= e.Start {
			x := list[i].Notes
			return len(x) > 0 && r.Score.Notes[x[len(x)-1]].Pitch.Key() <= top
		}
	}
	return true
}

// A screen, and how many lines of one a reading takes beside its phrases: measured
// on the demo scores at 100 columns.
const (
	screen      = 40
	screenFixed = 28
	headings    = 4 // lines of headings that a short piece may have more, without any matter told
)

// shown says which phrases' matters a table has room for, the weightiest: on a
// screen for a short piece, on two for a movement.
func (d *studyData) shown() []bool {
	rows, room := len(d.lines()), screen
	if d.Whole.several() {
		rows += 2 * len(d.Whole.Sections)
	}
	if rows > screen-screenFixed+headings {
		room = 2 * screen
	}
	order := make([]int, len(d.Phrases))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d.Phrases[b].weight, d.Phrases[a].weight) })
	out := make([]bool, len(order))
	for n, i := range order {
		out[i] = n < room-screenFixed-rows && d.Phrases[i].Matters != ""
	}
	return out
}

// loudness is a phrase's proposal in marks: "p < mf > p"; of more turns closer
// together, so that a table has room for them.
func loudness(p advice.Proposal) string {
	var b strings.Builder
	grows, fades := " < ", " > "
	if len(p.Turns) > 3 {
		grows, fades = "<", ">"
	}
	for i, x := range p.Turns {
		switch {
		case i > 0 && x.Level > p.Turns[i-1].Level:
			b.WriteString(grows)
		case i > 0:
			b.WriteString(fades)
		}
		b.WriteString(page.Mark(x.Level))
	}
	return b.String()
}
