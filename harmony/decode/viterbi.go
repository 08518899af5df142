package decode

import (
	"cmp"
	"math"
	"slices"
)

// reading is a segment that ends at some boundary, as the end of a best path.
type reading struct {
	score      float64
	key, label int
	start, inv int
	prev       int // index among the readings that end at start, -1 at the beginning
}

// doors are the best ways into every label of the keys in reach at a boundary.
type doors struct {
	keys  []int     // keys in reach
	best  []float64 // best score of each of them
	score []float64 // by state
	prev  []int32
	label []float64 // what each label adds where it starts here
}

// search is one run of the decoder.
type search struct {
	m      *Model
	v      *view
	price  *price
	kinds  []kind
	inside [][12]float64 // of the segment being tried: evidence of every chord's tones, by kind and root
	steps  [2][]float64  // score of one label after another, by mode
	keys   [][24]float64 // running sums of keyScore
	reach  [][]int       // by slice: keys worth hearing there
	ends   [][]reading   // by boundary
	doors  []*doors      // by boundary; nil when out of reach
	open   []int         // boundaries with doors, first to last
	spare  []*doors      // doors to use again
	best   []reading     // best reading ending here, by state
	seen   []int         // boundary at which best was last set, by state
	found  []int         // states set at this boundary
	pool   []chord
	led    []leading
	top    float64 // score of the best reading that ends at the boundary being closed
	bonus  float64 // the most that a label and an inversion can add
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
	s := newSearch(m, newView(p), 0, len(p.Slices), nil)
	path := s.run(0, len(p.Slices))
	for n, d := range s.doubts(path) {
		path[n].Doubt = d
	}
	return path
}

// run decodes slices [from, to).
func (m *Model) run(v *view, from, to int, cost *price) []Segment {
	if to <= from {
		return nil
	}
	return newSearch(m, v, from, to, cost).run(from, to)
}

func (s *search) run(from, to int) []Segment {
	s.begin(from)
	for j := from + 1; j <= to; j++ {
		if j < to && !s.v.Slices[j].Change {
			continue
		}
		s.close(j)
		if j < to {
			s.enter(j)
		}
	}
	return s.trace(to)
}

func newSearch(m *Model, v *view, from, to int, cost *price) *search {
	n := len(v.Slices)
	states := 24 * len(m.Labels)
	s := &search{m: m, v: v, price: cost, kinds: m.kinds(), keys: make([][24]float64, n+1), reach: make([][]int, n+1),
		ends: make([][]reading, n+1), doors: make([]*doors, n+1), best: make([]reading, states), seen: make([]int, states)}
	m.weighForeign(v, from, to)
	for i := from; i < to; i++ {
		s.reach[i] = v.keysInReach(i)
		s.keys[i+1] = s.keys[i]
		for k := range s.keys[i] {
			s.keys[i+1][k] += m.keyScore(v, i, k)
		}
	}
	s.bonus = m.mostBonus()
	s.inside = make([][12]float64, len(s.kinds))
	for md := range s.steps {
		s.steps[md] = m.stepTable(md)
	}
	for i := range s.seen {
		s.seen[i] = -1
	}
	return s
}

// stepTable lists the score of every label of a mode after every other.
func (m *Model) stepTable(md int) []float64 {
	from, to := m.span(12 * md)
	out := make([]float64, 0, (to-from)*(to-from))
	for a := from; a < to; a++ {
		for b := from; b < to; b++ {
			out = append(out, m.step(a, b))
		}
	}
	return out
}

// keysInReach lists the keys that fit the notes around slice i not much worse than the best.
func (v *view) keysInReach(i int) []int {
	var out []int
	for k := 0; k < 24; k++ {
		if v.fit[0][i][k] > -0.5 || v.fit[1][i][k] > -0.5 || v.fit[2][i][k] > -0.35 || k == v.homeKey {
			out = append(out, k)
		}
	}
	return out
}

// newDoors takes doors with every label of the keys out of reach so far.
func (s *search) newDoors(keys []int) *doors {
	var d *doors
	if n := len(s.spare); n > 0 {
		d, s.spare = s.spare[n-1], s.spare[:n-1]
	} else {
		d = &doors{score: make([]float64, len(s.best)), prev: make([]int32, len(s.best)), label: make([]float64, len(s.m.Labels))}
	}
	d.keys = append(d.keys[:0], keys...)
	return d
}

// begin allows every label at the start.
func (s *search) begin(from int) {
	d := s.newDoors(s.reach[from])
	for i := range d.score {
		d.score[i], d.prev[i] = 0, -1
	}
	s.admit(from, d)
}

