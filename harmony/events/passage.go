package events

import (
	"cmp"
	"slices"
	"sort"

	"hairpin/score"
)

// struck is a note as it is struck.
type struck struct {
	at   score.Tick
	step int // of the staff
	key  int // MIDI key
}

// passage are the notes struck in a stretch, in order of time, the lowest first.
type passage struct {
	from  score.Tick
	notes []struck
}

// strikes are all pitched notes in order of time, the lowest first.
func strikes(s *score.Score) []struck {
	var out []struck
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Pitched() && !n.Cue {
			out = append(out, struck{n.Onset, staffStep(n.Pitch), n.Pitch.Key()})
		}
	}
	slices.SortStableFunc(out, func(a, b struck) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.step, b.step)) })
	return out
}

// passage is the music struck from … to.
func (f *finder) passage(from, to score.Tick) passage {
	i := sort.Search(len(f.struck), func(i int) bool { return f.struck[i].at >= from })
	j := i + sort.Search(len(f.struck)-i, func(j int) bool { return f.struck[i+j].at >= to })
	return passage{from, f.struck[i:j]}
}

// matched counts the notes of p that are struck in q as well, k steps higher.
func (p passage) matched(q passage, k int) int {
	same, j := 0, 0
	for _, x := range p.notes {
		for j < len(q.notes) && before(q, q.notes[j], p, x, k) {
			j++
		}
		if j < len(q.notes) && q.notes[j].at-q.from == x.at-p.from && q.notes[j].step == x.step+k {
			same++
			j++
		}
	}
	return same
}

// before reports whether y comes before what x of p becomes in q, k steps higher.
func before(q passage, y struck, p passage, x struck, k int) bool {
	a, b := y.at-q.from, x.at-p.from
	return a < b || a == b && y.step < x.step+k
}

// outer are the lowest and the highest of the notes struck first.
func (p passage) outer() (low, high struck) {
	low = p.notes[0]
	for _, x := range p.notes {
		if x.at != low.at {
			break
		}
		high = x
	}
	return low, high
}

// moved is the distance in steps and semitones at which most of p's notes sound again in
// q, and their share. The lowest or the highest of the first notes must be among them.
// With a step other than 0 only that distance is tried.
func (p passage) moved(q passage, only int) (steps, keys int, share float64) {
	if len(p.notes) == 0 || len(q.notes) == 0 || 5*len(p.notes) < 4*len(q.notes) || 5*len(q.notes) < 4*len(p.notes) {
		return 0, 0, 0
	}
	low, high := p.outer()
	lowTo, highTo := q.outer()
	// steps is 0 at first: what comes again on the same pitch has not moved.
	for _, pair := range [2][2]struck{{low, lowTo}, {high, highTo}} {
		k := pair[1].step - pair[0].step
		if k > furthest || k < -furthest || only != 0 && k != only || k == steps || pair[1].at-q.from != pair[0].at-p.from {
			continue
		}
		if s := float64(p.matched(q, k)) / float64(max(len(p.notes), len(q.notes))); s > share {
			steps, keys, share = k, pair[1].key-pair[0].key, s
		}
	}
	return steps, keys, share
}
