package decode

import (
	"math"
	"slices"
)

// Doubt is how nearly a segment was read otherwise.
type Doubt struct {
	Rival     int     // label of the best reading with another root or quality, -1 if none
	RivalKey  int     // its key
	Root      int     // its root as spelled
	Margin    float64 // how far the rival's score lies behind, its neighbours unchanged
	KeyMargin float64 // how far the nearest other local key lies behind
	Explained float64 // share of the sounding evidence that belongs to the chord
	Sounding  float64 // share of the chord's tones that sound
	Silent    []int   // places in the chord of the tones that do not sound
	Beats     float64
}

// doubts weighs every segment of a path against its rivals.
func (s *search) doubts(path []Segment) []Doubt {
	out := make([]Doubt, len(path))
	k := s.keyHearing(path)
	for n := range path {
		out[n] = s.doubt(path, n)
		out[n].KeyMargin = k.margin(n)
	}
	return out
}

// doubt compares segment n with every other chord in its place.
func (s *search) doubt(path []Segment, n int) Doubt {
	g := path[n]
	t := tally{low: lowest{pc: -1}, first: -1}
	for i := g.End - 1; i >= g.Start; i-- {
		t.extend(s.m, s.v, i, i == g.End-1)
	}
	held := s.m.held(s.v, g.Start)
	tones := t.ground(&held)
	s.pool = s.chords(g.Start, &t, &tones, math.Inf(-1), s.pool)
	own, best := math.Inf(-1), math.Inf(-1)
	lab := s.m.Labels[g.Label]
	d := Doubt{Rival: -1, Margin: 20, Beats: t.beats}
	d.Explained, d.Silent = s.heard(g, &t)
	d.Sounding = 1 - float64(len(d.Silent))/float64(len(lab.Tones))
	for c := range s.pool {
		ch := &s.pool[c]
		same := ch.kind.quality == lab.Quality && pc(ch.root) == pc(g.Tonic+lab.Root)
		for _, k := range nearKeys(path, n) {
			for _, l := range s.m.labelsAt(k, int(s.v.tonics[g.Start][k]), ch.root, ch.kind.quality) {
				x := s.inPlace(path, n, k, l, ch)
				if same {
					own = math.Max(own, x)
				} else if x > best {
					best = x
					d.Rival, d.RivalKey, d.Root = l, k, ch.root
				}
			}
		}
	}
	if !math.IsInf(own, -1) && !math.IsInf(best, -1) {
		d.Margin = math.Min(own-best, 20)
	}
	return d
}

// heard is the share of the evidence that sounds the segment's chord, and the
// places of the chord's tones that do not sound.
func (s *search) heard(g Segment, t *tally) (share float64, silent []int) {
	lab := s.m.Labels[g.Label]
	for r, a := range lab.Tones {
		mass := t.mass[pc(g.Tonic+lab.Root+a)]
		if mass == 0 {
			silent = append(silent, r)
		}
		share += mass
	}
	if t.total > 0 {
		share /= t.total
	}
	return share, silent
}

// nearKeys lists the keys of a segment and its neighbours.
func nearKeys(path []Segment, n int) []int {
	out := []int{path[n].Key}
	for _, k := range [2]int{n - 1, n + 1} {
		if k >= 0 && k < len(path) && !slices.Contains(out, path[k].Key) {
			out = append(out, path[k].Key)
		}
	}
	return out
}

// inPlace scores a label in the place of segment n, its neighbours as they are.
func (s *search) inPlace(path []Segment, n, key, label int, ch *chord) float64 {
	g := path[n]
	_, bonus := s.inversion(g.Start, g.End, ch, label)
	x := ch.score + bonus + s.inKey(g, key, label)
	h := Segment{Start: g.Start, End: g.End, Key: key, Label: label}
	if n > 0 {
		x += s.link(s.v, path[n-1], h)
	}
	if n+1 < len(path) {
		x += s.link(s.v, h, path[n+1])
	}
	return x
}

