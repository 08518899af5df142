package decode

import (
	"math"
	"sort"
)

// how a segment was entered from the one before it.
type entering uint8

const (
	inKey  entering = iota // the same key goes on
	pivots                 // the chord before is heard anew in the new key
	breaks                 // the new key starts at once
)

// reading is a segment that ends at some boundary, as the end of a best path.
type reading struct {
	score      float64
	key, label int
	start, inv int
	prev       int // index among the readings that end at start, -1 at the beginning
	how        entering
	heard      int // with pivots: the label the chord before has in the new key
}

// door is the best way into a label at a boundary.
type door struct {
	score float64
	prev  int
	how   entering
	heard int
}

// price is what a reading of some slices costs in training; nil in use.
type price struct {
	key   [][24]float64 // running sums by slice
	chord [][12][MaxQuality]float64
	bass  [][12]float64
	deg   [][]float64 // by slice and label of the right key
	cut   []float64   // by boundary: reward for a wrong boundary
}

// search is one run of the decoder.
type search struct {
	m      *Model
	v      *view
	price  *price
	keys   [][24]float64 // running sums of keyScore
	ends   [][]reading   // by boundary
	doors  [][]door      // by boundary, of all states; nil when out of reach
	cut    []bool        // boundaries at which a chord may change
	best   []reading     // best reading ending here, by state
	seen   []int         // boundary at which best was last set, by state
	states []int
	pool   []chord
}

// state numbers a label in a key.
func (m *Model) state(key, label int) int { return key*len(m.Labels) + label }

// Decode returns the best reading of the piece, segments touching, in order.
func (m *Model) Decode(p *Piece) []Segment {
	return m.run(newView(p), 0, len(p.Slices), nil)
}

// run decodes slices [from, to).
func (m *Model) run(v *view, from, to int, cost *price) []Segment {
	if to <= from {
		return nil
	}
	s := newSearch(m, v, cost)
	s.open(from)
	for j := from + 1; j <= to; j++ {
		if j < to && !s.cut[j] {
			continue
		}
		s.close(from, j)
		if j < to {
			s.enter(j)
		}
	}
	return s.trace(to)
}

func newSearch(m *Model, v *view, cost *price) *search {
	n := len(v.Slices)
	states := 24 * len(m.Labels)
	s := &search{m: m, v: v, price: cost, keys: make([][24]float64, n+1), ends: make([][]reading, n+1),
		doors: make([][]door, n+1), cut: make([]bool, n+1), best: make([]reading, states), seen: make([]int, states)}
	for i := range v.Slices {
		s.cut[i] = i == 0 || v.Slices[i].Onset
		s.keys[i+1] = s.keys[i]
		for k := range s.keys[i] {
			s.keys[i+1][k] += m.keyScore(v, i, k)
		}
	}
	for i := range s.seen {
		s.seen[i] = -1
	}
	return s
}

// open allows every label at the start.
func (s *search) open(from int) {
	s.doors[from] = make([]door, len(s.best))
	for i := range s.doors[from] {
		s.doors[from][i] = door{prev: -1}
	}
}

// enter finds the best way into every state at boundary j.
func (s *search) enter(j int) {
	m := s.m
	doors := make([]door, len(s.best))
	for i := range doors {
		doors[i].score = math.Inf(-1)
	}
	s.stay(j, doors)
	s.leave(j, doors)
	var bass [24]float64
	for k := range bass {
		bass[k] = m.bassStep(s.v, j, k)
	}
	for i := range doors {
		doors[i].score += bass[i/len(m.Labels)]
	}
	s.doors[j] = doors
}

// stay goes on in the same key.
func (s *search) stay(j int, doors []door) {
	for p, r := range s.ends[j] {
		s.spread(r.score, door{prev: p, how: inKey}, r.key, r.label, doors)
	}
}

// spread enters every label of a key after a label of that key.
func (s *search) spread(score float64, d door, key, label int, doors []door) {
	m := s.m
	list := m.major
	if mode(key) == 1 {
		list = m.minor
	}
	base := m.state(key, 0)
	for _, b := range list {
		if x := score + m.step(label, b); x > doors[base+b].score {
			d.score = x
			doors[base+b] = d
		}
	}
}