// enter finds the best way into every state at boundary j.
func (s *search) enter(j int) {
	d := s.newDoors(nil)
	for _, k := range s.reach[j] {
		if !s.spread(j, k, d) {
			continue
		}
		d.keys = append(d.keys, k)
		bass := s.m.bassStep(s.v, j, k)
		from, to := s.m.span(k)
		row := d.score[s.m.state(k, from):s.m.state(k, to)]
		for i := range row {
			row[i] += bass
		}
	}
	s.admit(j, d)
}

// admit opens the doors of a boundary.
func (s *search) admit(j int, d *doors) {
	d.best = d.best[:0]
	for _, k := range d.keys {
		from, to := s.m.span(k)
		d.best = append(d.best, slices.Max(d.score[s.m.state(k, from):s.m.state(k, to)]))
	}
	for l := range d.label {
		d.label[l] = s.m.startScore(s.v, j, l)
	}
	s.doors[j] = d
	if s.open = append(s.open, j); len(s.open) > s.m.MaxSlices {
		first := s.open[0]
		s.spare = append(s.spare, s.doors[first])
		s.doors[first] = nil
		s.open = s.open[1:]
	}
}

// mostBonus bounds what a label and its inversion can add to a segment.
func (m *Model) mostBonus() float64 {
	l, inversion, label := m.lay, 0.0, math.Inf(-1)
	for f := 0; f < families; f++ {
		for r := 0; r < roles; r++ {
			onset := slices.Max(m.W[l.bassOnset.i(f, r, 0) : l.bassOnset.i(f, r, 0)+textures])
			inversion = math.Max(inversion, onset+m.W[l.bassLow.i(f, r, 0)]+math.Max(0, m.W[l.bassShare.i(f, r, 0)]))
		}
	}
	for n := range m.Labels {
		row := m.W[l.labelInv.i(n, 0, 0) : l.labelInv.i(n, 0, 0)+roles]
		places := m.W[l.labelMetric.i(n, 0, 0) : l.labelMetric.i(n, 0, 0)+3]
		label = math.Max(label, m.W[l.label.i(n, 0, 0)]+slices.Max(row)+slices.Max(places))
	}
	return inversion + label
}

// pivotReadings is how many of the best readings may lead into a new key
// through a chord common to both.
const pivotReadings = 16

// lead gathers, for a key in reach at boundary j, the best reading under each
// label of that key: a reading in the key itself, or one in another key
// whose last chord is heard anew in this one. It returns also the best reading
// that may end in another key at once.
func (s *search) lead(j, key int) (best float64, prev int) {
	m := s.m
	best, prev = math.Inf(-1), -1
	s.led = s.led[:0]
	for p, r := range s.ends[j] {
		if r.key == key {
			s.through(r.label, r.score, p)
			continue
		}
		turn := m.turn(s.v, j, r.key, key)
		if x := r.score + m.W[m.lay.exit.i(r.label, 0, 0)] + turn; x > best {
			best, prev = x, p
		}
		if p >= pivotReadings {
			continue
		}
		root := int(s.v.tonics[r.start][r.key]) + m.Labels[r.label].Root
		for _, l := range m.labelsAt(key, int(s.v.tonics[j][key]), root, m.Labels[r.label].Quality) {
			if m.Labels[l].Cadence == m.Labels[r.label].Cadence {
				s.through(l, r.score+turn+m.W[m.lay.pivot.i(l, 0, 0)], p)
			}
		}
	}
	return best, prev
}

// leading is a label as the last before a boundary, in a key in reach there.
type leading struct {
	label, prev int
	score       float64
}

// through keeps the best reading under a label.
func (s *search) through(label int, score float64, prev int) {
	for n := range s.led {
		if l := &s.led[n]; l.label == label {
			if score > l.score {
				l.score, l.prev = score, prev
			}
			return
		}
	}
	s.led = append(s.led, leading{label, prev, score})
}

// remote is how far behind the best reading a way into a key may be before it
// is given up, and with the last of them the key.
const remote = 6

// spread enters every label of a key from the labels that lead there, or at
// once; false if none of these ways comes near the best reading.
func (s *search) spread(j, key int, d *doors) bool {
	best, prev := s.lead(j, key)
	nearest := best
	for _, l := range s.led {
		nearest = max(nearest, l.score)
	}
	if len(s.ends[j]) == 0 || nearest < s.ends[j][0].score-remote {
		return false
	}
	from, to := s.m.span(key)
	n, base := to-from, s.m.state(key, from)
	rows, prevs := d.score[base:base+n], d.prev[base:base+n]
	for b := range rows {
		rows[b] = math.Inf(-1)
	}
	again := s.m.again(s.v, j)
	for _, l := range s.led {
		if l.score < s.ends[j][0].score-remote {
			continue
		}
		a := l.label - from
		steps := s.steps[mode(key)][a*n : (a+1)*n]
		if x := l.score + steps[a] + again; x > rows[a] {
			rows[a], prevs[a] = x, int32(l.prev)
		}
		for b, w := range steps {
			if x := l.score + w; b != a && x > rows[b] {
				rows[b], prevs[b] = x, int32(l.prev)
			}
		}
	}
	if prev < 0 {
		return true
	}
	for b, w := range s.m.W[s.m.lay.entry.at+from : s.m.lay.entry.at+to] {
		if x := best + w; x > rows[b] {
			rows[b], prevs[b] = x, int32(prev)
		}
	}
	return true
}