// inKey is what a segment's label in a key scores by itself, its chord apart.
func (s *search) inKey(g Segment, key, label int) float64 {
	return s.m.labelScore(s.v, g.Start, g.End, label) + s.keys[g.End][key] - s.keys[g.Start][key]
}

// link is the score of one segment after another.
func (t *tables) link(v *view, a, b Segment) float64 {
	m := t.m
	x := m.bassStep(v, b.Start, b.Key)
	if a.Key == b.Key {
		return x + t.follow(v, b.Start, a.Label, b.Label)
	}
	x += t.turns[a.Key][b.Key] + m.turnHere(v, b.Start)
	if b.End == len(v.Slices) && m.stranded(a.Key, a.Label, b.Key) {
		x -= alone
	}
	if heard := t.bestPivot(v, a, b); heard >= 0 {
		return x + m.W[m.lay.pivot.i(heard, 0, 0)] + t.follow(v, b.Start, heard, b.Label)
	}
	return x + m.W[m.lay.exit.i(a.Label, 0, 0)] + m.W[m.lay.entry.i(b.Label, 0, 0)]
}

// keyHearing hears the segments of a path in other keys. What it has found for
// a segment is kept, since its neighbours ask for it again.
type keyHearing struct {
	s     *search
	path  []Segment
	heard [][24]elsewhere // by segment and key
	links []float64       // of each segment of the path with the one before it
}

func (s *search) keyHearing(path []Segment) *keyHearing {
	h := &keyHearing{s: s, path: path, heard: make([][24]elsewhere, len(path)), links: make([]float64, len(path))}
	for n := 1; n < len(path); n++ {
		h.links[n] = s.link(s.v, path[n-1], path[n])
	}
	return h
}

// passingKey is how many chords a key must hold more than to be one: analysts
// are of two minds about shorter ones, and a player hears them from the key around.
const passingKey = 2

// tonicise hears the chords of a key that passes by in the key around them, if
// they have names there: a dominant and its tonic are no modulation.
func (s *search) tonicise(path []Segment) {
	for a, b := 0, 0; a < len(path); a = b {
		for b = a + 1; b < len(path) && path[b].Key == path[a].Key; b++ {
		}
		if a == 0 || b == len(path) || b-a > passingKey || path[a-1].Key != path[b].Key || path[a].Key == path[b].Key {
			continue
		}
		s.rename(path[a:b], path[b].Key)
	}
}

// rename hears segments in another key if all their chords have names there.
func (s *search) rename(path []Segment, key int) {
	var labels [passingKey]int
	for n, g := range path {
		if labels[n], _ = s.labelIn(g, key); labels[n] < 0 {
			return
		}
	}
	for n := range path {
		g := &path[n]
		g.Key, g.Label, g.Tonic = key, labels[n], int(s.v.tonics[g.Start][key])
	}
}

// labelIn is the label under which a segment's chord is best heard in a key, and
// what that scores; -1 if the chord has no name there.
func (s *search) labelIn(g Segment, key int) (label int, best float64) {
	lab := &s.m.Labels[g.Label]
	label, best = -1, math.Inf(-1)
	for _, l := range s.m.labelsAt(key, int(s.v.tonics[g.Start][key]), g.Tonic+lab.Root, lab.Quality) {
		if s.m.Labels[l].Cadence != lab.Cadence {
			continue
		}
		if x := s.inKey(g, key, l); x > best {
			label, best = l, x
		}
	}
	return label, best
}

// elsewhere is a segment as heard in another key.
type elsewhere struct {
	tried  bool
	joint  bool    // whether joined is known
	label  int     // -1 if the chord has no name there
	loss   float64 // what that label costs against the segment's own
	enters float64 // what it costs to come to it from the segment before it, which stays in its key
	leaves float64 // and to go on to the one after it, which stays in its key
	joined float64 // score of its link with the segment before it, both in the key
}

