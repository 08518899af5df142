package decode

import "math/bits"

// tally sums what sounds in a segment; it grows leftward, one slice at a time.
type tally struct {
	exact   [fifthsRange]float64 // evidence by spelled pitch class
	mass    [12]float64          // the same by pitch class
	onset   [12]float64          // evidence of notes struck
	foreign [12]float64          // weight of the notes if they are out of the chord
	near    [12]float64          // weight of the notes out of the chord that stand next to this tone of it
	pair    [12][12]float64      // what near counts too much if both are in the chord
	bass    [12]float64          // evidence by lowest pitch class
	total   float64              // all evidence
	sounded float64              // evidence of the slices that sound
	beats   float64
	low     lowest  // lowest tone of all
	first   int     // pitch class of the lowest tone at the start, -1 if all is silent
	pedal   int     // class of how long that tone stays the lowest
	inner   float64 // weight of the places the segment runs over
}

// extend adds slice i at the left of a segment that started at i+1.
func (t *tally) extend(m *Model, v *view, i int, empty bool) {
	l := m.lay
	if !empty && v.change[i+1] {
		k := int(v.Slices[i+1].Metric)
		t.inner += m.W[l.inside.i(k, v.pace[i+1], 0)]
		if b := v.bassMoves[i+1]; b > 0 {
			t.inner += m.W[l.insideBass.i(k, v.pace[i+1], b-1)]
		}
	}
	t.beats += v.Slices[i].Beats
	for n := range v.entries[i] {
		e := &v.entries[i][n]
		t.exact[e.fifths-fifthsMin] += e.mass
		t.mass[e.pc] += e.mass
		t.onset[e.pc] += e.onset
		t.total += e.mass
		t.foreign[e.pc] += e.foreign
		if e.from >= 0 {
			t.beside(e.pc, e.from, e.prepared)
		}
		if e.to >= 0 {
			t.beside(e.pc, e.to, e.resolved)
		}
	}
	if len(v.entries[i]) > 0 {
		t.bass[v.low[i].pc] += v.mass[i]
		t.sounded += v.mass[i]
		if t.low.pc < 0 || v.low[i].midi <= t.low.midi {
			t.low = v.low[i]
		}
		t.first, t.pedal = v.low[i].pc, v.pedal[i]
	}
}

// weighForeign gives every note of slices [from, to) its weights for being out of the chord.
func (m *Model) weighForeign(v *view, from, to int) {
	l := m.lay
	for i := from; i < to; i++ {
		x := v.texture[i]
		for n := range v.entries[i] {
			e := &v.entries[i][n]
			e.foreign = m.W[l.foreign.i(e.kind, x, 0)]*e.mass + m.W[l.foreignOnset.i(e.kind, x, 0)]*e.onset
			if v.isBass(i, n) {
				e.foreign += m.W[l.foreignLow.i(v.pedal[i], x, 0)] * e.mass
			}
			e.prepared = m.W[l.prepared.i(e.kind, x, 0)] * e.mass
			e.resolved = m.W[l.resolved.i(e.kind, x, 0)] * e.mass
		}
	}
}

// beside weighs a note, if it is out of the chord, by a neighbour that is in it.
func (t *tally) beside(pc, neighbour int, w float64) {
	t.near[neighbour] += w
	t.pair[pc][neighbour] += w
	t.pair[neighbour][pc] += w
}

// held is the weight, by pitch class, of tones held over from before slice i,
// if they are out of the chord.
func (m *Model) held(v *view, i int) (out [12]float64) {
	if i == 0 {
		return out
	}
	for _, e := range v.entries[i] {
		if n := v.Notes[e.note]; n.Start < i {
			out[e.pc] += m.W[m.lay.heldOn.i(int(n.Departure), 0, 0)]
		}
	}
	return out
}

// chord is one reading of a segment's tones.
type chord struct {
	root  int // spelled
	kind  *kind
	score float64
	inv   [roles]float64 // score of each inversion
}

// kind is a quality with its weights gathered for speed.
type kind struct {
	quality, family           int
	above                     []int
	pcs                       [roles]int // tones above the root in semitones
	tone, onset, absent       [textures][roles]float64
	bassForeign               [textures][pedals]float64
	bassOnset                 [textures][roles]float64
	bassLow, bassShare        [roles]float64
	respelled, fixed, perBeat float64
	explained                 [textures][shares]float64
	masks                     [12]uint16 // pitch classes of the chord on each root
}

