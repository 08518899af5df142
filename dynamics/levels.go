package dynamics

import (
	"math"
	"sort"

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
	Tension             float64 // at Start, 0 to 100
	Why                 string  // what the page says there
	Proposal            *Proposal
}

// Levels lays printed level, proposal and tension side by side: one row for
// every beat, onset and change of the printed level.
func Levels(s *score.Score, a *harmony.Analysis, p *Page, sh *Shaping) []LevelRow {
	cuts := append([]score.Tick(nil), grid(s)...)
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
		stress := p.stressAt(t, len(s.Parts))
		if n := p.Whole.find(t); n >= 0 {
			r.Why = p.Whole.Segments[n].Why
		}
		r.Shaped, r.ShapedEnd = r.Printed, r.PrintedEnd
		if stress.size > 0 {
			r.Printed = clampLevel(max(r.Printed, p.Whole.Before(t)) + stress.size)
			r.Why += ", " + stress.sign
		}
		if sh != nil && len(sh.Proposals) > 0 {
			r.Shaped, r.ShapedEnd = sh.At(t), sh.At(end)
			for k+1 < len(sh.Proposals) && sh.Proposals[k+1].At <= t {
				k++
			}
			r.Proposal = &sh.Proposals[k]
		}
		if a != nil {
			for m+1 < len(a.Moments) && a.Moments[m].End <= t {
				m++
			}
			if m < len(a.Moments) && a.Moments[m].Start <= t && t < a.Moments[m].End {
				r.Tension = a.Moments[m].Tension.Total
			}
		}
		out = append(out, r)
	}
	return out
}

// stress is what marks such as sf add at one moment to the whole.
type stress struct {
	size float64 // steps
	sign string
}

// stressAt adds up the marks of stress at t as powers: where one part of
// several has an sf, the whole grows by less than the part.
func (p *Page) stressAt(t score.Tick, parts int) stress {
	i := sort.Search(len(p.Accents), func(i int) bool { return p.Accents[i].At >= t })
	size, out := make([]float64, parts), stress{}
	for ; i < len(p.Accents) && p.Accents[i].At == t; i++ {
		if a := p.Accents[i]; a.Size >= sfSize && a.Part < parts {
			size[a.Part], out.sign = max(size[a.Part], a.Size), a.Sign
		}
	}
	if out.sign == "" {
		return out
	}
	with, without := 0.0, 0.0
	for part, steps := range size {
		level := p.Parts[part].At(t)
		with, without = with+math.Pow(stepRatio, level+steps), without+math.Pow(stepRatio, level)
	}
	out.size = log(with / without)
	return out
}
