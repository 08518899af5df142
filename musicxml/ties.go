package musicxml

import (
	"cmp"
	"slices"

	"hairpin/score"
)

// joinTies merges chains of tied notes and hands the part's notes to the score.
func (r *partReader) joinTies() {
	gone := r.mergeTies()
	for i := range r.notes {
		if gone == nil || !gone[i] {
			r.s.Notes = append(r.s.Notes, r.notes[i].Note)
		}
	}
	r.notes = nil
}

// mergeTies lengthens the first note of every chain and tells which notes have
// gone into another. A tie leads to the note of the same pitch that starts
// where it ends, in the same voice if there is a choice: a chain may change
// its voice or its staff, and the document may write its end before its start.
func (r *partReader) mergeTies() (gone []bool) {
	if !r.tied {
		return nil
	}
	gone = make([]bool, len(r.notes))
	open := map[float64][]int{} // by MIDI key, as a tie may respell its pitch: heads of chains that a tie leads on from
	for _, i := range r.tiedInOrder() {
		n := &r.notes[i]
		starts, stops := n.ties()
		head, key := i, n.Pitch.MIDI()
		if stops {
			if k := r.partner(open[key], n); k >= 0 {
				head = open[key][k]
				open[key] = slices.Delete(open[key], k, k+1)
				r.extend(head, i)
				gone[i] = true
			} else if !r.afterGrace(open[key], n) {
				r.warnAt(n.Onset, "a tie to %s comes from nowhere; the note was read as struck", n.Pitch)
			}
		}
		if starts {
			open[key] = append(open[key], head)
		}
	}
	r.endlessTies(open, gone)
	return gone
}

func (n *tiedNote) ties() (starts, stops bool) {
	if n.hasTie {
		return n.tieStart, n.tieStop
	}
	return n.tiedStart, n.tiedStop
}

func (r *partReader) tiedInOrder() []int {
	var order []int
	for i := range r.notes {
		starts, stops := r.notes[i].ties()
		if (starts || stops) && !r.notes[i].Unpitched {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.notes[a].Onset, r.notes[b].Onset) })
	return order
}

// partner picks the chain that leads to n: its place in heads, or -1. Only the
// latest heads are looked at; no score holds so many notes of one pitch at once.
func (r *partReader) partner(heads []int, n *tiedNote) int {
	const most = 64
	best := -1
	for k := max(len(heads)-most, 0); k < len(heads); k++ {
		h := heads[k]
		head := &r.notes[h]
		if head.End() != n.Onset && r.leadsTo(head.End()) != n.Onset || head.Grace != n.Grace {
			continue
		}
		if head.Voice == n.Voice && head.Staff == n.Staff {
			return k
		}
		if best < 0 {
			best = k
		}
	}
	return best
}

// afterGrace reports whether a grace note is tied into n. Both are kept, the
// main note with its own value.
func (r *partReader) afterGrace(heads []int, n *tiedNote) bool {
	return slices.ContainsFunc(heads[max(len(heads)-64, 0):], func(h int) bool {
		return r.notes[h].Grace && r.notes[h].Onset == n.Onset
	})
}

// struck are the signs that belong to the moment at which they are printed.
const struck = score.Accent | score.StrongAccent | score.SoftAccent | score.Staccato | score.Staccatissimo |
	score.Tenuto | score.DetachedLegato | score.Stress | score.Unstress

// leadsTo is where a tie from the end of a note leads: straight on, or over the
// silence of a measure that this part does not fill.
func (r *partReader) leadsTo(end score.Tick) score.Tick {
	if next, ok := r.over[end]; ok {
		return next
	}
	return end
}

func (r *partReader) extend(head, tail int) {
	h, t := &r.notes[head].Note, &r.notes[tail].Note
	h.Duration = t.End() - h.Onset
	h.Signs |= t.Signs &^ struck
	if signs := t.Signs & struck; signs != 0 {
		h.Later = append(h.Later, score.LaterSign{At: t.Onset, Signs: signs})
	}
	h.Later = append(h.Later, t.Later...)
	h.Source = append(h.Source, t.Source...)
	h.Hidden = h.Hidden && t.Hidden
}

// endlessTies reads the ties whose end the source does not mark: where the same
// voice goes straight on to the same pitch, the page shows a tie and a player
// holds it. The last come first, so that what they join is complete.
func (r *partReader) endlessTies(open map[float64][]int, gone []bool) {
	var heads []int
	for _, list := range open {
		for _, h := range list {
			if !r.notes[h].Grace {
				heads = append(heads, h)
			}
		}
	}
	if len(heads) == 0 {
		return
	}
	slices.SortFunc(heads, func(a, b int) int {
		return cmp.Or(cmp.Compare(r.notes[b].End(), r.notes[a].End()), cmp.Compare(b, a))
	})
	next := r.strikes(gone)
	for _, h := range heads {
		n := &r.notes[h]
		s := strike{n.End(), n.Voice, n.Staff, n.Pitch.MIDI()}
		if i, ok := next[s]; ok && i != h && !gone[i] {
			r.warnAt(n.Onset, "the end of a tie from %s is not marked; it was read as tied to the next", n.Pitch)
			r.extend(h, i)
			gone[i] = true
			delete(next, s)
			continue
		}
		r.warnAt(n.Onset, "a tie from %s leads nowhere; the note was read as ending there", n.Pitch)
	}
}

// strike is where a note begins.
type strike struct {
	onset        score.Tick
	voice, staff int
	key          float64
}

func (r *partReader) strikes(gone []bool) map[strike]int {
	m := make(map[strike]int, len(r.notes))
	for i := range r.notes {
		if n := &r.notes[i]; !gone[i] && n.Pitched() {
			m[strike{n.Onset, n.Voice, n.Staff, n.Pitch.MIDI()}] = i
		}
	}
	return m
}
