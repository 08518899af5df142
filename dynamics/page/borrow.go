package page

import (
	"math"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// player is one instrument: its parts and what is printed for them.
type player struct {
	parts  []int
	events []event
	first  score.Tick // its first printed level; the end of the piece if there is none
}

// playersOf lists the instruments, those that are marked first before the rest.
func playersOf(s *score.Score) []player {
	var out []player
	for _, group := range instruments(s) {
		pl := player{parts: group, first: s.Length()}
		pl.events = gather(s, func(part int) bool { return part >= group[0] && part <= group[len(group)-1] })
		for i := len(pl.events) - 1; i >= 0; i-- {
			if a := pl.events[i].act; a.kind == setLevel && a.pass != 2 {
				pl.first = pl.events[i].at
			}
		}
		out = append(out, pl)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].first < out[j].first })
	return out
}

// lender is an instrument whose marks are in force while another has none yet.
type lender struct {
	name   string
	curve  Curve
	from   score.Tick // its first printed level
	agreed bool       // the others that are marked by then have the same level
}

// lender finds, for an instrument whose first mark comes later, the nearest of
// those marked before it; nil if there is none.
func (p *Page) lender(s *score.Score, pl player, before []player) *lender {
	var best *player
	for i, b := range before {
		if b.first < pl.first && (best == nil || abs(b.parts[0]-pl.parts[0]) < abs(best.parts[0]-pl.parts[0])) {
			best = &before[i]
		}
	}
	if best == nil {
		return nil
	}
	l := &lender{name: partName(s, best.parts[0]), curve: p.Parts[best.parts[0]], from: best.first, agreed: true}
	for _, b := range before {
		if b.first <= l.from && math.Abs(p.Parts[b.parts[0]].At(l.from)-l.curve.At(l.from)) >= LevelMove {
			l.agreed = false
		}
	}
	return l
}

// borrow takes the lender's level until the first event of its own; false if
// nobody has a mark before that.
func (r *resolver) borrow() bool {
	until := r.s.Length()
	for i := len(r.events) - 1; i >= 0; i-- {
		if k := r.events[i].act.kind; k != accent && k != cancel {
			until = r.events[i].at
		}
	}
	l := r.lender
	if l == nil || l.from >= until {
		return false
	}
	sure := tonal.Likely
	if !l.agreed {
		sure = tonal.Unsure
	}
	if l.from > 0 {
		r.infer(0, tonal.Unsure, Cause{Kind: Starts, Mark: Mark(MF)}) // common practice, no source
		r.stay(l.from)
	}
	for _, g := range l.curve.Segments {
		if g.End <= l.from || g.Start >= until {
			continue
		}
		cut := g.between(max(g.Start, l.from), min(g.End, until))
		cut.Certainty = min(g.Certainty, sure)
		r.segments = append(r.segments, cut)
		r.at, r.level, r.mark = cut.End, cut.To, cut.ToMark
	}
	r.cause, r.sure = Cause{Kind: AsPart, Text: l.name}, sure
	if r.plays(l.from, until) {
		r.infer(l.from, sure, Cause{Kind: Starts, Text: l.name, Mark: Mark(l.curve.At(l.from))})
	}
	return true
}

// plays reports whether the part has a note that begins in a stretch.
func (r *resolver) plays(from, to score.Tick) bool {
	for _, n := range r.s.Notes {
		if n.Part == r.part && n.Onset >= from && n.Onset < to {
			return true
		}
	}
	return false
}
