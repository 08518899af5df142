package verdict

import (
	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/score"
)

// Over judges any one stretch. A mark at its end that a slope leads to counts.
func Over(s *score.Score, a *harmony.Analysis, p *page.Page, from, to score.Tick) Verdict {
	return newJudge(s, a, p).over(from, to, to)
}

// over judges a stretch; the page is read up to until.
func (j *judge) over(from, to, until score.Tick) Verdict {
	m := j.p.Over(from, until)
	h := j.harmonyOver(from, to)
	if m.Kind == page.Grows || m.Kind == page.Falls {
		j.lead(&h, until)
	}
	v := Verdict{Start: from, End: to, Aspect: OverSpan, Harmony: h, Page: PageMove{Move: m}, From: m.From,
		SixFour: h.Onto != nil && h.Onto.Numeral.Cadential}
	if h.Waits && h.Answered && m.Kind == page.Falls && to-from <= shortWait*j.s.Measures[j.s.MeasureAt(from)].Length { // it fades into the resolution
		v.Harmony.Waits, v.Harmony.Way = false, Down
	}
	v.Tension = v.Harmony.change()
	v.Page.fill()
	v.Swells = m.Kind == page.Swells || m.Kind == page.Dips
	v.Kind = kindOf(v)
	if v.Level = v.Page.Change; v.Swells {
		v.Level = v.Page.Swell
	}
	v.Size = size(v.Tension, v.Level)
	v.Grounds = j.grounds(v)
	v.Certainty = weakest(v.Grounds)
	return v
}

// shortWait is how many measures of a dominant a fading into its resolution may
// take; over a longer wait it works against it. Our own choice.
const shortWait = 2

// fill says the movement in numbers.
func (m *PageMove) fill() {
	switch m.Kind {
	case page.Grows, page.Falls:
		m.Change = m.To - m.From
		if m.Way = Up; m.Kind == page.Falls {
			m.Way = Down
		}
	case page.Swells, page.Dips:
		m.Swell = m.Peak - m.From
	}
}

// leastArch is how far tension must rise above an end of the stretch for a
// swell to follow it; our own choice.
const leastArch = 15.0

// kindOf compares the ways of harmony and page.
func kindOf(v Verdict) Kind {
	h, m := v.Harmony, v.Page
	switch {
	case m.Kind == page.Grows || m.Kind == page.Falls:
		switch {
		case h.tends() == Still:
			return Independent
		case h.tends() == m.Way:
			return Supports
		}
		return WorksAgainst
	case m.Kind == page.Dips && h.Chords > 1, m.Kind == page.Swells && h.Chords > 1 && h.peak >= min(h.From, h.To)+leastArch:
		return Supports
	case v.Swells, m.Kind == page.Terraced && h.Way == Still:
		return Independent
	case h.Way == Still:
		return Calm
	}
	return Unshaped
}
