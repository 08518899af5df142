package advice

import (
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// shortPhrase is the most measures of a phrase that is too short to go anywhere
// (common practice, no source): in those players are loudest at the model's goal
// hardly oftener than by chance.
const shortPhrase = 3

// sudden is the least step up between two beats that is a new start, if no slope leads
// there: ours.
const sudden = 0.75

// bar marks the beats that nobody goes to (common practice, no source): the upbeat, the
// first beat, after an upbeat that does not grow the first of the next measure, and what comes
// after the close, save where the page grows on from it; in a line of a hymn the chord under
// its last fermata; a sudden louder mark in the last measure that goes on in the next phrase;
// a sudden softer one; the measure that sets out anew at a sudden louder one; and the rests of
// the voice that sings the phrase.
func (m Material) bar(w *Way, p phrasing.Phrase) {
	n := len(w.Beats)
	w.Barred = make([]bool, n)
	for i := range min(w.Upbeat+1, n) {
		w.Barred[i] = i < w.Upbeat || i == 0 || !m.grows(w.Start, w.Beats[i])
	}
	past := false
	for i := w.Upbeat + 1; i < n; i++ {
		last := w.Bars[i] == w.Bars[n-1]
		past = past || m.closed(p, w.Beats[i]) || last && (w.Verse && m.held(w.Beats[i]) || m.starts(p, w.Beats[i-1], w.Beats[i]))
		w.Barred[i] = past || m.drops(w.Beats[i]) || m.restarts(*w, i) || w.Rests != nil && w.Rests[i]
	}
	w.Closing = m.closing(p)
	ms := m.Score.Measures
	w.Measures = int(math.Round(float64(p.End-p.Start) / float64(ms[w.Bars[n/2]].Length)))
}

// closed reports whether a moment comes after the chord on which a full close rests.
func (m Material) closed(p phrasing.Phrase, at score.Tick) bool {
	if p.Cadence < 0 {
		return false
	}
	c := m.Analysis.Cadences[p.Cadence]
	return c.At > p.Start && at > c.At && c.Kind.Authentic()
}

// hymn reports whether two phrases in three end under a fermata: the signs of a hymn, which
// mark the lines of its text (common practice, no source).
func (m Material) hymn() bool {
	ends, all := 0, m.phrases()
	for _, p := range all {
		if m.fermataAtEnd(p) {
			ends++
		}
	}
	return len(all) > 2 && 3*ends >= 2*len(all)
}

// fermataAtEnd reports whether a fermata stands in the last measure of a phrase.
func (m Material) fermataAtEnd(p phrasing.Phrase) bool {
	from := max(m.Score.Measures[m.Score.MeasureAt(max(p.End-1, p.Start))].Start, p.Start)
	return m.fermata(from, p.End)
}

// starts reports whether the next phrase's loudness starts at the second of two beats.
func (m Material) starts(p phrasing.Phrase, before, at score.Tick) bool {
	if p.End >= m.Score.Length() || p.Cadence >= 0 && m.Analysis.Cadences[p.Cadence].At == at {
		return false
	}
	return m.bursts(before, at) && m.Page.Whole.At(p.End) >= m.Page.Whole.At(at)-asLoud
}

// drops reports whether the page is softer at once at a moment, by a mark of its own and
// without an accent.
func (m Material) drops(t score.Tick) bool {
	if !m.Page.Marked || m.Page.Whole.At(t) > m.Page.Whole.Before(t)-sudden {
		return false
	}
	return !slices.ContainsFunc(m.Page.Accents, func(a page.Accent) bool { return a.At == t })
}

// restarts reports whether a beat lies in the measure with which the second half of a phrase
// begins, louder at once: the phrase sets out anew there (common practice, no source). Players
// were loudest at half of such goals, at seven in ten of the others (tools/fit/advice).
func (m Material) restarts(w Way, i int) bool {
	first := i
	for first > w.Upbeat+1 && w.Bars[first-1] == w.Bars[i] {
		first--
	}
	half := float64(first-w.Upbeat) / float64(len(w.Beats)-w.Upbeat)
	return math.Abs(half-0.5) < halfway && m.Score.Measures[w.Bars[first]].Start == w.Beats[first] && m.bursts(w.Beats[first-1], w.Beats[first])
}

// halfway is how far from its middle the second half of a phrase may begin: ours.
const halfway = 0.05

// bursts reports whether the page is louder at once at the second of two beats, and has
// not grown in the measure before.
func (m Material) bursts(before, at score.Tick) bool {
	if !m.Page.Marked || m.Page.Whole.At(at) < m.Page.Whole.At(before)+sudden {
		return false
	}
	return !m.grows(at-m.Score.Measures[m.Score.MeasureAt(at)].Length, at)
}

// grows reports whether the page prints a growth anywhere in a stretch.
func (m Material) grows(from, to score.Tick) bool {
	return slices.ContainsFunc(m.printed(from, to), func(g page.Segment) bool { return g.Slope > 0 && !g.Implied })
}

// closing reports whether a phrase is the last, or in a coda or postlude.
func (m Material) closing(p phrasing.Phrase) bool {
	if m.Analysis == nil {
		return false
	}
	if p.End >= m.Score.Length() {
		return true
	}
	for _, s := range m.Analysis.Form.Sections {
		if (s.Name == form.Coda || s.Name == form.Postlude) && p.Start >= s.Start && p.Start < s.End {
			return true
		}
	}
	return false
}
