package form

import (
	"cmp"
	"slices"
	"sort"

	"hairpin/score"
)

// dot is a note in its bar.
type dot struct {
	at     score.Tick // from the start of the full bar
	place  int        // of the staff: 7 an octave
	key    int        // MIDI
	length score.Tick // the longest of those on one place
}

// places is more than the places of the staff that notes can stand on.
const places = 1 << 16

// order is by time, then place, in one number: it is compared very often.
func (d *dot) order() score.Tick { return d.at*places + score.Tick(d.place) }

// bar is what sounds in one bar: every note, and the highest at each onset.
type bar struct {
	span      Span
	head      score.Tick // what it lacks at its start
	full      score.Tick // its length if nothing lacked
	dots, top []dot      // in the order of at, then place
}

// page is the piece bar by bar.
type page struct {
	s    *score.Score
	bars []bar
}

func newPage(s *score.Score, part int) *page {
	p := &page{s: s}
	of := make([]int, len(s.Measures)) // bar by measure
	for i, m := range s.Measures {
		if m.Offset > 0 && len(p.bars) > 0 {
			p.bars[len(p.bars)-1].span.End = m.End()
		} else {
			b := bar{span: Span{m.Start, m.End()}, full: max(m.Nominal, m.Length, 1)}
			if m.Pickup && m.Nominal > m.Length {
				b.head = m.Nominal - m.Length
			}
			p.bars = append(p.bars, b)
		}
		of[i] = len(p.bars) - 1
	}
	for _, n := range s.Notes {
		if n.Pitched() && !n.Cue && (part == 0 || n.Part == part-1) {
			b := &p.bars[of[n.Measure]]
			b.dots = append(b.dots, dot{n.Onset - b.span.Start + b.head, 7*n.Pitch.Octave + n.Pitch.Step, n.Pitch.Key(), n.Duration})
		}
	}
	for i := range p.bars {
		p.bars[i].sort()
	}
	return p
}

// sort orders the dots, drops doubled ones and picks the highest.
func (b *bar) sort() {
	slices.SortFunc(b.dots, func(x, y dot) int {
		return cmp.Or(cmp.Compare(x.at, y.at), cmp.Compare(x.place, y.place), cmp.Compare(x.key, y.key), cmp.Compare(y.length, x.length))
	})
	b.dots = slices.CompactFunc(b.dots, func(x, y dot) bool { return x.at == y.at && x.place == y.place && x.key == y.key })
	for i, d := range b.dots {
		if i == len(b.dots)-1 || b.dots[i+1].at > d.at {
			b.top = append(b.top, d)
		}
	}
}

func (p *page) spans() []Span {
	out := make([]Span, len(p.bars))
	for i, b := range p.bars {
		out[i] = b.span
	}
	return out
}

// barAt is the bar that holds a moment.
func (p *page) barAt(t score.Tick) int {
	return max(sort.Search(len(p.bars), func(i int) bool { return p.bars[i].span.Start > t })-1, 0)
}

// opening is the first bar of a phrase that starts at t: a start in the second half
// of a bar is an upbeat to the next.
func (p *page) opening(t score.Tick) int {
	i := p.barAt(t)
	b := p.bars[i]
	if off := t - b.span.Start + b.head; off > 0 && 2*off >= b.full && i+1 < len(p.bars) {
		return i + 1
	}
	return i
}

// likeness is how much two bars have in common, the second moved by so many places
// of the staff from the first. Melody and whole count alike, so that a melody over a
// new accompaniment and an ornamented melody over the old one are both known again.
// Two empty bars are alike.
func likeness(a, b *bar, steps int) float64 {
	return (common(a.top, b.top, steps) + common(a.dots, b.dots, steps)) / 2
}

// common is twice the dots that two lists share over the dots of both (Dice 1945,
// Measures of the amount of ecologic association between species, Ecology 26(3)).
func common(a, b []dot, steps int) float64 {
	if len(a)+len(b) == 0 {
		return 1
	}
	same := 0
	for i, j := 0, 0; i < len(a) && j < len(b); {
		x, y := a[i].order()+score.Tick(steps), b[j].order()
		if x == y {
			same++
		}
		if x <= y {
			i++
		}
		if x >= y {
			j++
		}
	}
	return 2 * float64(same) / float64(len(a)+len(b))
}

// shift is the move of the staff, and in semitones, by which most of the highest
// notes of b lie above those of a at the same places; ok is false if none meet.
func shift(a, b []bar) (steps, semitones int, ok bool) {
	var room [32]vote
	votes := room[:0]
	for k := 0; k < min(len(a), len(b)); k++ {
		for i, j := 0, 0; i < len(a[k].top) && j < len(b[k].top); {
			x, y := a[k].top[i], b[k].top[j]
			switch {
			case x.at < y.at:
				i++
			case x.at > y.at:
				j++
			default:
				votes = cast(votes, y.place-x.place, y.key-x.key)
				i++
				j++
			}
		}
	}
	best, most := vote{}, 0
	for _, m := range votes {
		n := m.n + len(votes)*stepsLike(votes, m.steps) // the steps decide, then the semitones
		if n > most || n == most && nearer(m.steps, m.semitones, best.steps, best.semitones) {
			best, most = m, n
		}
	}
	return best.steps, best.semitones, most > 0
}

// vote is how many notes speak for a move.
type vote struct{ steps, semitones, n int }

// cast counts one more note for a move. The moves are few: a list serves better
// than a map.
func cast(votes []vote, steps, semitones int) []vote {
	for i := range votes {
		if v := &votes[i]; v.steps == steps && v.semitones == semitones {
			v.n++
			return votes
		}
	}
	return append(votes, vote{steps, semitones, 1})
}

// stepsLike is how many notes speak for a move of so many steps, whatever its semitones.
func stepsLike(votes []vote, steps int) (n int) {
	for _, v := range votes {
		if v.steps == steps {
			n += v.n
		}
	}
	return n
}

// nearer orders moves: the smaller, then the upward one.
func nearer(a, am, b, bm int) bool {
	return cmp.Or(cmp.Compare(abs(a), abs(b)), cmp.Compare(b, a), cmp.Compare(abs(am), abs(bm)), cmp.Compare(bm, am)) < 0
}

func abs(x int) int { return max(x, -x) }
