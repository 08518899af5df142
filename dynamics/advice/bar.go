package advice

import (
	"math"

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
// first beat, and what comes after the close, save where the page grows on from it;
// and a sudden louder mark in the last measure that goes on in the next phrase.
func (m Material) bar(w *Way, p phrasing.Phrase) {
	n := len(w.Beats)
	w.Barred = make([]bool, n)
	for i := range min(w.Upbeat+1, n) {
		w.Barred[i] = true
	}
	past := false
	for i := w.Upbeat + 1; i < n; i++ {
		past = past || m.closed(p, w.Beats[i]) || w.Bars[i] == w.Bars[n-1] && m.starts(p, w.Beats[i-1], w.Beats[i])
		w.Barred[i] = past
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
	return c.At > p.Start && at > c.At && !c.Kind.IsHalf()
}

// starts reports whether the next phrase's loudness starts at the second of two beats.
func (m Material) starts(p phrasing.Phrase, before, at score.Tick) bool {
	if p.End >= m.Score.Length() || p.Cadence >= 0 && m.Analysis.Cadences[p.Cadence].At == at {
		return false
	}
	return m.bursts(before, at) && m.Page.Whole.At(p.End) >= m.Page.Whole.At(at)-asLoud
}

// bursts reports whether the page is louder at once at the second of two beats, and has
// not grown in the measure before.
func (m Material) bursts(before, at score.Tick) bool {
	if !m.Page.Marked || m.Page.Whole.At(at) < m.Page.Whole.At(before)+sudden {
		return false
	}
	for _, g := range m.printed(at-m.Score.Measures[m.Score.MeasureAt(at)].Length, at) {
		if g.Slope > 0 {
			return false
		}
	}
	return true
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
