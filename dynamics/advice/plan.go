package advice

import (
	"math"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Find says where the phrases are going and what may be done on the way. Without
// an analysis (nil) the piece is one phrase. Its only error is a broken table.
func Find(s *score.Score, a *harmony.Analysis, p *page.Page, sh *shaping.Shaping) (*Plan, error) {
	t, err := table()
	if err != nil {
		return nil, err
	}
	m, out := materialOf(s, a, p, sh), &Plan{}
	if len(m.Beats) == 0 || len(m.Grid) == 0 {
		return out, nil
	}
	out.Goals = t.Goals(m.Ways())
	moves := m.Moves(out.Goals)
	out.Advice = t.advise(out.Goals, moves)
	out.Loudest, out.Summit = t.loudest(m), t.summit(m)
	out.Proposals = m.propose(sh, t, out.Goals, moves)
	return out, nil
}

// tensionMove is the change of tension that counts, of 100: that of the verdicts.
const tensionMove = 12.0

// against reports whether the harmony's tension moves the other way.
func (m Move) against() bool {
	switch m.Kind {
	case Grow:
		return m.Tension <= -tensionMove
	case Ease, Taper:
		return m.Tension >= tensionMove
	}
	return false
}

// BorneOut reports whether players do so more often than by chance: by more than
// two standard errors of the share.
func (s Share) BorneOut() bool {
	err := math.Sqrt(s.Share * (1 - s.Share) / float64(max(s.N, 1)))
	return s.N > 0 && s.Share-2*err > s.Baseline
}

// advise makes advice of the moves that players bear out, in order of Start.
func (t *Table) advise(goals []Goal, moves []Move) []Advice {
	var out []Advice
	for _, m := range moves {
		s := t.Shares[m.Comparable]
		if !s.BorneOut() {
			continue
		}
		x := Advice{Kind: m.Kind, Start: m.From, End: m.To, At: m.From, Phrase: m.Goal, Share: s.Share, Baseline: s.Baseline,
			N: s.N, Certainty: tonal.CertaintyOf(s.Share), Cause: m.Cause, Against: m.against()}
		if m.Kind == Grow || m.Kind == Taper {
			x.At = m.To
		}
		if m.Kind == Ease || m.Kind == Taper {
			x.End = goals[m.Goal].End
		}
		if x.Against {
			x.Reason = m.Cause
		}
		out = append(out, x)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Start < out[j].Start })
	return out
}

// Climaxes are the climax of each section, in their order: the goal at which the
// proposal is loudest, of those at the loudest mark of the piece if the section
// holds it. A section without a goal in it gives none. The whole piece is a section
// like any other.
func (p *Plan) Climaxes(sections []Span) []Climax {
	var out []Climax
	for _, x := range sections {
		best := -1
		for i, g := range p.Goals {
			if g.At >= x.Start && g.At < x.End && (best < 0 || p.louder(i, best)) {
				best = i
			}
		}
		if best >= 0 {
			g := p.Goals[best]
			c := Climax{x.Start, x.End, g.At, g.Mark, best, p.Proposals[best].Peak, g.Confidence, g.Certainty}
			if p.rivalled(best, x) {
				c.Certainty = tonal.Unsure
			}
			out = append(out, c)
		}
	}
	return out
}

// standsOut is how much louder than the next a climax is at least, in steps: half
// of what a hairpin is drawn for.
const standsOut = leastHairpin / 2

// rivalled reports whether another goal of a section is about as loud as the loudest.
func (p *Plan) rivalled(best int, x Span) bool {
	for i, g := range p.Goals {
		if i != best && g.At >= x.Start && g.At < x.End && (g.Mark != "") == (p.Goals[best].Mark != "") &&
			p.Proposals[i].Wish > p.Proposals[best].Wish-standsOut {
			return true
		}
	}
	return false
}

// louder reports whether goal i is louder than goal j.
func (p *Plan) louder(i, j int) bool {
	if a, b := p.Goals[i].Mark != "", p.Goals[j].Mark != ""; a != b {
		return a
	}
	return p.Proposals[i].Wish > p.Proposals[j].Wish
}

// Asks is what the proposals ask for over a stretch, its last beat left out by
// the caller, since a turn may fall on it: the longest hairpin there, nil if
// there is none or if they go both ways.
func (p *Plan) Asks(from, to score.Tick) *Hairpin {
	var out *Hairpin
	to, longest := max(to, from+1), score.Tick(0)
	for i := range p.Proposals {
		for k := range p.Proposals[i].Hairpins {
			h := &p.Proposals[i].Hairpins[k]
			over := min(h.End, to) - max(h.Start, from)
			if over <= 0 {
				continue
			}
			if out != nil && out.Grows() != h.Grows() {
				return nil
			}
			if over > longest {
				out, longest = h, over
			}
		}
	}
	return out
}