// Segments this far behind the best reading are taken as far too long; after
// so many of them in a row, no longer ones are tried.
const (
	tooFar  = 5
	tooLong = 2
)

// close scores the segments that end at boundary j, shortest first, and keeps
// the best readings.
func (s *search) close(j int) {
	t := tally{low: lowest{pc: -1}, first: -1}
	s.found, s.top = s.found[:0], math.Inf(-1)
	behind := 0
	for i := j - 1; i >= s.open[0] && behind < tooLong; i-- {
		t.extend(s.m, s.v, i, i == j-1)
		if s.doors[i] == nil {
			continue
		}
		if best := s.segment(i, j, &t); best < s.top-tooFar {
			behind++
		} else {
			behind = 0
		}
	}
	s.ends[j] = s.prune(j)
}

// segment tries all readings of slices [i, j). What cannot come near the best
// reading found so far is passed over. It returns the best score of all tried.
func (s *search) segment(i, j int, t *tally) float64 {
	top := math.Inf(-1)
	m, d := s.m, s.doors[i]
	held := m.held(s.v, i)
	tones := t.ground(&held)
	common := m.boundary(s.v, i, t.beats) + t.inner
	least := s.top - m.Width - s.bonus - common
	if s.price != nil {
		common += s.price.cut(i)
		least = math.Inf(-1)
	}
	s.pool = s.chords(i, t, &tones, least-s.bestDoor(i, j), s.pool)
	for c := range s.pool {
		ch := &s.pool[c]
		for n, k := range d.keys {
			key := s.keys[j][k] - s.keys[i][k]
			if ch.score+key+d.best[n] < least {
				continue
			}
			for _, l := range m.labelsAt(k, int(s.v.tonics[i][k]), ch.root, ch.kind.quality) {
				st := m.state(k, l)
				inv, bonus := s.inversion(i, j, ch, l)
				x := common + ch.score + key + d.score[st] + bonus + d.label[l] + m.endScore(s.v, j, l)
				if s.price != nil {
					x += s.price.of(i, j, k, l, ch)
				}
				top = max(top, x)
				s.offer(j, st, reading{x, k, l, i, inv, int(d.prev[st])})
			}
		}
	}
	return top
}

// bestDoor is the most that a key adds to slices [i, j) with the path before them.
func (s *search) bestDoor(i, j int) float64 {
	d, best := s.doors[i], math.Inf(-1)
	for n, k := range d.keys {
		best = math.Max(best, d.best[n]+s.keys[j][k]-s.keys[i][k])
	}
	return best
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
	weights := m.W[m.lay.labelInv.i(label, 0, 0):]
	for r := range ch.kind.above {
		if m.Labels[label].Cadence && r != 2 {
			continue
		}
		x := ch.inv[r] + weights[r]
		if s.price != nil {
			x += s.price.ofBass(i, j, pc(ch.root+ch.kind.above[r]))
		}
		if x > score {
			inv, score = r, x
		}
	}
	return inv, score
}

// prune keeps the best readings of those just closed, best first.
func (s *search) prune(j int) []reading {
	out := make([]reading, 0, s.m.Beam)
	for _, st := range s.found {
		if s.best[st].score >= s.top-s.m.Width && !math.IsInf(s.best[st].score, -1) {
			out = append(out, s.best[st])
		}
	}
	slices.SortFunc(out, func(a, b reading) int {
		if c := cmp.Compare(b.score, a.score); c != 0 {
			return c
		}
		return cmp.Compare(s.m.state(a.key, a.label), s.m.state(b.key, b.label))
	})
	if len(out) > s.m.Beam {
		out = append([]reading(nil), out[:s.m.Beam]...)
	}
	return out
}

// trace follows the best path back from boundary j.
func (s *search) trace(j int) []Segment {
	if len(s.ends[j]) == 0 {
		return nil
	}
	var out []Segment
	for r := 0; r >= 0; {
		x := s.ends[j][r]
		out = append(out, Segment{Start: x.start, End: j, Key: x.key, Tonic: int(s.v.tonics[x.start][x.key]), Label: x.label, Inversion: x.inv})
		r, j = x.prev, x.start
	}
	for a, b := 0, len(out)-1; a < b; a, b = a+1, b-1 {
		out[a], out[b] = out[b], out[a]
	}
	return out
}
