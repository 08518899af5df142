package report

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// summit is the climax of the piece with what speaks for it, strongest first.
type summit struct {
	advice.Climax
	why []string
}

// What speaks for a measure as the climax, in weights of ours: a mark alone is not
// enough, and of two measures about as strong neither is named.
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
	leastWeight  = 2.0
	leastLead    = 0.25
)

const heldByFermata = "the fermata that holds it"

// reasoned is a measure with its evidence.
type reasoned struct {
	at    score.Tick
	score float64
	why   []string
	heard bool // the music says so too: height, a fermata, a six-four
}

// peakOf is the climax of the piece: the measure for which most speaks, never in the
// opening or the prelude of a song; else the place of the only loudest mark, unsure. It
// is nil where no place can be named.
func (r *Reading) peakOf() *summit {
	from := entry(r.Score)
	to := exit(r.Score, from)
	if r.Page.Range.High < page.F {
		return r.goalAlone(from, to)
	}
	list := r.reasoned(max(from, r.opened()), to)
	slices.SortStableFunc(list, func(a, b reasoned) int { return cmp.Compare(b.score, a.score) })
	if len(list) > 0 && list[0].heard && list[0].score >= leastWeight && (len(list) == 1 || list[0].score-list[1].score >= leastLead) {
		return r.summitAt(list[0], tonal.Likely)
	}
	if marks := r.loudMarks(); len(marks) == 1 && marks[0] >= from && marks[0] < to {
		return r.summitAt(reasoned{at: marks[0]}, tonal.Unsure)
	}
	return nil
}

// opened is the end of the opening, in which no climax lies: a twelfth of the piece.
func (r *Reading) opened() score.Tick { return r.Score.Length() / 12 }

// goalAlone is the climax of a piece without loud marks: the goal that is louder than all
// others, if it is at least likely and the page prints nothing.
func (r *Reading) goalAlone(from, to score.Tick) *summit {
	list := r.Plan.Climaxes([]advice.Span{{Start: from, End: to}})
	if r.Page.Marked || len(list) == 0 || list[0].Certainty == tonal.Unsure || r.closing(list[0].At) {
		return nil
	}
	return &summit{list[0], []string{"line and harmony grow most to there"}}
}

// closing reports whether a moment lies in the last two measures: nothing is left to come
// down from a climax there.
func (r *Reading) closing(t score.Tick) bool {
	const last = 2
	return r.Score.MeasureAt(t) >= len(r.Score.Measures)-last
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
	var out []reasoned
	for _, i := range r.measuresMarked(marks) {
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
		if x.at < 0 {
			continue
		}
		printed := len(x.why)
		r.weighHeight(add, tops, i)
		r.weighMusic(add, first, end)
		x.heard = len(x.why) > printed || slices.Contains(x.why, heldByFermata)
		out = append(out, x)
	}
	return out
}

// measuresMarked are the measures with one of these marks or with an emphatic accent, in order.
func (r *Reading) measuresMarked(marks []score.Tick) []int {
	var out []int
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

// weighSigns weighs the accents of the kind of sf, and a fermata beside one.
func (r *Reading) weighSigns(add func(score.Tick, float64, string), m score.Measure, in func(score.Tick) bool) {
	list := r.Page.Accents
	list = list[sort.Search(len(list), func(i int) bool { return list[i].At >= m.Start }):]
	accent := slices.IndexFunc(list, func(a page.Accent) bool {
		return a.At >= m.End() || in(a.At) && !a.Note && emphatic(a.Sign)
	})
	if accent < 0 || list[accent].At >= m.End() {
		return
	}
	add(list[accent].At, weighAccent, "its "+list[accent].Sign)
	if m.End() < r.Score.Length() && slices.ContainsFunc(r.Score.Fermatas, func(f score.Fermata) bool { return in(f.At) }) {
		add(m.Start, weighHold, heldByFermata)
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
