package dynamics

import (
	"math"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/score"
)

// LevelRow is one row of the levels: from one beat, onset or change to the next.
// Between its ends both levels run in a straight line. A mark such as sf or fp
// is in Printed where it stands and gone at PrintedEnd; the articulations > and
// ^ are not in it.
type LevelRow struct {
	Start, End          score.Tick
	Printed, PrintedEnd float64
	Shaped, ShapedEnd   float64
	Tension             float64    // at Start, 0 to 100
	Long                float64    // the long line at Start, 0 to 100
	Cause               page.Cause // what the page says there
	Stress              string     // the mark of stress there, "sf"; "" if none
	Proposal            *shaping.Proposal
	Leaves              shaping.Reason // why Shaped lies more than [shaping.FreeBend] from Printed at Start; "" where it does not
}

// Levels lays printed level, proposal and tension side by side: one row for
// every beat, onset and change of the printed level.
func Levels(s *score.Score, a *harmony.Analysis, p *page.Page, sh *shaping.Shaping) []LevelRow {
	cuts := append([]score.Tick(nil), shaping.Grid(s)...)
	for _, g := range p.Whole.Segments {
		cuts = append(cuts, g.Start)
	}
	cuts = ordered(cuts, s.Length())
	out := make([]LevelRow, 0, len(cuts))
	k, m := 0, 0
	for i, t := range cuts {
		end := s.Length()
		if i+1 < len(cuts) {
			end = cuts[i+1]
		}
		r := LevelRow{Start: t, End: end, Printed: p.Whole.At(t), PrintedEnd: p.Whole.Before(end)}
		stress := p.StressAt(t, len(s.Parts))
		if n := p.Whole.Find(t); n >= 0 {
			r.Cause = p.Whole.Segments[n].Cause
		}
		r.Shaped, r.ShapedEnd = r.Printed, r.PrintedEnd
		if stress.Size > 0 {
			r.Printed = page.Clamp(max(r.Printed, p.Whole.Before(t)) + stress.Size)
			r.Stress = stress.Sign
		}
		if sh != nil && len(sh.Proposals) > 0 {
			r.Shaped, r.ShapedEnd = sh.At(t), sh.At(end)
			for k+1 < len(sh.Proposals) && sh.Proposals[k+1].At <= t {
				k++
			}
			r.Proposal = &sh.Proposals[k]
		}
		r.Leaves = r.leaves()
		if a != nil {
			for m+1 < len(a.Moments) && a.Moments[m].End <= t {
				m++
			}
			if m < len(a.Moments) && a.Moments[m].Start <= t && t < a.Moments[m].End {
				r.Tension, r.Long = a.Moments[m].Tension.Total, a.Moments[m].LongLine.Total
			}
		}
		out = append(out, r)
	}
	return out
}

// leaves is why the proposal lies far from the page. Where the page changes
// between two moments of the shaping, the line between them leads to the next mark.
func (r LevelRow) leaves() shaping.Reason {
	const round = 1e-9
	switch {
	case math.Abs(r.Shaped-r.Printed) <= shaping.FreeBend+round:
		return ""
	case r.Stress != "":
		return shaping.OnStress
	case r.Proposal != nil && r.Proposal.Reason != "":
		return r.Proposal.Reason
	}
	return shaping.NextMark
}

// ordered sorts times, drops doubles and what lies outside the piece.
func ordered(in []score.Tick, end score.Tick) []score.Tick {
	sort.Slice(in, func(i, j int) bool { return in[i] < in[j] })
	out := in[:0]
	for _, t := range in {
		if t >= 0 && t < end && (len(out) == 0 || t > out[len(out)-1]) {
			out = append(out, t)
		}
	}
	return out
}
