package decode

// adder receives the facts of a path: the index of a weight and how often it counts.
type adder func(fact int, amount float64)

// facts lists every fact of a path over a view; their weighted sum is the
// path's score. It is the training's mirror of the scoring in segment.go, and
// a test holds the two together.
func (t *tables) facts(v *view, path []Segment, add adder) {
	for n, s := range path {
		t.m.segmentFacts(v, s, add)
		if n > 0 {
			t.stepFacts(v, path[n-1], s, add)
		}
	}
}

func (m *Model) segmentFacts(v *view, s Segment, add adder) {
	l := m.lay
	t := tally{low: lowest{pc: -1}, first: -1}
	for i := s.End - 1; i >= s.Start; i-- {
		t.extend(m, v, i, i == s.End-1)
	}
	m.chordFacts(v, s, &t, add)
	k := int(v.Slices[s.Start].Metric)
	add(l.change.i(k, durationClass(t.beats), v.pace[s.Start]), 1)
	add(l.attack.i(v.attack[s.Start], 0, 0), 1)
	add(l.new.i(v.fresh[s.Start], 0, 0), 1)
	if b := v.bassMoves[s.Start]; b > 0 {
		add(l.bassMoves.i(k, v.pace[s.Start], b-1), 1)
	}
	for i := s.Start + 1; i < s.End; i++ {
		if v.change[i] {
			add(l.inside.i(int(v.Slices[i].Metric), v.pace[i], 0), 1)
			if b := v.bassMoves[i]; b > 0 {
				add(l.insideBass.i(int(v.Slices[i].Metric), v.pace[i], b-1), 1)
			}
		}
	}
	for i := s.Start; i < s.End; i++ {
		m.keyFacts(v, i, s.Key, add)
	}
	m.labelFacts(v, s, add)
}

func (m *Model) chordFacts(v *view, s Segment, t *tally, add adder) {
	l := m.lay
	lab := m.Labels[s.Label]
	q, fam, texture := lab.Quality, lab.Family, v.texture[s.Start]
	root := spelledRoot(t, pc(int(v.tonics[s.Start][s.Key])+lab.Root), lab.Tones, v.center[s.Start])
	var in [12]bool
	inside := 0.0
	for r, a := range lab.Tones {
		f := root + a
		p := pc(f)
		in[p] = true
		mass := t.mass[p]
		if mass == 0 {
			add(l.missing.i(q, r, texture), 1)
			continue
		}
		inside += mass
		add(l.tone.i(q, r, texture), mass)
		add(l.toneOnset.i(q, r, texture), t.onset[p])
		add(l.respelled.i(q, 0, 0), mass-t.exact[clampFifths(f)-fifthsMin])
	}
	add(l.quality.i(q, 0, 0), 1)
	add(l.qualityBeats.i(q, 0, 0), evidence(t.beats))
	if t.total > 0 {
		add(l.explained.i(b2i(len(lab.Tones) > 3), shareClass(inside/t.total), texture), 1)
	}
	m.foreignFacts(v, s, &in, add)
	m.bassFacts(s, t, root, fam, texture, &in, add)
}

func (m *Model) foreignFacts(v *view, s Segment, in *[12]bool, add adder) {
	l := m.lay
	for i := s.Start; i < s.End; i++ {
		for k, e := range v.entries[i] {
			if in[e.pc] {
				continue
			}
			if v.isBass(i, k) {
				add(l.foreignLow.i(v.pedal[i], v.texture[i], 0), e.mass)
			}
			add(l.foreign.i(e.kind, v.texture[i], 0), e.mass)
			add(l.foreignOnset.i(e.kind, v.texture[i], 0), e.onset)
			if e.from >= 0 && in[e.from] {
				add(l.prepared.i(e.kind, v.texture[i], 0), e.mass)
			}
			if e.to >= 0 && in[e.to] {
				add(l.resolved.i(e.kind, v.texture[i], 0), e.mass)
			}
			if n := v.Notes[e.note]; i == s.Start && i > 0 && n.Start < i {
				add(l.heldOn.i(int(n.Departure), 0, 0), 1)
			}
		}
	}
}

func (m *Model) bassFacts(s Segment, t *tally, root, fam, texture int, in *[12]bool, add adder) {
	l := m.lay
	if t.first >= 0 && !in[t.first] {
		add(l.bassForeign.i(fam, texture, t.pedal), 1)
	}
	lab := m.Labels[s.Label]
	add(l.labelInv.i(s.Label, s.Inversion, 0), 1)
	p := pc(root + lab.Tones[s.Inversion])
	if t.mass[p] == 0 {
		return
	}
	if p == t.first {
		add(l.bassOnset.i(fam, s.Inversion, texture), 1)
	}
	if p == t.low.pc {
		add(l.bassLow.i(fam, s.Inversion, 0), 1)
	}
	if t.sounded > 0 {
		add(l.bassShare.i(fam, s.Inversion, 0), t.bass[p]/t.sounded)
	}
}