// kinds gathers the weights of all qualities in use.
func (m *Model) kinds() []kind {
	l := m.lay
	var out []kind
	for q, above := range m.above {
		if above == nil {
			continue
		}
		k := kind{quality: q, family: m.family[q], above: above, respelled: m.W[l.respelled.i(q, 0, 0)],
			fixed: m.W[l.quality.i(q, 0, 0)], perBeat: m.W[l.qualityBeats.i(q, 0, 0)]}
		for x := range k.explained {
			for c := range pedals {
				k.bassForeign[x][c] = m.W[l.bassForeign.i(m.family[q], x, c)]
			}
			for c := range k.explained[x] {
				k.explained[x][c] = m.W[l.explained.i(b2i(len(above) > 3), c, x)]
			}
		}
		for r, a := range above {
			k.pcs[r] = pc(a)
			k.bassLow[r], k.bassShare[r] = m.W[l.bassLow.i(k.family, r, 0)], m.W[l.bassShare.i(k.family, r, 0)]
			for x := range k.tone {
				k.bassOnset[x][r] = m.W[l.bassOnset.i(k.family, r, x)]
				k.tone[x][r], k.onset[x][r], k.absent[x][r] = m.W[l.tone.i(q, r, x)], m.W[l.toneOnset.i(q, r, x)], m.W[l.missing.i(q, r, x)]
			}
			for root := range k.masks {
				k.masks[root] |= 1 << mod12(root+pc(a))
			}
		}
		out = append(out, k)
	}
	return out
}

// ground is what a segment's tones say before any chord is tried.
type ground struct {
	inside [12]float64 // what each pitch class adds if it is in the chord
	base   float64     // what all add if none is
	mask   uint16      // pitch classes that sound
}

// ground gathers the tones of a segment.
func (t *tally) ground(held *[12]float64) ground {
	var g ground
	for p := range t.mass {
		if t.mass[p] > 0 {
			g.mask |= 1 << p
			against := t.foreign[p] + held[p]
			g.base += against
			g.inside[p] = -against
		}
		g.inside[p] += t.near[p]
	}
	return g
}

// candidate is a kind of chord on a root.
type candidate struct{ kind, root uint8 }

// candidates lists the chords that have enough of their tones in a set of pitch
// classes: two, three for a seventh chord, or all that sound.
func (s *search) candidates(sounding uint16) []candidate {
	if s.tried[sounding] == nil {
		list := make([]candidate, 0, 16)
		for q := range s.kinds {
			k := &s.kinds[q]
			need := min(len(k.above)-1, bits.OnesCount16(sounding))
			for root, mask := range k.masks {
				if bits.OnesCount16(sounding&mask) >= need {
					list = append(list, candidate{uint8(q), uint8(root)})
				}
			}
		}
		s.tried[sounding] = list
	}
	return s.tried[sounding]
}

// chords scores every chord that has enough of its tones in the segment and
// enough of its evidence, and returns the best few that score at least least,
// best first.
func (s *search) chords(i int, t *tally, g *ground, least float64, out []chord) []chord {
	out = out[:0]
	list := s.candidates(g.mask)
	enough := s.weigh(t, list)
	beats, texture := evidence(t.beats), s.v.texture[i]
	for c, inside := range s.inside {
		if inside < enough {
			continue
		}
		k, root := &s.kinds[list[c].kind], int(list[c].root)
		score := g.base + k.fixed + k.perBeat*beats + k.score(t, g, root, texture, inside)
		if score < least || len(out) == s.limit && score <= out[len(out)-1].score {
			continue
		}
		spelled := spelledRoot(t, root, k.above, s.v.center[i])
		score += s.m.respelling(t, spelled, k)
		out = keepBest(out, chord{root: spelled, kind: k, score: score}, s.limit)
	}
	for c := range out {
		out[c].invert(t, texture)
	}
	return out
}

// weigh sums the evidence of every candidate's tones and returns how much of it
// a chord must have.
func (s *search) weigh(t *tally, list []candidate) float64 {
	var mass [24]float64
	copy(mass[:12], t.mass[:])
	copy(mass[12:], t.mass[:])
	s.inside = s.inside[:0]
	most := 0.0
	for _, c := range list {
		k := &s.kinds[c.kind]
		x := 0.0
		for _, p := range k.pcs[:len(k.above)] {
			x += mass[int(c.root)+p]
		}
		s.inside = append(s.inside, x)
		most = max(most, x)
	}
	return s.worthwhile * most
}

// keepBest inserts c into a list of the best chords, best first.
func keepBest(list []chord, c chord, limit int) []chord {
	at := len(list)
	for at > 0 && list[at-1].score < c.score {
		at--
	}
	if at == limit {
		return list
	}
	if len(list) < limit {
		list = append(list, c)
	}
	copy(list[at+1:], list[at:])
	list[at] = c
	return list
}

// score is the score of a chord of this kind on the tally, apart from its
// spelling and from what all chords of its kind share; inside is the evidence
// of its tones.
func (k *kind) score(t *tally, g *ground, root, texture int, inside float64) float64 {
	x := 0.0
	var tones [roles]int
	tone, onset, absent := &k.tone[texture], &k.onset[texture], &k.absent[texture]
	for r := range k.above {
		p := root + k.pcs[r]
		if p >= 12 {
			p -= 12
		}
		tones[r] = p
		x += g.inside[p]
		for _, q := range tones[:r] {
			x -= t.pair[p][q]
		}
		if mass := t.mass[p]; mass > 0 {
			x += tone[r]*mass + onset[r]*t.onset[p]
		} else {
			x += absent[r]
		}
	}
	if t.first >= 0 && k.masks[root]&(1<<t.first) == 0 {
		x += k.bassForeign[texture][t.pedal]
	}
	if t.total > 0 {
		x += k.explained[texture][shareClass(inside/t.total)]
	}
	return x
}

