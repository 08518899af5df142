package report

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// summit is the climax of the piece with what speaks for it, strongest first.
type summit struct {
	advice.Climax
	why []string
}

// What speaks for a measure beside its neighbours, in weights of ours.
const (
	weighLoudest = 1.0  // the page's loudest mark stands in it
	weighFlash   = 0.5  // it does, but a softer one follows within the measure
	weighOnly    = 0.75 // and nowhere else
	weighTop     = 1.0  // the tune has its highest note there, and nowhere else
	weighHold    = 1.0  // a fermata on what is loud
	weighTopOf   = 0.6  // the highest note comes a few times
	weighAccent  = 0.75 // an accent over the staff, of the kind of sf
	weighSixFour = 0.5  // the six-four before a cadence
	weighNear    = 0.5  // the tune is a step or less below its highest
	weighGoal    = 0.25 // its phrase goes there, at least likely
)

// theFermata begins what is told of a fermata on the climax or after it.
const theFermata = "the fermata "

// reasoned is a measure with its evidence.
type reasoned struct {
	at    score.Tick
	score float64
	why   []string
}

// peakOf is the climax of the piece: the measure that players make loudest, as far as
// recordings tell, at the place in it or beside it for which the page and the music speak.
// Where the page's loudest mark stands at one place alone, it is that place, unsure if
// players are likelier loudest elsewhere. It is nil where no place can be named: in the
// opening, the prelude of a song, and where neither page nor tune point to it in music that
// is sung or about to close.
func (r *Reading) peakOf() *summit {
	from := entry(r.Score)
	to := exit(r.Score, from)
	from = max(from, r.opened())
	in := func(t score.Tick) bool { return t >= from && t < to }
	list, l := r.reasoned(from, to), r.Plan.Loudest
	told := l != nil && l.Certainty > tonal.Unsure && in(r.Score.Measures[l.Measure].Start)
	if marks := r.loudMarks(); len(marks) == 1 && r.Page.Range.High >= page.F && in(marks[0]) {
		if x := r.bestNear(list, r.Score.MeasureAt(marks[0]), 0); told && x != nil && r.about(l.Measure, marks[0]) {
			return r.summitAt(*x, l.Certainty)
		}
		return r.summitAt(reasoned{at: marks[0]}, tonal.Unsure)
	}
	if !told {
		return nil
	}
	return r.loudestAt(list, *l, in)
}

// loudestAt is the climax where players are loudest: at the goal of a phrase there or beside
// it, else at what is most spoken for, else at the fullest beat.
func (r *Reading) loudestAt(list []reasoned, l advice.Loudest, in func(score.Tick) bool) *summit {
	best := r.bestNear(list, l.Measure, 1)
	if best == nil && (len(r.Score.Syllables) > 0 || r.closing(l.Measure)) {
		return nil
	}
	x := reasoned{at: r.fullest(l.Measure), why: []string{lifted(l.Causes)}}
	if g := r.goalNear(l.Measure); g != nil && in(g.At) {
		x.at = g.At
		if there := r.bestNear(list, r.Score.MeasureAt(g.At), 0); there != nil {
			x.why = there.why
		}
	} else if best != nil {
		x = *best
	}
	return r.summitAt(x, l.Certainty)
}

// closing reports whether a measure is one of the last two: what is loud there alone is a
// close, and nothing is left to come down from a climax.
func (r *Reading) closing(measure int) bool {
	const last = 2
	return measure >= len(r.Score.Measures)-last
}

// goalNear is the surest goal of a phrase in a measure or beside it, nil if none is told as
// likely.
func (r *Reading) goalNear(measure int) (best *advice.Goal) {
	for i, g := range r.Plan.Goals {
		d := r.Score.MeasureAt(g.At) - measure
		if d >= -1 && d <= 1 && g.Told() && g.Certainty > tonal.Unsure && (best == nil || g.Confidence > best.Confidence) {
			best = &r.Plan.Goals[i]
		}
	}
	return best
}

// about reports whether a moment lies within two measures of a measure.
func (r *Reading) about(measure int, t score.Tick) bool {
	const near = 2
	d := r.Score.MeasureAt(t) - measure
	return d >= -near && d <= near
}

