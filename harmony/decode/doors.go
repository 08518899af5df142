package decode

import "math"

// doors are the ways into every label of the keys in reach at a boundary.
type doors struct {
	keys  []way
	label []float64   // what each label adds where it starts here
	own   []float64   // the same, where it is not as everywhere
	held  [12]float64 // what tones held over from before add if they are out of the chord
	again float64     // what the same label once more adds
}

// way is how a key is entered at a boundary.
type way struct {
	key   int
	tonic int        // as spelled there
	led   []leading  // through a label of the key itself
	in    []entrance // by label of the mode
	best  float64    // best reading that may end in another key at once
	prev  int        // that reading, -1 if there is none
	bass  float64    // what the bass's step adds
	bound float64    // the most that any label of the key can have
	run   float64    // what the slices of the segment being tried say for the key
}

// entrance is the best way into a label, and the reading it comes from.
type entrance struct {
	score float64
	prev  int32 // -1 if there is none, unknown as long as nobody has asked
}

const unknown = -2

// newDoors takes doors that lead nowhere so far.
func (s *search) newDoors() *doors {
	var d *doors
	if n := len(s.spare); n > 0 {
		d, s.spare = s.spare[n-1], s.spare[:n-1]
	} else {
		d = new(doors)
	}
	d.keys = d.keys[:0]
	return d
}

// begin allows every label at the start.
func (s *search) begin(from int) {
	d := s.newDoors()
	for keys := s.reach[from]; keys != 0; {
		w := s.next(d, keys.next())
		s.unask(w)
		for l := range w.in {
			w.in[l].prev = -1
		}
	}
	s.admit(from, d)
}

// enter finds the ways into every key at boundary j.
func (s *search) enter(j int) {
	d := s.newDoors()
	d.again = s.m.again(s.v, j)
	for keys := s.reach[j]; keys != 0; {
		k := keys.next()
		w := s.next(d, k)
		if !s.lead(j, w, d.again) {
			d.keys = d.keys[:len(d.keys)-1]
			continue
		}
		s.unask(w)
		w.bass = s.m.bassStep(s.v, j, k)
		w.bound += w.bass
	}
	s.admit(j, d)
}

// next adds an empty way into a key, in the room of an earlier one if there is any.
func (s *search) next(d *doors, key int) *way {
	n := len(d.keys)
	if n < cap(d.keys) {
		d.keys = d.keys[:n+1]
	} else {
		d.keys = append(d.keys, way{})
	}
	w := &d.keys[n]
	*w = way{key: key, led: w.led[:0], in: w.in[:0], prev: -1}
	return w
}

// unask readies a way for the labels of its key.
func (s *search) unask(w *way) {
	from, to := s.m.span(w.key)
	w.in = append(w.in[:0], s.unasked[:to-from]...)
}

// admit opens the doors of a boundary.
func (s *search) admit(j int, d *doors) {
	d.label = s.starts[metricClass(s.v.Slices[j].Metric)]
	if j == 0 || s.v.Slices[j].Phrase {
		d.own = d.own[:0]
		for l := range s.m.Labels {
			d.own = append(d.own, s.m.startScore(s.v, j, l))
		}
		d.label = d.own
	}
	for n := range d.keys {
		d.keys[n].tonic = int(s.v.tonics[j][d.keys[n].key])
	}
	d.held = s.m.held(s.v, j)
	s.doors[j] = d
	if s.open = append(s.open, j); len(s.open) > s.slices {
		first := s.open[0]
		s.spare = append(s.spare, s.doors[first])
		s.doors[first] = nil
		s.open = s.open[1:]
	}
}

// pivotReadings is how many of the best readings may lead into a new key
// through a chord common to both.
const pivotReadings = 16

// leading is a label as the last before a boundary, in a key in reach there.
type leading struct {
	label, prev int
	score       float64
}