// margin hears segment n, with up to four neighbours on each side, in every
// other key in reach, and returns how far the best of these readings lies behind.
func (h *keyHearing) margin(n int) float64 {
	margin := 20.0
	for keys := h.s.reach[h.path[n].Start]; keys != 0; {
		k := keys.next()
		if k == h.path[n].Key {
			continue
		}
		for radius := 0; radius <= 4; radius++ {
			a, b := max(0, n-radius), min(len(h.path), n+radius+1)
			loss, ok := h.transpose(a, b, k)
			if !ok { // nor has it a name among more neighbours
				break
			}
			margin = math.Min(margin, loss)
		}
	}
	return margin
}

// in is segment n as heard in a key.
func (h *keyHearing) in(n, key int) *elsewhere {
	e := &h.heard[n][key]
	if e.tried {
		return e
	}
	s, g := h.s, h.path[n]
	e.tried = true
	best := 0.0
	if e.label, best = s.labelIn(g, key); e.label < 0 {
		return e
	}
	e.loss = s.inKey(g, g.Key, g.Label) - best
	if n > 0 {
		e.enters = h.links[n] - s.link(s.v, h.path[n-1], h.as(n, key))
	}
	if n+1 < len(h.path) {
		e.leaves = h.links[n+1] - s.link(s.v, h.as(n, key), h.path[n+1])
	}
	return e
}

// as is segment n under the label it has in the key.
func (h *keyHearing) as(n, key int) Segment {
	return Segment{Start: h.path[n].Start, End: h.path[n].End, Key: key, Label: h.heard[n][key].label}
}

// transpose is what it costs to hear segments [a, b) in another key; false if
// one of the chords has no name there.
func (h *keyHearing) transpose(a, b, key int) (loss float64, ok bool) {
	for n := a; n < b; n++ {
		e := h.in(n, key)
		if e.label < 0 {
			return 0, false
		}
		loss += e.loss
		switch {
		case n == 0:
		case n == a:
			loss += e.enters
		default:
			if !e.joint {
				e.joint, e.joined = true, h.s.link(h.s.v, h.as(n-1, key), h.as(n, key))
			}
			loss += h.links[n] - e.joined
		}
	}
	if b < len(h.path) {
		loss += h.heard[b-1][key].leaves
	}
	return loss, true
}

// OddsInputs is the number of facts the two probabilities rest on.
const OddsInputs = 6

// ChordInputs is what a doubt says of root and quality, as inputs of a logistic
// regression, a constant 1 first.
func (d Doubt) ChordInputs() [OddsInputs]float64 {
	return [OddsInputs]float64{1, signedLog(d.Margin), d.Explained, math.Log1p(d.Beats), d.Explained * signedLog(d.Margin), d.Sounding}
}

// KeyInputs is what a doubt says of the key.
func (d Doubt) KeyInputs() [OddsInputs]float64 {
	return [OddsInputs]float64{1, signedLog(d.KeyMargin), signedLog(d.Margin), d.Explained, math.Log1p(d.Beats), d.Sounding}
}

func signedLog(x float64) float64 {
	if x < 0 {
		return -math.Log1p(-x)
	}
	return math.Log1p(x)
}

// Odds are the coefficients of the two logistic regressions that turn doubts
// into probabilities; they are fitted on readings of pieces left out of the fit.
type Odds struct {
	Chord, Key [OddsInputs]float64
}

// ChordRight is the probability that root and quality are right.
func (o Odds) ChordRight(d Doubt) float64 { return logistic(o.Chord, d.ChordInputs()) }

// KeyRight is the probability that the local key is right.
func (o Odds) KeyRight(d Doubt) float64 { return logistic(o.Key, d.KeyInputs()) }

func logistic(w, x [OddsInputs]float64) float64 {
	z := 0.0
	for i := range w {
		z += w[i] * x[i]
	}
	return 1 / (1 + math.Exp(-z))
}