// bestNear is the measure at most reach from another for which most speaks, nil if nothing
// is said of any.
func (r *Reading) bestNear(list []reasoned, measure, reach int) (best *reasoned) {
	for i, x := range list {
		d := r.Score.MeasureAt(x.at) - measure
		if d >= -reach && d <= reach && len(x.why) > 0 && (best == nil || x.score > best.score) {
			best = &list[i]
		}
	}
	return best
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

// opened is the end of the opening, in which no climax lies: a twelfth of the piece, or
// its introduction.
func (r *Reading) opened() score.Tick {
	out := r.Score.Length() / 12
	if f := r.Harmony.Form.Sections; len(f) > 0 && f[0].Name == form.Introduction {
		out = max(out, f[0].End)
	}
	return out
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

// reasoned weighs every measure in which the page is loudest, accented, or the tune highest.
func (r *Reading) reasoned(from, to score.Tick) []reasoned {
	marks, tops := r.loudMarks(), r.tops()
	if r.Page.Range.High < page.MF {
		marks = nil // that a soft page is no softer there is no reason
	}
	var out []reasoned
	for _, i := range r.measuresMarked(marks, tops) {
		m := r.Score.Measures[i]
		x := reasoned{at: -1}
		add := func(at score.Tick, weight float64, why string) {
			if x.at < 0 {
				x.at = at
			}
			if x.score += weight; why != "" {
				x.why = append(x.why, why)
			}
		}
		first, end := max(from, m.Start), min(to, m.End())
		in := func(t score.Tick) bool { return t >= first && t < end }
		for _, t := range marks {
			if in(t) {
				r.weighMark(add, t, len(marks))
			}
		}
		r.weighSigns(add, m, in)
		r.weighHeight(add, tops, i)
		if x.at < 0 {
			continue
		}
		r.weighMusic(add, first, end)
		out = append(out, x)
	}
	return out
}

// measuresMarked are the measures with one of these marks, an emphatic accent or one of these
// notes, in order.
func (r *Reading) measuresMarked(marks []score.Tick, tops []score.Note) []int {
	var out []int
	for _, n := range tops {
		out = append(out, n.Measure)
	}
	for _, t := range marks {
		out = append(out, r.Score.MeasureAt(t))
	}
	for _, a := range r.Page.Accents {
		if !a.Note && emphatic(a.Sign) {
			out = append(out, r.Score.MeasureAt(a.At))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// weighHeight weighs how high the tune goes in a measure.
func (r *Reading) weighHeight(add func(score.Tick, float64, string), tops []score.Note, measure int) {
	const near = 2 // semitones
	if len(tops) == 0 {
		return
	}
	top := tops[0].Pitch.Key()
	for _, n := range tops {
		if n.Measure == measure {
			add(n.Onset, map[bool]float64{true: weighTop, false: weighTopOf}[len(tops) == 1], "the top of the tune, "+n.Pitch.String())
			return
		}
	}
	for _, n := range r.Score.Notes[r.Score.FirstNote(r.Score.Measures[measure].Start):] {
		if n.Measure > measure {
			return
		}
		if n.Measure == measure && n.Pitched() && n.Part == tops[0].Part && n.Pitch.Key() >= top-near {
			add(n.Onset, weighNear, "the tune near its top, "+n.Pitch.String())
			return
		}
	}
}

func (r *Reading) weighMark(add func(score.Tick, float64, string), t score.Tick, places int) {
	mark := page.Mark(r.Page.Range.High)
	if places == 1 {
		add(t, weighLoudest+weighOnly, "the page's only "+mark)
		return
	}
	weight := weighLoudest
	for _, z := range r.Page.Zones {
		if z.Start > t && r.sameMeasure(z.Start, t) && z.Text != "" && z.Level < r.Page.Range.High-1 {
			weight = weighFlash
		}
	}
	add(t, weight, mark)
}

// weighSigns weighs the accents of the kind of sf, and a fermata on one or after it in its
// measure. Without a fermata, one on a page that is soft there is a mere accent.
func (r *Reading) weighSigns(add func(score.Tick, float64, string), m score.Measure, in func(score.Tick) bool) {
	list := r.Page.Accents
	list = list[sort.Search(len(list), func(i int) bool { return list[i].At >= m.Start }):]
	accent := slices.IndexFunc(list, func(a page.Accent) bool {
		return a.At >= m.End() || in(a.At) && !a.Note && emphatic(a.Sign)
	})
	if accent < 0 || list[accent].At >= m.End() {
		return
	}
	at := list[accent].At
	held := slices.IndexFunc(r.Score.Fermatas, func(f score.Fermata) bool { return in(f.At) && f.At >= at })
	if held < 0 && r.Page.Whole.At(at) < r.Page.Range.High-1 {
		return
	}
	add(at, weighAccent, "its "+list[accent].Sign)
	switch {
	case held < 0 || m.End() >= r.Score.Length():
	case r.Score.Fermatas[held].At == at:
		add(at, weighHold, theFermata+"that holds it")
	default:
		add(at, weighHold, theFermata+r.at(r.Score.Fermatas[held].At)+" after it")
	}
}

// emphatic reports whether a sign is of the kind of sf: not a plain accent, nor fp, which
// asks for less at once.
func emphatic(sign string) bool {
	return strings.HasPrefix(sign, "sf") || strings.HasPrefix(sign, "fz") || strings.HasPrefix(sign, "rf")
}

// weighMusic weighs what the harmony and the phrase do in the stretch of a measure.
func (r *Reading) weighMusic(add func(score.Tick, float64, string), from, to score.Tick) {
	chords := r.Harmony.Chords
	for _, c := range chords[sort.Search(len(chords), func(i int) bool { return chords[i].Start >= from }):] {
		if c.Start >= to {
			break
		}
		if c.Numeral.Cadential {
			add(c.Start, weighSixFour, "the six-four of a cadence")
			break
		}
	}
	for _, g := range r.Plan.Goals {
		if g.At >= from && g.At < to && g.Certainty > tonal.Unsure {
			add(g.At, weighGoal, "")
			break
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
