package decode

import (
	"math"
	"slices"
	"sync"
)

// tables are the weights gathered for speed, and what follows from them.
// Reading uses one set for all pieces; learning gathers anew at every step.
type tables struct {
	idle    sync.Pool // of scratch
	m       *Model
	kinds   []kind
	steps   [2][]float64    // score of one label (column) after another (row), turned so that a row is what leads to a label, by mode
	onward  []float64       // by label: the most that another label after it can add
	enters  [2]float64      // by mode: the most that a label adds where its key is entered at once
	turned  []float64       // by label: the most that its inversions can add
	starts  [3][]float64    // by class of metric place: what every label adds where it starts
	turns   [24][24]float64 // score of a change from one key to another, wherever it is
	bonus   float64         // the most that a label and an inversion can add
	unasked []entrance      // of labels nobody has asked for
	keyTables
}

// keyTables are what the facts of a slice say for each of the 24 keys, for one unit of evidence.
type keyTables struct {
	signature [12][24]float64            // by the printed signature's sharps, modulo 12
	home      [24][24]float64            // by the home key
	goal      [distances][12][24]float64 // by distance and bass of the phrase's end
	origin    [distances][12][24]float64 // and of its start
}

func (m *Model) gather() *tables {
	t := &tables{m: m, kinds: m.kinds()}
	for md := range t.steps {
		t.steps[md] = m.stepTable(md)
	}
	for a := range t.turns {
		for b := range t.turns[a] {
			t.turns[a][b] = m.W[m.lay.keyChange.i(mode(a), mode(b), mod12(b-a))]
		}
	}
	for c := range t.starts {
		for l := range m.Labels {
			t.starts[c] = append(t.starts[c], m.W[m.lay.label.i(l, 0, 0)]+m.W[m.lay.labelMetric.i(l, c, 0)])
		}
	}
	m.bounds(t)
	for range m.Labels {
		t.unasked = append(t.unasked, entrance{prev: unknown})
	}
	m.hearingOf(&t.keyTables)
	return t
}

// stepTable lists, for every label of a mode, its score after every other.
func (m *Model) stepTable(md int) []float64 {
	from, to := m.span(12 * md)
	out := make([]float64, 0, (to-from)*(to-from))
	for b := from; b < to; b++ {
		for a := from; a < to; a++ {
			la, lb := &m.Labels[a], &m.Labels[b]
			out = append(out, m.W[m.lay.next.i(a, b, 0)]+m.W[m.lay.rootMotion.i(pc(lb.Root-la.Root), la.Family, lb.Family)])
		}
	}
	return out
}

// bounds finds the most that labels can add to a segment and to what follows it.
func (m *Model) bounds(t *tables) {
	l, inversion, label := m.lay, 0.0, math.Inf(-1)
	for f := 0; f < families; f++ {
		for r := 0; r < roles; r++ {
			onset := slices.Max(m.W[l.bassOnset.i(f, r, 0) : l.bassOnset.i(f, r, 0)+textures])
			inversion = max(inversion, onset+m.W[l.bassLow.i(f, r, 0)]+max(0, m.W[l.bassShare.i(f, r, 0)]))
		}
	}
	t.turned, t.onward = make([]float64, len(m.Labels)), make([]float64, len(m.Labels))
	for n := range m.Labels {
		t.turned[n] = inversion + slices.Max(m.W[l.labelInv.i(n, 0, 0):l.labelInv.i(n, 0, 0)+roles])
		places := m.W[l.labelMetric.i(n, 0, 0) : l.labelMetric.i(n, 0, 0)+3]
		label = max(label, m.W[l.label.i(n, 0, 0)]+t.turned[n]+slices.Max(places))
		t.onward[n] = math.Inf(-1)
	}
	t.bonus = label
	for md := range t.enters {
		from, to := m.span(12 * md)
		t.enters[md] = slices.Max(m.W[l.entry.at+from : l.entry.at+to])
		for n, x := range t.steps[md] {
			a := from + n%(to-from)
			t.onward[a] = max(t.onward[a], x)
		}
	}
}

func (m *Model) hearingOf(t *keyTables) {
	l := m.lay
	for k := 0; k < 24; k++ {
		md := mode(k)
		for s := range t.signature {
			t.signature[s][k] = m.W[l.signature.i(md, signatureOffset(k, s)+7, 0)]
		}
		for h := range t.home {
			t.home[h][k] = m.W[l.home.i(mode(h), md, mod12(k-h))]
		}
		for d := 0; d < distances; d++ {
			for p := 0; p < 12; p++ {
				t.goal[d][p][k] = m.W[l.goal.i(md, d, mod12(p-k))]
				t.origin[d][p][k] = m.W[l.origin.i(md, d, mod12(p-k))]
			}
		}
	}
}

// hearKeys adds to out how slice i speaks for each key.
func (m *Model) hearKeys(v *view, t *keyTables, i int, out *[24]float64) {
	l, tonics, w := m.lay, &v.tonics[i], v.mass[i]
	for n := range v.entries[i] {
		e := &v.entries[i][n]
		for k := range out {
			tonic := int(tonics[k])
			at := profileIndex(e.fifths - tonic)
			out[k] += e.mass * m.W[l.profile.at+mode(k)*profileLen+at]
			if e.steps && e.onset > 0 {
				out[k] += e.mass * m.W[l.melody.at+(mode(k)*profileLen+at)*profileLen+profileIndex(e.next-tonic)]
			}
			if n == 0 {
				out[k] += w * m.W[l.bassProfile.at+mode(k)*profileLen+at]
			}
		}
	}
	for r := range reaches {
		major, minor := w*m.W[l.window.i(0, r, 0)], w*m.W[l.window.i(1, r, 0)]
		fit := v.fitAt(r, i)
		for k := 0; k < 12; k++ {
			out[k] += major * fit[k]
			out[12+k] += minor * fit[12+k]
		}
	}
	if v.Signature {
		addScaled(out, &t.signature[mod12(v.Slices[i].Signature)], w)
	}
	if g := v.goal[i]; g.pc >= 0 && g.distance < distances {
		addScaled(out, &t.goal[g.distance][g.pc], w)
	}
	if o := v.origin[i]; o.pc >= 0 && o.distance < distances {
		addScaled(out, &t.origin[o.distance][o.pc], w)
	}
	addScaled(out, &t.home[v.homeKey], w)
}

func addScaled(to, from *[24]float64, w float64) {
	for k := range to {
		to[k] += w * from[k]
	}
}

// step is the score of one label after another within a key of their mode.
func (t *tables) step(a, b int) float64 {
	if n := t.m.majors; a < n {
		return t.steps[0][b*n+a]
	}
	from, to := t.m.majors, len(t.m.Labels)
	return t.steps[1][(b-from)*(to-from)+a-from]
}

// follow is the score of one label after another within a key, at boundary i.
func (t *tables) follow(v *view, i, a, b int) float64 {
	if a == b {
		return t.step(a, b) + t.m.again(v, i)
	}
	return t.step(a, b)
}