// leave changes the key, through a chord common to both or at once.
func (s *search) leave(j int, doors []door) {
	m := s.m
	type heard struct {
		score float64
		prev  int
	}
	var breaking [24]door
	for k := range breaking {
		breaking[k].score = math.Inf(-1)
	}
	common := map[int]heard{}
	for p, r := range s.ends[j] {
		out := r.score + m.W[m.lay.exit.i(r.label, 0, 0)]
		root := int(s.v.tonics[r.start][r.key]) + m.Labels[r.label].Root
		for k := 0; k < 24; k++ {
			if k == r.key {
				continue
			}
			turn := m.turn(s.v, j, r.key, k)
			if x := out + turn; x > breaking[k].score {
				breaking[k] = door{score: x, prev: p, how: breaks}
			}
			for _, l := range m.labelsAt(k, int(s.v.tonics[j][k]), root, m.Labels[r.label].Quality) {
				if m.Labels[l].Cadence != m.Labels[r.label].Cadence {
					continue
				}
				x := r.score + turn + m.W[m.lay.pivot.i(l, 0, 0)]
				if h, ok := common[m.state(k, l)]; !ok || x > h.score {
					common[m.state(k, l)] = heard{x, p}
				}
			}
		}
	}
	for k, d := range breaking {
		s.begin(d, k, doors)
	}
	for _, st := range sortedKeys(common) {
		h := common[st]
		k, l := st/len(m.Labels), st%len(m.Labels)
		s.spread(h.score, door{prev: h.prev, how: pivots, heard: l}, k, l, doors)
	}
}

func sortedKeys[T any](m map[int]T) []int {
	out := make([]int, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Ints(out)
	return out
}

// begin enters every label of a new key at once.
func (s *search) begin(d door, key int, doors []door) {
	m := s.m
	list := m.major
	if mode(key) == 1 {
		list = m.minor
	}
	base := m.state(key, 0)
	for _, b := range list {
		if x := d.score + m.W[m.lay.entry.i(b, 0, 0)]; x > doors[base+b].score {
			e := d
			e.score = x
			doors[base+b] = e
		}
	}
}

// close scores every segment that ends at boundary j and keeps the best readings.
func (s *search) close(from, j int) {
	t := tally{low: lowest{pc: -1}, first: -1}
	s.states = s.states[:0]
	cuts := 0
	for i := j - 1; i >= from; i-- {
		t.extend(s.m, s.v, i, i == j-1)
		if s.doors[i] == nil {
			continue
		}
		if cuts++; cuts > s.m.MaxSlices {
			s.doors[i] = nil
			break
		}
		s.segment(i, j, &t)
	}
	s.ends[j] = s.prune(j)
}

// segment tries all readings of slices [i, j).
func (s *search) segment(i, j int, t *tally) {
	m := s.m
	held := m.held(s.v, i)
	s.pool = m.chords(s.v, i, t, &held, s.pool)
	common := m.boundary(s.v, i, t.beats) + t.inner
	if s.price != nil {
		common += s.price.cut[i]
	}
	doors := s.doors[i]
	for c := range s.pool {
		ch := &s.pool[c]
		for k := 0; k < 24; k++ {
			labels := m.labelsAt(k, int(s.v.tonics[i][k]), ch.root, ch.quality)
			for _, l := range labels {
				st := m.state(k, l)
				if math.IsInf(doors[st].score, -1) {
					continue
				}
				inv, bonus := s.inversion(i, j, ch, l)
				x := doors[st].score + common + ch.score + bonus + s.keys[j][k] - s.keys[i][k] + m.labelScore(s.v, i, j, l) + s.extra(i, j, k, l, ch)
				if s.seen[st] != j {
					s.seen[st] = j
					s.best[st].score = math.Inf(-1)
					s.states = append(s.states, st)
				}
				if x > s.best[st].score {
					d := doors[st]
					s.best[st] = reading{x, k, l, i, inv, d.prev, d.how, d.heard}
				}
			}
		}
	}
}

// inversion picks the best inversion of a chord under a label.
func (s *search) inversion(i, j int, ch *chord, label int) (inv int, score float64) {
	m := s.m
	score = math.Inf(-1)
	for r := range m.above[ch.quality] {
		if m.Labels[label].Cadence && r != 2 {
			continue
		}
		x := ch.inv[r] + m.W[m.lay.labelInv.i(label, r, 0)]
		if s.price != nil {
			p := pc(ch.root + m.above[ch.quality][r])
			x += s.price.bass[j][p] - s.price.bass[i][p]
		}
		if x > score {
			inv, score = r, x
		}
	}
	return inv, score
}

// extra is the training price of a reading.
func (s *search) extra(i, j, key, label int, ch *chord) float64 {
	if s.price == nil {
		return 0
	}
	p := s.price
	root := pc(ch.root)
	return p.key[j][key] - p.key[i][key] + p.chord[j][root][ch.quality] - p.chord[i][root][ch.quality] +
		p.deg[j][label] - p.deg[i][label]
}

// prune keeps the best readings of those just closed.
func (s *search) prune(j int) []reading {
	out := make([]reading, 0, len(s.states))
	for _, st := range s.states {
		out = append(out, s.best[st])
	}
	sort.Slice(out, func(a, b int) bool {
		if out[a].score != out[b].score {
			return out[a].score > out[b].score
		}
		return s.m.state(out[a].key, out[a].label) < s.m.state(out[b].key, out[b].label)
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
