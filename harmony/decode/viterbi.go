package decode

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// reading is a segment that ends at some boundary, as the end of a best path.
type reading struct {
	score       float64
	start, prev int32 // its first slice; index among the readings that end there, -1 at the beginning
	label       int16
	key, inv    int8
}

// breadth is how much a search tries. Scores are in the model's units.
type breadth struct {
	slices     int     // longest segment, in slices at which a chord may change
	beam       int     // readings kept at each moment
	limit      int     // chords kept for each segment
	width      float64 // readings further behind the best at a moment are dropped
	remote     float64 // so are ways into a key, and with the last of them the key
	tooFar     float64 // after two segments in a row that far behind, no longer ones are tried
	worthwhile float64 // share of the best chord's evidence that another must have to be tried
}

// Learning searches widely, so that every weight is tried against what it is to
// tell apart; reading need not.
var (
	wide   = breadth{slices: 16, beam: 40, limit: 8, width: 4.5, remote: math.Inf(1), tooFar: math.Inf(1)}
	narrow = breadth{slices: 16, beam: 20, limit: 4, width: 4, remote: 5, tooFar: 4, worthwhile: 0.5}
)

// search is one run of the decoder.
type search struct {
	breadth
	*tables
	v     *view
	price Cost
	*scratch
	keys  [][24]float64 // by slice: running sums of what all before says for each key
	reach []keySet      // by slice: keys worth hearing there
	ends  [][]reading   // by boundary
	doors []*doors      // by boundary; nil when out of reach
	open  []int         // boundaries with doors, first to last
	top   float64       // score of the best reading that ends at the boundary being closed
}

// scratch is what a search needs on the way and a later one can use again.
type scratch struct {
	tried  [][]candidate // by set of pitch classes: the chords with enough tones in it, nil before it is met
	inside []float64     // of the segment being tried: evidence of each candidate's tones
	spare  []*doors
	kept   []reading // of the boundaries so far, as far as one block of memory holds them
	best   []reading // best reading ending here, by state
	seen   []int     // boundary at which best was last set, by state
	found  []int     // states set at this boundary
	pool   []chord
}

// borrow takes what an earlier search has left, or makes it.
func (t *tables) borrow() *scratch {
	s, ok := t.idle.Get().(*scratch)
	if !ok {
		states := 24 * len(t.m.Labels)
		s = &scratch{tried: make([][]candidate, 1<<12), best: make([]reading, states), seen: make([]int, states)}
	}
	for i := range s.seen {
		s.seen[i] = -1
	}
	s.kept = s.kept[:0]
	return s
}

// leave lets a later search use what this one needs no more.
func (s *search) leave() {
	for _, j := range s.open {
		s.spare = append(s.spare, s.doors[j])
	}
	s.idle.Put(s.scratch)
}

// state numbers a label in a key.
func (m *Model) state(key, label int) int { return key*len(m.Labels) + label }

// span is the range of labels of a mode; major labels come first.
func (m *Model) span(key int) (from, to int) {
	if mode(key) == 0 {
		return 0, m.majors
	}
	return m.majors, len(m.Labels)
}

// Decode returns the best reading of the piece, segments touching, in order.
func (m *Model) Decode(p *Piece) []Segment {
	if len(p.Slices) == 0 {
		return nil
	}
	t := m.ready
	if t == nil {
		t = m.gather()
	}
	s := newSearch(t, newView(p), 0, len(p.Slices), nil)
	path := s.run(0, len(p.Slices))
	s.tonicise(path)
	s.fillBroken(path)
	path = s.joinBroken(path)
	s.limit = wide.limit // no rival is to be overlooked
	for n, d := range s.doubts(path) {
		path[n].Doubt = d
	}
	s.leave()
	return path
}

// run decodes slices [from, to).
func (t *tables) run(v *view, from, to int, cost Cost) []Segment {
	if to <= from {
		return nil
	}
	s := newSearch(t, v, from, to, cost)
	defer s.leave()
	return s.run(from, to)
}

func (s *search) run(from, to int) []Segment {
	s.begin(from)
	for j := from + 1; j <= to; j++ {
		if j < to && !s.v.change[j] {
			continue
		}
		s.close(j)
		if j < to {
			s.enter(j)
		}
	}
	return s.trace(to)
}

func newSearch(t *tables, v *view, from, to int, cost Cost) *search {
	n := len(v.Slices)
	s := &search{tables: t, v: v, price: cost, breadth: narrow, keys: make([][24]float64, n+1), reach: make([]keySet, n+1),
		ends: make([][]reading, n+1), doors: make([]*doors, n+1), scratch: t.borrow()}
	if cost != nil {
		s.breadth = wide
	}
	t.m.weighForeign(v, from, to)
	for i := from; i < to; i++ {
		s.reach[i] = v.keysInReach(i)
		s.keys[i+1] = s.keys[i]
		t.m.hearKeys(v, &t.keyTables, i, &s.keys[i+1])
	}
	return s
}

// keySet is a set of keys, a bit each.
type keySet uint32

// next takes the lowest key out of a set that is not empty.
func (k *keySet) next() int {
	key := bits.TrailingZeros32(uint32(*k))
	*k &= *k - 1
	return key
}

// keysInReach are the keys that fit the notes around slice i not much worse than the best.
func (v *view) keysInReach(i int) keySet {
	near, around, far := v.fitAt(0, i), v.fitAt(1, i), v.fitAt(2, i)
	out := keySet(1) << v.homeKey
	for k := range near {
		if near[k] > -0.5 || around[k] > -0.5 || far[k] > -0.35 {
			out |= 1 << k
		}
	}
	return out
}

