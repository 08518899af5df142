package advice

import (
	"math"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

const (
	// leastHairpin is the change that a hairpin is drawn for, in steps: less is a shade.
	leastHairpin = 0.35
	// nearPage is the farthest that a phrase's level leaves the printed one, in
	// steps: the next mark. Where nothing is printed it may go half a step farther.
	nearPage, nearGuess = 1.0, 1.5
	// atGoal is the farthest that a goal stays below the printed level.
	atGoal = 0.25
)

// propose draws each phrase as a level to start from, growth to the goal and
// easing after it: the shaped levels there, each a mean over three beats.
func (m Material) propose(sh *shaping.Shaping, t *Table, goals []Goal, moves []Move) []Proposal {
	shaped := make([]float64, len(m.Beats))
	for i, at := range m.Beats {
		shaped[i] = sh.At(at)
	}
	out := make([]Proposal, len(goals))
	for i, g := range goals {
		lo, at, hi := m.beat(g.Start), m.beat(g.At), m.beat(g.End)
		v := Smooth(shaped[lo:hi])
		near := func(k int) float64 { return m.near(v[k-lo], m.Beats[k]) }
		top := m.ceiling(lo, hi)
		out[i] = Proposal{Phrase: i, Start: g.Start, Goal: g.At, End: g.End, Wish: max(near(at), m.Page.Whole.At(g.At)-atGoal)}
		if at < hi && m.hasLoudest() && m.loudest(g.At, g.At+m.Score.BeatAt(g.At)) { // others may play softer marks: the goal bears the loudest one's name
			out[i].Wish = max(out[i].Wish, m.Page.Range.High-sameMark)
		}
		printed := 0.0
		if m.grows(g.Start, g.At+1) {
			printed = m.Page.Whole.At(g.At)
		}
		out[i].From = m.onPage(m.asPrinted(near(lo), m.opening(g.Start)), 0, top)
		out[i].To = m.onPage(m.asPrinted(near(hi-1), m.Page.Whole.Before(g.End)), 0, top)
		out[i].Peak = m.onPage(m.asMarked(out[i].Wish, g.At), printed, top)
		if !g.Told() && g.Lack != Vague && m.Page.Marked { // it goes nowhere: only the print moves it
			out[i].Peak = min(out[i].Peak, max(m.Page.Whole.At(g.At), between(g.Start, g.End, out[i].From, out[i].To, g.At)))
		}
		out[i].Turns = m.path(out[i], top)
	}
	for _, x := range moves {
		if h, ok := t.hairpin(x, out[x.Goal]); ok {
			out[x.Goal].Hairpins = append(out[x.Goal].Hairpins, h)
		}
	}
	return out
}

// hairpin is the hairpin of a growth or an easing that players bear out.
func (t *Table) hairpin(m Move, p Proposal) (Hairpin, bool) {
	h := Hairpin{Start: m.From, End: m.To, Cause: m.Cause, Against: m.against()}
	switch m.Kind {
	case Grow:
		h.From, h.To = p.From, p.Peak
	case Ease:
		h.From, h.To, h.End = p.Peak, p.To, p.End
	default:
		return h, false
	}
	s := t.Shares[m.Comparable]
	h.Certainty = tonal.CertaintyOf(s.Share)
	if h.Against {
		h.Reason = m.Cause
	}
	return h, s.BorneOut() && h.Grows() == (m.Kind == Grow) && math.Abs(h.To-h.From) >= leastHairpin
}

// near keeps a level near the printed one.
func (m Material) near(level float64, at score.Tick) float64 {
	printed, far := m.Page.Whole.At(at), nearPage
	if !m.Page.Marked {
		far = nearGuess
	}
	return min(max(level, printed-far), printed+far)
}

// At is the level of the proposal at t, on the lines between its three levels;
// mf where no phrase sounds.
func (p *Plan) At(t score.Tick) float64 {
	for _, x := range p.Proposals {
		if x.Start <= t && t < x.End {
			return x.at(t)
		}
	}
	return page.MF
}

func (p Proposal) at(t score.Tick) float64 {
	if t < p.Goal {
		return between(p.Start, p.Goal, p.From, p.Peak, t)
	}
	return between(p.Goal, p.End, p.Peak, p.To, t)
}

func between(a, b score.Tick, from, to float64, t score.Tick) float64 {
	if b <= a {
		return to
	}
	return from + (to-from)*float64(t-a)/float64(b-a)
}
