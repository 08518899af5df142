package decode

// joinBroken makes one chord of two that a single line breaks over a bass that
// stays, if one has all the tones of the other: the ear waits for the tone struck
// last, and hears the one struck first sound on. Common practice, no source.
func (s *search) joinBroken(path []Segment) []Segment {
	out := path[:0]
	for _, g := range path {
		if n := len(out) - 1; n >= 0 {
			if one, ok := s.oneChord(out[n], g); ok {
				out[n] = one
				continue
			}
		}
		out = append(out, g)
	}
	return out
}

// oneChord is the fuller of two neighbouring segments over the time of both, if
// a single line breaks it within a measure: both are in one key and over one bass,
// and one has all the tones of the other, the second one no tone more that does
// not come by leap.
func (s *search) oneChord(a, b Segment) (Segment, bool) {
	la, lb := &s.m.Labels[a.Label], &s.m.Labels[b.Label]
	if a.Key != b.Key || bassOf(a, la) != bassOf(b, lb) || s.v.startsMeasure(a.Start+1, b.Start) || !s.v.broken(a.Start, b.End) {
		return Segment{}, false
	}
	had, has := tones(a, la), tones(b, lb)
	if has&^had == 0 && la.Root == lb.Root {
		a.End = b.End
		return a, true
	}
	comes := s.v.leapsTo(b.Start, has&^had)
	b.Start = a.Start
	return b, had&^has == 0 && comes
}

// startsMeasure tells whether a measure starts with one of the slices from a to b.
func (v *view) startsMeasure(a, b int) bool {
	for i := a; i <= b; i++ {
		if v.Slices[i].Metric == Downbeat {
			return true
		}
	}
	return false
}

func bassOf(g Segment, l *Label) int { return pc(g.Tonic + l.Root + l.Tones[g.Inversion]) }

// tones is the set of pitch classes of a segment's chord, a bit each.
func tones(g Segment, l *Label) (set uint16) {
	for _, t := range l.Tones {
		set |= 1 << pc(g.Tonic+l.Root+t)
	}
	return set
}

// broken tells whether slices [from, to) are figuration that after its first
// attack strikes one note at a time.
func (v *view) broken(from, to int) bool {
	for i := from; i < to; i++ {
		if v.texture[i] != 0 || i > from && v.struck(i) > 1 {
			return false
		}
	}
	return true
}

// leapsTo tells whether those of the pitch classes that are struck in slice i come by leap.
func (v *view) leapsTo(i int, set uint16) bool {
	for _, e := range v.entries[i] {
		if e.onset > 0 && set>>e.pc&1 == 1 && v.Notes[e.note].Approach != Leap {
			return false
		}
	}
	return true
}

// fillBroken gives the triads of a path that a single line breaks the sevenths
// which that line strikes: a note reached and left by leap belongs to the chord
// (common practice, no source). A major seventh does not count: it is as often a
// leading tone that stands beside its chord.
func (s *search) fillBroken(path []Segment) {
	for n := range path {
		g := &path[n]
		if len(s.m.Labels[g.Label].Tones) != 3 || s.m.Labels[g.Label].Cadence || !s.v.broken(g.Start, g.End) {
			continue
		}
		if l := s.withSeventh(*g); l >= 0 {
			g.Label = l
		}
	}
}

// withSeventh is the label of a segment's chord with the seventh that is struck
// by leap and left by leap in it, -1 if there is none.
func (s *search) withSeventh(g Segment) int {
	lab := &s.m.Labels[g.Label]
	had := tones(g, lab)
	from, to := s.m.span(g.Key)
	for l := from; l < to; l++ {
		x := &s.m.Labels[l]
		if x.Root != lab.Root || len(x.Tones) != 4 || pc(x.Tones[3]) == 11 || had&^tones(g, x) != 0 {
			continue
		}
		if s.v.leapt(g, clampFifths(g.Tonic+x.Root+x.Tones[3])) {
			return l
		}
	}
	return -1
}

// leapt tells whether a note of a segment with that spelling is reached and left by leap.
func (v *view) leapt(g Segment, fifths int) bool {
	for i := g.Start; i < g.End; i++ {
		for _, e := range v.entries[i] {
			n := &v.Notes[e.note]
			if e.onset > 0 && e.fifths == fifths && n.Approach == Leap && n.Departure == Leap {
				return true
			}
		}
	}
	return false
}
