package report

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// summit is the climax of the piece with what speaks for it.
type summit struct {
	advice.Climax
	why []string
}

// theFermata begins what is told of a fermata on the climax or after it.
const theFermata = "the fermata "

// reasoned is a place with what speaks for it.
type reasoned struct {
	at  score.Tick
	why []string
}

// peakOf is the climax of the piece: the measure that musicians name as the goal of its long
// line, see [advice.Summit], at the place in it for which page and music speak. Where none
// can be named it is the place of the page's only loudest mark, unsure. It is nil where no
// place can be named: in the opening, the prelude of a song, and where neither page nor tune
// point to it in music that is sung or about to close.
func (r *Reading) peakOf() *summit {
	from, to := advice.Rising(r.Score, r.Harmony.Form)
	if c := r.Plan.Summit; c != nil && c.Certainty > tonal.Unsure {
		x := r.reasons(r.orOnlyMark(c.Measure), from, to)
		if len(x.why) == 0 {
			if len(r.Score.Syllables) > 0 || r.closing(c.Measure) {
				return nil
			}
			x.why = []string{lifted(c.Causes)}
		}
		return r.summitAt(x, c.Certainty)
	}
	if marks := r.loudMarks(); len(marks) == 1 && r.Page.Range.High >= page.F && marks[0] >= from && marks[0] < to {
		return r.summitAt(reasoned{at: marks[0]}, tonal.Unsure)
	}
	return nil
}

// orOnlyMark is the measure beside one that holds the page's only loudest mark, f or more,
// where the measure itself has no top of the tune: the way there is not the place. Else it is
// the measure.
func (r *Reading) orOnlyMark(measure int) int {
	marks := r.loudMarks()
	if len(marks) != 1 || r.Page.Range.High < page.F || slices.ContainsFunc(r.tops(), func(n score.Note) bool { return n.Measure == measure }) {
		return measure
	}
	if i := r.Score.MeasureAt(marks[0]); i == measure-1 || i == measure+1 {
		return i
	}
	return measure
}

// closing reports whether a measure is one of the last two: what is loud there alone is a
// close, and nothing is left to come down from a climax.
func (r *Reading) closing(measure int) bool {
	const last = 2
	return measure >= len(r.Score.Measures)-last
}

// fullest is the beat of a measure at which the shaping is loudest.
func (r *Reading) fullest(measure int) score.Tick {
	m := r.Score.Measures[measure]
	at := m.Start
	for _, t := range m.Every(m.Beat(r.Score.Division)) {
		if r.Shaping.At(t) > r.Shaping.At(at) {
			at = t
		}
	}
	return at
}

// lifted says by what a measure is louder than the rest of the piece.
func lifted(causes []shaping.Cause) string {
	words := map[shaping.Cause]string{
		shaping.ByPage: "the page is loud", shaping.ByAccent: "accents are printed", shaping.ByTension: "the harmony is tense",
		shaping.ByPhrase: "the phrase is at its height", shaping.ByHeight: "the line is high", shaping.ByDensity: "the notes crowd",
		shaping.ByTexture: "the sound is full", shaping.ByMetre: "the metre leans on it",
	}
	var out []string
	for _, c := range causes {
		out = append(out, words[c])
	}
	return join(out)
}

// summitAt is the climax at a place, in the phrase that holds it.
func (r *Reading) summitAt(x reasoned, sure tonal.Certainty) *summit {
	c := advice.Climax{End: r.Score.Length(), At: x.at, Certainty: sure, Phrase: -1, Level: r.Page.Whole.At(x.at)}
	for i, g := range r.Plan.Goals {
		if g.Start <= x.at && x.at < g.End {
			c.Phrase, c.Confidence = i, g.Confidence
		}
	}
	if c.Phrase < 0 {
		return nil
	}
	if slices.ContainsFunc(r.loudMarks(), func(t score.Tick) bool { return r.sameMeasure(t, x.at) }) {
		c.Mark = page.Mark(r.Page.Range.High)
		c.Level = r.Page.Range.High
	}
	return &summit{c, x.why}
}

// reasons are what speaks for a measure, as far as it lies between two moments: the top of
// the tune, accents and marks, the harmony, a growth that ends there. Its place is that of
// the first of them, else the goal of the phrase, else the fullest beat.
func (r *Reading) reasons(measure int, from, to score.Tick) reasoned {
	m, tops := r.Score.Measures[measure], r.tops()
	to = min(to, r.upbeatIn(m))
	x := reasoned{at: -1}
	add := func(at score.Tick, why string) {
		if at < max(from, m.Start) || at >= to {
			return
		}
		if x.at < 0 {
			x.at = at
		}
		x.why = append(x.why, why)
	}
	r.topIn(add, tops, measure)
	r.signsIn(add, m)
	r.marksIn(add)
	if len(x.why) == 0 || !strings.HasPrefix(x.why[0], "the top") {
		r.nearTopIn(add, tops, measure)
	}
	r.harmonyIn(add, m)
	r.growthIn(add, m)
	if x.at < 0 {
		x.at = r.goalIn(m)
	}
	return x
}

// upbeatIn is where the next phrase begins in the second half of a measure, else the measure's
// end: what stands on an upbeat belongs to the measure after it.
func (r *Reading) upbeatIn(m score.Measure) score.Tick {
	for _, p := range r.Harmony.Phrases {
		if p.Start < m.End() && 2*m.Into(p.Start) > m.Length && p.Start > m.Start {
			return p.Start
		}
	}
	return m.End()
}

