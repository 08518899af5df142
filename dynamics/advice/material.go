package advice

import (
	"math"
	"slices"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// Material is what goals are found in: a score with what every cause of the
// shaping says at each moment of the grid.
type Material struct {
	Score    *score.Score
	Analysis *harmony.Analysis // nil: without harmony, the piece one phrase
	Page     *page.Page
	Grid     []score.Tick                // in order
	Says     map[shaping.Cause][]float64 // by moment of the grid, in performers' spreads
	Beats    []score.Tick                // the moments that may be goals, in order
}

// materialOf is the material of a shaping, with the beats that are felt.
func materialOf(s *score.Score, a *harmony.Analysis, p *page.Page, sh *shaping.Shaping) Material {
	m := Material{Score: s, Analysis: a, Page: p, Says: sh.Says, Beats: Beats(s)}
	for _, x := range sh.Proposals {
		m.Grid = append(m.Grid, x.At)
	}
	return m
}

// Beats are the beats of the piece as they are felt: a dotted quarter in 6/8.
func Beats(s *score.Score) []score.Tick {
	var out []score.Tick
	for _, m := range s.Measures {
		out = append(out, m.Every(m.Beat(s.Division))...)
	}
	return out
}

// phrases are the analysis's, or the whole piece as one.
func (m Material) phrases() []phrasing.Phrase {
	if m.Analysis != nil && len(m.Analysis.Phrases) > 0 {
		return m.Analysis.Phrases
	}
	return []phrasing.Phrase{{Start: 0, End: m.Score.Length(), Cadence: -1}}
}

// quantity is one thing that speaks for or against a beat as the goal.
type quantity struct {
	name  string // in the table of weights
	group Cause
	of    shaping.Cause // "" if it is not one of the shaping's
}

const (
	printedLevel = "printed level"
	tensionTotal = "tension"
	lineTop      = "top of the line"
)

// quantities are what the model of goals weighs: the shaping's causes, and what
// page and harmony say plainly.
func quantities() []quantity {
	out := []quantity{{printedLevel, ByPage, ""}, {tensionTotal, ByHarmony, ""}, {lineTop, ByLine, ""}}
	for _, c := range shaping.Causes() {
		out = append(out, quantity{string(c), groupOf(c), c})
	}
	return out
}

// Quantities are the names of what the model of goals weighs, each with its cause.
func Quantities() (names []string, causes []Cause) {
	for _, q := range quantities() {
		names, causes = append(names, q.name), append(causes, q.group)
	}
	return names, causes
}

// groupOf is the cause as a player is told it.
func groupOf(c shaping.Cause) Cause {
	switch c {
	case shaping.ByPage, shaping.ByAccent:
		return ByPage
	case shaping.ByTension:
		return ByHarmony
	case shaping.ByHeight:
		return ByLine
	case shaping.ByDensity, shaping.ByTexture:
		return ByTexture
	case shaping.ByMetre:
		return ByMetre
	}
	return ByPhrase
}

// Way is one phrase as the model of goals sees it.
type Way struct {
	Phrase     int
	Start, End score.Tick
	Beats      []score.Tick
	Values     [][]float64  // by quantity, then beat: smoothed over three beats, 0 on average
	Mark       string       // the loudest mark of the piece, if the phrase holds it; else ""
	Softer     []bool       // by beat: it lies outside the reach of that mark and is not the goal; nil if none does
	Upbeat     int          // how many beats come before the first full measure
	Firm       []bool       // by beat: it begins a measure, and a mark stands on it
	Points     []bool       // by beat: a mark, an accent or the top of the line stands in it
	Bars       []int        // by beat: its measure
	Printed    []float64    // by beat: the page's level, in steps; nil without marks
	Barred     []bool       // by beat: nobody goes there, see bar
	Grown      []int        // by beat: the beat at which a printed growth ends that sounds there; itself if none does
	Crests     []bool       // by beat: a printed growth ends in it, and the page falls to the next
	Held       []bool       // by beat: a fermata stands in it on what is loud or highest
	Tops       []bool       // by beat: it holds the highest note of the line
	Sung       map[int]bool // the parts that sing it; nil if nobody does
	Rests      []bool       // by beat: those parts rest; nil if nobody sings
	Top        int          // the first beat with the highest note of the line
	Verse      bool         // it is a line of a hymn: it ends under a fermata, as most do
	Subject    bool         // of a fugue, not in stretto: players bring it out, six goals of 15 in it were where they were loudest
	Closing    bool         // it is the last, or in a coda or postlude
	Measures   int          // how many it is long, rounded
	Like       int          // index into the ways of the first one of the same notes, its own if none
}

// Ways are the phrases with at least one beat.
func (m Material) Ways() []Way {
	raw, hymn := m.quantities(), m.hymn()
	var out []Way
	for k, p := range m.phrases() {
		lo, hi := m.beat(p.Start), m.beat(p.End)
		if lo == hi {
			continue
		}
		w := Way{Phrase: k, Start: p.Start, End: p.End, Beats: m.Beats[lo:hi]}
		m.stands(&w)
		w.Sung, w.Rests = m.sung(w)
		for k, q := range quantities() {
			v := raw[k][lo:hi]
			if q.name == lineTop {
				v = m.tops(w)
			}
			w.Values = append(w.Values, centred(Smooth(v)))
		}
		m.points(&w)
		m.growths(&w)
		w.Verse, w.Subject = hymn && m.fermataAtEnd(p), m.hasSubject(p)
		m.bar(&w, p)
		w.Mark, w.Softer = m.softer(lo, hi, w.Upbeat, p.End)
		out = append(out, w)
	}
	m.pool(out)
	return out
}

// hasSubject reports whether a phrase is the exposition of a fugue or has entries in it that
// do not overlap.
func (m Material) hasSubject(p phrasing.Phrase) bool {
	if m.Analysis == nil {
		return false
	}
	x := m.Analysis.Form.Fugue.PartAt(p.Start)
	return x != nil && (x.Kind == form.ExpositionPart || x.Kind == form.EntryPart)
}

// stands fills in what tells where in its measure a goal stands.
func (m Material) stands(w *Way) {
	w.Firm, w.Bars = make([]bool, len(w.Beats)), make([]int, len(w.Beats))
	first := m.first(w.Start)
	for i, t := range w.Beats {
		w.Bars[i] = m.Score.MeasureAt(t)
		w.Firm[i] = m.Score.Measures[w.Bars[i]].Start == t && m.marked(t)
		if t < first && first < w.End {
			w.Upbeat = i + 1
		}
		if m.Page.Marked {
			w.Printed = append(w.Printed, m.Page.Whole.At(t))
		}
	}
}

// points fills in the beats that a player would point at.
func (m Material) points(w *Way) {
	w.Points = make([]bool, len(w.Beats))
	w.Held = make([]bool, len(w.Beats))
	tops := m.tops(*w)
	w.Top = max(slices.Index(tops, 1), 0)
	w.Tops = make([]bool, len(w.Beats))
	for i, top := range tops {
		w.Tops[i] = top > 0
		w.Points[i] = top > 0 || m.marked(w.Beats[i])
		w.Held[i] = w.Points[i] && m.held(w.Beats[i])
	}
}

// held reports whether a fermata stands at a moment.
func (m Material) held(t score.Tick) bool { return m.fermata(t, t+1) }

// fermata reports whether a fermata stands in a stretch.
func (m Material) fermata(from, to score.Tick) bool {
	list := m.Score.Fermatas // in order
	i := sort.Search(len(list), func(i int) bool { return list[i].At >= from })
	return i < len(list) && list[i].At < to
}

// marked reports whether a level mark louder than what goes before or an accent over the
// staff stands at a moment.
func (m Material) marked(t score.Tick) bool {
	zones, accents := m.Page.Zones, m.Page.Accents
	i := sort.Search(len(zones), func(i int) bool { return zones[i].Start >= t })
	if i < len(zones) && zones[i].Start == t && zones[i].Text != "" && zones[i].Level > m.Page.Whole.Before(t) {
		return true
	}
	for i = sort.Search(len(accents), func(i int) bool { return accents[i].At >= t }); i < len(accents) && accents[i].At == t; i++ {
		if !accents[i].Note {
			return true
		}
	}
	return false
}

// asLoud is how far the page may have fallen since the loudest mark of the piece
// for a beat to count as loudest still, in steps: ours.
const asLoud = 0.25

// softer marks the beats outside the reach of the loudest mark of the piece, and
// names that mark, if the phrase holds it past its upbeat. Players are loudest there a little
// oftener than where the rest of the model puts the goal (tools/fit/advice).
func (m Material) softer(lo, hi, upbeat int, end score.Tick) (mark string, softer []bool) {
	if !m.hasLoudest() {
		return "", nil
	}
	out, loud := make([]bool, hi-lo), 0
	for i := range out {
		next := end
		if lo+i+1 < hi {
			next = m.Beats[lo+i+1]
		}
		if out[i] = i < upbeat || !m.loudest(m.Beats[lo+i], next); !out[i] {
			loud++
		}
	}
	switch loud {
	case 0:
		return "", nil
	case len(out) - upbeat:
		return page.Mark(m.Page.Range.High), nil
	}
	return page.Mark(m.Page.Range.High), out
}

// hasLoudest reports whether the page has a loudest mark: of a soft page, and of one mark
// alone, the loudest is where it grows.
func (m Material) hasLoudest() bool {
	r := m.Page.Range
	return r.High-r.Low >= 1 && r.High >= page.MF
}

// holds reports whether the page has not fallen at a moment, or anywhere on the way there,
// since a mark.
func (m Material) holds(mark, at score.Tick) bool {
	least := m.Page.Whole.At(mark) - asLoud
	for _, g := range m.printed(mark, at) {
		if min(g.At(max(g.Start, mark)), g.At(min(g.End, at))) < least {
			return false
		}
	}
	return m.Page.Whole.At(at) >= least
}

// loudest reports whether the loudest mark stands in a beat, or holds there.
func (m Material) loudest(from, to score.Tick) bool {
	zones := m.Page.Zones
	for i := sort.Search(len(zones), func(i int) bool { return zones[i].End > from }); i < len(zones) && zones[i].Start < to; i++ {
		z := zones[i]
		if z.Text != "" && z.Level >= m.Page.Range.High &&
			(z.Start >= from || m.holds(z.Start, from)) {
			return true
		}
	}
	return false
}

// beat is the index of the first beat from t on.
func (m Material) beat(t score.Tick) int {
	return sort.Search(len(m.Beats), func(i int) bool { return m.Beats[i] >= t })
}

// quantities measures each quantity at every beat.
func (m Material) quantities() [][]float64 {
	var out [][]float64
	for _, q := range quantities() {
		v := make([]float64, len(m.Beats))
		switch {
		case q.name == printedLevel:
			for i, t := range m.Beats {
				v[i] = m.Page.Whole.At(t) / printedScale
			}
		case q.name == tensionTotal:
			m.tension(v)
		case m.Says[q.of] != nil:
			for i, t := range m.Beats {
				v[i] = m.Says[q.of][m.cell(t)]
			}
		}
		out = append(out, v)
	}
	return out
}

// What one unit of the plain quantities is: from p to f, and from rest to the most tense.
const (
	printedScale = 3.0
	tensionScale = 100.0
)

// cell is the moment of the grid at or before t.
func (m Material) cell(t score.Tick) int {
	return max(sort.Search(len(m.Grid), func(i int) bool { return m.Grid[i] > t })-1, 0)
}

// tension is that of each beat, smoothed over the beats beside it.
func (m Material) tension(v []float64) {
	if m.Analysis == nil {
		return
	}
	ms, k := m.Analysis.Moments, 0
	for i, t := range m.Beats {
		for k+1 < len(ms) && ms[k].End <= t {
			k++
		}
		if k < len(ms) && ms[k].Start <= t && t < ms[k].End {
			v[i] = ms[k].Tension.Total / tensionScale
		}
	}
	copy(v, Smooth(v))
}

// Smooth is the mean of each beat and its neighbours, the ends repeated: a
// single loud note is no goal.
func Smooth(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = (v[max(i-1, 0)] + x + v[min(i+1, len(v)-1)]) / 3
	}
	return out
}

func centred(v []float64) []float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	for i := range v {
		v[i] -= sum / float64(len(v))
	}
	return v
}

// Tolerance is how many beats off the goal still meets it: one, or a tenth of the phrase.
func (w Way) Tolerance() int { return max(1, int(math.RoundToEven(float64(len(w.Beats))/10))) }