// close scores the segments that end at boundary j, shortest first, and keeps
// the best readings.
func (s *search) close(j int) {
	t := tally{low: lowest{pc: -1}, first: -1}
	s.found, s.top = s.found[:0], math.Inf(-1)
	behind := 0
	for i := j - 1; i >= s.open[0] && behind < 2; i-- {
		if i+1 < j && s.v.sectionStarts(i+1) {
			break
		}
		t.extend(s.m, s.v, i, i == j-1)
		if s.doors[i] == nil {
			continue
		}
		if best := s.segment(i, j, &t); best < s.top-s.tooFar {
			behind++
		} else {
			behind = 0
		}
	}
	s.ends[j] = s.prune(j)
}

// sectionStarts tells whether a chord must begin at slice i, after a double bar or a repeat.
func (v *view) sectionStarts(i int) bool { return v.Slices[i].Section && v.change[i] }

// segment tries all readings of slices [i, j). What cannot come near the best
// reading found so far is passed over. It returns the best score of all tried.
func (s *search) segment(i, j int, t *tally) float64 {
	m, d := s.m, s.doors[i]
	tones := t.ground(&d.held)
	common := m.boundary(s.v, i, t.beats) + t.inner
	least := s.top - s.width - common
	if s.price != nil {
		common += s.price.Cut(i)
		least = math.Inf(-1)
	}
	door := math.Inf(-1)
	for n := range d.keys {
		w := &d.keys[n]
		w.run = s.keys[j][w.key] - s.keys[i][w.key]
		door = max(door, w.bound+w.run)
	}
	top := math.Inf(-1)
	s.pool = s.chords(i, t, &tones, least-s.bonus-door, s.pool)
	for c := range s.pool {
		ch := &s.pool[c]
		for n := range d.keys {
			if w := &d.keys[n]; ch.score+w.run+w.bound >= least-s.bonus {
				top = max(top, s.hear(i, j, ch, w, common, least))
			}
		}
	}
	return top
}

// hear tries a chord on slices [i, j) under all its labels in a key. What
// scores less than least, what all readings of the segment share apart, is
// passed over. It returns the best score tried.
func (s *search) hear(i, j int, ch *chord, w *way, common, least float64) float64 {
	m, d, top := s.m, s.doors[i], math.Inf(-1)
	for _, l := range m.labelsAt(w.key, w.tonic, ch.root, ch.kind.quality) {
		own := ch.score + w.run + d.label[l]
		if s.v.phraseEnds(j) {
			own += m.endScore(s.v, j, l)
		}
		if own+w.bound+s.turned[l] < least {
			continue
		}
		in, prev := s.way(d, w, l)
		if j == len(s.v.Slices) && s.price == nil {
			in, prev = s.last(i, d, w, l)
		}
		if own+in+s.turned[l] < least {
			continue
		}
		inv, bonus := s.inversion(i, j, ch, l)
		x := common + own + in + bonus
		if s.price != nil {
			x += s.price.Span(i, j, w.key, l, pc(ch.root), ch.kind.quality)
		}
		top = max(top, x)
		s.offer(j, m.state(w.key, l), reading{x, int32(i), int32(prev), int16(l), int8(w.key), int8(inv)})
	}
	return top
}

// offer keeps a reading if it is the best of its state that ends at j.
func (s *search) offer(j, st int, r reading) {
	if s.seen[st] != j {
		s.seen[st] = j
		s.found = append(s.found, st)
	} else if r.score <= s.best[st].score {
		return
	}
	s.best[st] = r
	s.top = math.Max(s.top, r.score)
}

// inversion picks the best inversion of a chord under a label.
func (s *search) inversion(i, j int, ch *chord, label int) (inv int, score float64) {
	m := s.m
	score = math.Inf(-1)
	weights, sixFour := m.W[m.lay.labelInv.i(label, 0, 0):], m.Labels[label].Cadence
	for r := range ch.kind.above {
		if sixFour && r != 2 {
			continue
		}
		x := ch.inv[r] + weights[r]
		if s.price != nil {
			x += s.price.Bass(i, j, pc(ch.root+ch.kind.above[r]))
		}
		if x > score {
			inv, score = r, x
		}
	}
	return inv, score
}

// prune keeps the best readings of those just closed, best first.
func (s *search) prune(j int) []reading {
	out := s.room()
	for _, st := range s.found {
		if s.best[st].score >= s.top-s.width && !math.IsInf(s.best[st].score, -1) {
			out = append(out, s.best[st])
		}
	}
	slices.SortFunc(out, func(a, b reading) int {
		if c := cmp.Compare(b.score, a.score); c != 0 {
			return c
		}
		return cmp.Compare(s.m.state(int(a.key), int(a.label)), s.m.state(int(b.key), int(b.label)))
	})
	out = out[:min(len(out), s.beam)]
	s.kept = s.kept[:len(s.kept)+len(out)]
	return out[:len(out):len(out)]
}

// room is an empty row of readings with place for all found.
func (s *search) room() []reading {
	if cap(s.kept)-len(s.kept) < len(s.found) {
		s.kept = make([]reading, 0, max(1024, len(s.found)))
	}
	return s.kept[len(s.kept):]
}

// trace follows the best path back from boundary j.
func (s *search) trace(j int) []Segment {
	if len(s.ends[j]) == 0 {
		return nil
	}
	var out []Segment
	for r := 0; r >= 0; {
		x := s.ends[j][r]
		out = append(out, Segment{Start: int(x.start), End: j, Key: int(x.key), Tonic: int(s.v.tonics[x.start][x.key]),
			Label: int(x.label), Inversion: int(x.inv)})
		r, j = int(x.prev), int(x.start)
	}
	for a, b := 0, len(out)-1; a < b; a, b = a+1, b-1 {
		out[a], out[b] = out[b], out[a]
	}
	return out
}