func (m *Model) keyFacts(v *view, i, key int, add adder) {
	l, md, tonic := m.lay, mode(key), int(v.tonics[i][key])
	for _, e := range v.entries[i] {
		at := profileIndex(e.fifths - tonic)
		add(l.profile.i(md, at, 0), e.mass)
		if e.steps && e.onset > 0 {
			add(l.melody.i(md, at, profileIndex(e.next-tonic)), e.mass)
		}
	}
	w := v.mass[i]
	if len(v.entries[i]) > 0 {
		add(l.bassProfile.i(md, profileIndex(v.entries[i][0].fifths-tonic), 0), w)
	}
	for r := range reaches {
		add(l.window.i(md, r, 0), w*v.fitAt(r, i)[key])
	}
	if v.Signature {
		add(l.signature.i(md, signatureOffset(key, v.Slices[i].Signature)+7, 0), w)
	}
	if g := v.goal[i]; g.pc >= 0 && g.distance < distances {
		add(l.goal.i(md, g.distance, mod12(g.pc-key)), w)
	}
	if o := v.origin[i]; o.pc >= 0 && o.distance < distances {
		add(l.origin.i(md, o.distance, mod12(o.pc-key)), w)
	}
	add(l.home.i(mode(v.homeKey), md, mod12(key-v.homeKey)), w)
}

func (m *Model) labelFacts(v *view, s Segment, add adder) {
	l, n := m.lay, len(v.Slices)
	add(l.label.i(s.Label, 0, 0), 1)
	add(l.labelMetric.i(s.Label, metricClass(v.Slices[s.Start].Metric), 0), 1)
	if v.Slices[s.Start].Phrase {
		add(l.phraseStart.i(s.Label, 0, 0), 1)
	}
	if s.End == n || v.Slices[s.End].Phrase {
		add(l.phraseEnd.i(s.Label, 0, 0), 1)
	}
	if s.Start == 0 {
		add(l.first.i(s.Label, 0, 0), 1)
	}
	if s.End == n {
		add(l.last.i(s.Label, 0, 0), 1)
	}
}

// stepFacts lists the facts of one segment after another; of the ways into a
// new key, the one the weights like best.
func (t *tables) stepFacts(v *view, a, b Segment, add adder) {
	m, l := t.m, t.m.lay
	i := b.Start
	x, y := v.bassDegrees(i, b.Key)
	add(l.bassMotion.i(mode(b.Key), x, y), 1)
	if a.Key == b.Key {
		m.followFacts(v, i, a.Label, b.Label, add)
		return
	}
	add(l.keyChange.i(mode(a.Key), mode(b.Key), mod12(b.Key-a.Key)), 1)
	add(l.keyMetric.i(int(v.Slices[i].Metric), 0, 0), 1)
	if v.Slices[i].Phrase {
		add(l.keyRest.i(0, 0, 0), 1)
	}
	heard := t.bestPivot(v, a, b)
	if heard < 0 {
		add(l.exit.i(a.Label, 0, 0), 1)
		add(l.entry.i(b.Label, 0, 0), 1)
		return
	}
	add(l.pivot.i(heard, 0, 0), 1)
	m.followFacts(v, i, heard, b.Label, add)
}

func (m *Model) followFacts(v *view, i, a, b int, add adder) {
	la, lb := &m.Labels[a], &m.Labels[b]
	add(m.lay.next.i(a, b, 0), 1)
	add(m.lay.rootMotion.i(pc(lb.Root-la.Root), la.Family, lb.Family), 1)
	if a == b {
		add(m.lay.again.i(metricClass(v.Slices[i].Metric), v.pace[i], 0), 1)
	}
}

// bestPivot is the label under which a is best heard in b's key, or -1 if the
// new key is better entered at once.
func (t *tables) bestPivot(v *view, a, b Segment) int {
	m := t.m
	best, at := m.W[m.lay.exit.i(a.Label, 0, 0)]+m.W[m.lay.entry.i(b.Label, 0, 0)], -1
	root := int(v.tonics[a.Start][a.Key]) + m.Labels[a.Label].Root
	for _, h := range m.labelsAt(b.Key, int(v.tonics[b.Start][b.Key]), root, m.Labels[a.Label].Quality) {
		if m.Labels[h].Cadence != m.Labels[a.Label].Cadence {
			continue
		}
		if x := m.W[m.lay.pivot.i(h, 0, 0)] + t.follow(v, b.Start, h, b.Label); x > best {
			best, at = x, h
		}
	}
	return at
}