// goalIn is the goal of a phrase in a measure, if one is told as likely, else its fullest beat.
func (r *Reading) goalIn(m score.Measure) score.Tick {
	for _, g := range r.Plan.Goals {
		if g.At >= m.Start && g.At < m.End() && g.Told() && g.Certainty > tonal.Unsure {
			return g.At
		}
	}
	return r.fullest(r.Score.MeasureAt(m.Start))
}

// topIn tells the highest note of the tune.
func (r *Reading) topIn(add func(score.Tick, string), tops []score.Note, measure int) {
	for _, n := range tops {
		if n.Measure == measure {
			add(n.Onset, "the top of the tune, "+n.Pitch.String())
			return
		}
	}
}

// nearTopIn tells a note of the tune that is a step or less below its highest.
func (r *Reading) nearTopIn(add func(score.Tick, string), tops []score.Note, measure int) {
	const near = 2 // semitones
	if len(tops) == 0 {
		return
	}
	for _, n := range r.Score.Notes[r.Score.FirstNote(r.Score.Measures[measure].Start):] {
		if n.Measure > measure {
			return
		}
		if n.Measure == measure && n.Pitched() && n.Part == tops[0].Part && n.Pitch.Key() >= tops[0].Pitch.Key()-near {
			add(n.Onset, "the tune near its top, "+n.Pitch.String())
			return
		}
	}
}

// marksIn tells the page's loudest marks; that a soft page is no softer there is no reason.
func (r *Reading) marksIn(add func(score.Tick, string)) {
	marks := r.loudMarks()
	if r.Page.Range.High < page.MF {
		return
	}
	why := page.Mark(r.Page.Range.High)
	if len(marks) == 1 {
		why = "the page's only " + why
	}
	for _, t := range marks {
		add(t, why)
	}
}

// signsIn tells an accent of the kind of sf, and a fermata on it or after it in its measure.
// Without a fermata, one on a page that is soft there is a mere accent.
func (r *Reading) signsIn(add func(score.Tick, string), m score.Measure) {
	i := slices.IndexFunc(r.Page.Accents, func(a page.Accent) bool {
		return a.At >= m.Start && a.At < m.End() && !a.Note && advice.Emphatic(a.Sign)
	})
	if i < 0 {
		return
	}
	a := r.Page.Accents[i]
	held := slices.IndexFunc(r.Score.Fermatas, func(f score.Fermata) bool { return f.At >= a.At && f.At < m.End() })
	if held < 0 && r.Page.Whole.At(a.At) < r.Page.Range.High-1 {
		return
	}
	add(a.At, "its "+a.Sign)
	switch {
	case held < 0 || m.End() >= r.Score.Length():
	case r.Score.Fermatas[held].At == a.At:
		add(a.At, theFermata+"that holds it")
	default:
		add(a.At, theFermata+r.at(r.Score.Fermatas[held].At)+" after it")
	}
}

// harmonyIn tells a six-four, an augmented sixth or a Neapolitan, the first of them.
func (r *Reading) harmonyIn(add func(score.Tick, string), m score.Measure) {
	chords := r.Harmony.Chords
	for _, c := range chords[sort.Search(len(chords), func(i int) bool { return chords[i].Start >= m.Start }):] {
		if c.Start >= m.End() {
			return
		}
		why := ""
		switch n := c.Numeral; {
		case n.Cadential:
			why = "the six-four of a cadence"
		case n.Quality.AugmentedSixth():
			why = "an augmented sixth"
		case n.Degree == 2 && n.Alter < 0:
			why = "the Neapolitan"
		}
		if why != "" {
			add(c.Start, why)
			return
		}
	}
}

// growthIn tells that a printed growth ends there.
func (r *Reading) growthIn(add func(score.Tick, string), m score.Measure) {
	for _, t := range advice.Grown(r.Page) {
		if t >= m.Start && t < m.End() {
			add(t, "the end of a growth")
			return
		}
	}
}

// tops are the highest notes of the tune: of the voice in a song, else of all; nil if the
// highest comes back so often that it marks no place.
func (r *Reading) tops() []score.Note {
	const most = 3 // measures
	sung := map[int]bool{}
	for _, y := range r.Score.Syllables {
		sung[y.Part] = true
	}
	var out []score.Note
	for _, n := range r.Score.Notes {
		if !n.Pitched() || len(sung) > 0 && !sung[n.Part] {
			continue
		}
		if len(out) > 0 && n.Pitch.Key() > out[0].Pitch.Key() {
			out = nil
		}
		if len(out) == 0 || n.Pitch.Key() == out[0].Pitch.Key() && !r.sameMeasure(n.Onset, out[len(out)-1].Onset) {
			out = append(out, n)
		}
	}
	if len(out) > most {
		return nil
	}
	return out
}

// quietTop says that the tune has its highest note where the page is soft: it asks for
// care, not for loudness; "" if it is not so.
func (r *Reading) quietTop() string {
	tops := r.tops()
	if len(tops) != 1 || !r.Page.Marked || r.Page.Range.High < page.MF {
		return ""
	}
	n := tops[0]
	if n.Duration < r.Score.BeatAt(n.Onset) { // a passing note is no summit
		return ""
	}
	for _, z := range r.Page.Zones {
		if z.Text != "" && r.sameMeasure(z.Start, n.Onset) && z.Start <= n.Onset && z.Level <= page.P {
			return fmt.Sprintf("the top of the tune, %s in m. %s%s, is printed %s: the quiet summit, not to be forced", n.Pitch, r.number(n.Onset), r.onWord(n.Onset), z.Text)
		}
	}
	return ""
}