// invert scores the inversions of a chord by what the bass does.
func (c *chord) invert(t *tally, texture int) {
	k := c.kind
	for r, p := range k.pcs[:len(k.above)] {
		if p = mod12(pc(c.root) + p); t.mass[p] == 0 {
			continue
		}
		if p == t.first {
			c.inv[r] += k.bassOnset[texture][r]
		}
		if p == t.low.pc {
			c.inv[r] += k.bassLow[r]
		}
		if t.bass[p] > 0 {
			c.inv[r] += k.bassShare[r] * t.bass[p] / t.sounded
		}
	}
}

// spelledRoot spells a root of that pitch class as the notes spell the chord;
// among equals, near the centre of the spelling around it.
func spelledRoot(t *tally, root int, above []int, center int) int {
	f := mod12(7*root-center+9) + center - 9 // from center-9 to center+2
	low, high := t.spelledAs(f, above), t.spelledAs(f+12, above)
	if high > low || high == low && f+12-center < center-f {
		return f + 12
	}
	return f
}

// spelledAs is the evidence of tones spelled as this chord spells them.
func (t *tally) spelledAs(root int, above []int) float64 {
	sum := 0.0
	for _, a := range above {
		sum += t.exact[clampFifths(root+a)-fifthsMin]
	}
	return sum
}

// respelling weighs the chord's tones that are spelled otherwise.
func (m *Model) respelling(t *tally, root int, k *kind) float64 {
	other := -t.spelledAs(root, k.above)
	for _, a := range k.above {
		other += t.mass[pc(root+a)]
	}
	return k.respelled * other
}

// boundary is the score of a chord change at slice i into a segment of that many beats.
func (m *Model) boundary(v *view, i int, beats float64) float64 {
	l, k := m.lay, int(v.Slices[i].Metric)
	s := m.W[l.change.i(k, durationClass(beats), v.pace[i])] + m.W[l.attack.i(v.attack[i], 0, 0)] + m.W[l.new.i(v.fresh[i], 0, 0)]
	if b := v.bassMoves[i]; b > 0 {
		s += m.W[l.bassMoves.i(k, v.pace[i], b-1)]
	}
	return s
}

// profileIndex keeps a distance from the tonic inside the profile's table.
func profileIndex(above int) int {
	for above < profileMin {
		above += 12
	}
	for above >= profileMin+profileLen {
		above -= 12
	}
	return above - profileMin
}

// labelScore is the score of a label on slices [i, j), its inversion apart.
func (m *Model) labelScore(v *view, i, j, label int) float64 {
	return m.startScore(v, i, label) + m.endScore(v, j, label)
}

func (m *Model) startScore(v *view, i, label int) float64 {
	l := m.lay
	s := m.W[l.label.i(label, 0, 0)] + m.W[l.labelMetric.i(label, metricClass(v.Slices[i].Metric), 0)]
	if v.Slices[i].Phrase {
		s += m.W[l.phraseStart.i(label, 0, 0)]
	}
	if i == 0 {
		s += m.W[l.first.i(label, 0, 0)]
	}
	return s
}

// phraseEnds tells whether a phrase ends before slice j.
func (v *view) phraseEnds(j int) bool { return j == len(v.Slices) || v.Slices[j].Phrase }

func (m *Model) endScore(v *view, j, label int) float64 {
	s := 0.0
	if v.phraseEnds(j) {
		s += m.W[m.lay.phraseEnd.i(label, 0, 0)]
	}
	if j == len(v.Slices) {
		s += m.W[m.lay.last.i(label, 0, 0)]
	}
	return s
}

// bassStep is the score of the bass's step at boundary i, heard in a key.
func (m *Model) bassStep(v *view, i, key int) float64 {
	if i == 0 {
		return 0
	}
	a, b := v.bassDegrees(i, key)
	return m.W[m.lay.bassMotion.i(mode(key), a, b)]
}

func (v *view) bassDegrees(i, key int) (from, to int) {
	from, to = 12, 12
	if p := v.low[i-1].pc; p >= 0 {
		from = mod12(p - key)
	}
	if p := v.low[i].pc; p >= 0 {
		to = mod12(p - key)
	}
	return from, to
}

// again is the score of a label struck anew at boundary i.
func (m *Model) again(v *view, i int) float64 {
	return m.W[m.lay.again.i(metricClass(v.Slices[i].Metric), v.pace[i], 0)]
}

// turnHere is the score of any change of key at boundary i.
func (m *Model) turnHere(v *view, i int) float64 {
	s := m.W[m.lay.keyMetric.i(int(v.Slices[i].Metric), 0, 0)]
	if v.Slices[i].Phrase {
		s += m.W[m.lay.keyRest.i(0, 0, 0)]
	}
	return s
}