// lead gathers, for a key in reach at boundary j, the best reading under each
// label of that key: a reading in the key itself, or one in another key
// whose last chord is heard anew in this one; and the best reading that may end
// in another key at once. It returns false if none comes near the best reading.
func (s *search) lead(j int, w *way, again float64) bool {
	m := s.m
	w.best = math.Inf(-1)
	here := m.turnHere(s.v, j)
	for p := range s.ends[j] {
		r := &s.ends[j][p]
		key, label := int(r.key), int(r.label)
		if key == w.key {
			w.through(label, r.score, p)
			continue
		}
		turn := s.turns[key][w.key] + here
		if x := r.score + m.W[m.lay.exit.i(label, 0, 0)] + turn; x > w.best {
			w.best, w.prev = x, p
		}
		if p >= pivotReadings {
			continue
		}
		root := int(s.v.tonics[r.start][key]) + m.Labels[label].Root
		for _, l := range m.labelsAt(w.key, int(s.v.tonics[j][w.key]), root, m.Labels[label].Quality) {
			if m.Labels[l].Cadence == m.Labels[label].Cadence {
				w.through(l, r.score+turn+m.W[m.lay.pivot.i(l, 0, 0)], p)
			}
		}
	}
	if len(s.ends[j]) == 0 {
		return false
	}
	least := s.ends[j][0].score - s.remote
	w.bound = w.best + s.enters[mode(w.key)]
	near := w.led[:0]
	for _, l := range w.led {
		if l.score >= least {
			near = append(near, l)
			w.bound = max(w.bound, l.score+s.onward[l.label]+max(0, again))
		}
	}
	w.led = near
	return len(near) > 0 || w.best >= least
}

// through keeps the best reading under a label.
func (w *way) through(label int, score float64, prev int) {
	for n := range w.led {
		if l := &w.led[n]; l.label == label {
			if score > l.score {
				l.score, l.prev = score, prev
			}
			return
		}
	}
	w.led = append(w.led, leading{label, prev, score})
}

// way is the best way into a label of a key, and the reading it comes from.
func (s *search) way(d *doors, w *way, label int) (score float64, prev int) {
	from, to := s.m.span(w.key)
	in := &w.in[label-from]
	if in.prev != unknown {
		return in.score, int(in.prev)
	}
	steps := s.steps[mode(w.key)][(label-from)*(to-from) : (label-from+1)*(to-from)]
	score, prev = math.Inf(-1), -1
	for _, l := range w.led {
		x := l.score + steps[l.label-from]
		if l.label == label {
			x += d.again
		}
		if x > score {
			score, prev = x, l.prev
		}
	}
	if w.prev >= 0 {
		if x := w.best + s.m.W[s.m.lay.entry.i(label, 0, 0)]; x > score {
			score, prev = x, w.prev
		}
	}
	score += w.bass
	*in = entrance{score, int32(prev)}
	return score, prev
}

// alone is what a key costs that holds nothing but the last chord of the piece
// and comes from no dominant: such a chord does not establish a key, however
// final it sounds.
const alone = 8

// stranded tells whether the last chord, in key last, would stand alone in it
// after a chord of another key.
func (m *Model) stranded(key, label, last int) bool {
	l := &m.Labels[label]
	switch mod12(key + pc(l.Root) - last) {
	case 7:
		return false // it comes from its fifth degree
	case 11:
		return key != last && pc(l.Tones[2]) != 6 // or from its leading tone, diminished
	}
	return key != last
}

// last is the best way into the last chord of the piece, which starts at boundary i.
func (s *search) last(i int, d *doors, w *way, label int) (score float64, prev int) {
	score, prev = s.way(d, w, label)
	if prev < 0 || !s.m.stranded(int(s.ends[i][prev].key), int(s.ends[i][prev].label), w.key) {
		return score, prev
	}
	score -= alone
	for p := range s.ends[i] {
		r := &s.ends[i][p]
		if int(r.key) != w.key {
			continue
		}
		if x := r.score + s.follow(s.v, i, int(r.label), label) + w.bass; x > score {
			score, prev = x, p
		}
	}
	return score, prev
}
