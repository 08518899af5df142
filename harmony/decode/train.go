package decode

import (
	"math"
	"sort"
)

// Truth is an expert's reading of a row of slices, segments touching.
type Truth []Segment

// Example is a piece with its truth, or a stretch of one.
type Example struct {
	Piece *Piece
	Truth Truth // within [From, To)
	From  int
	To    int
}

// Trainer fits a model's weights, example by example.
type Trainer struct {
	m       *Model
	views   map[*Piece]*view
	square  []float64 // running sums of squared steps
	average []float64 // weights times the count of examples at which they changed
	count   float64
	Rate    float64 // step size
	Decay   float64 // pull of every step toward zero
	Margin  Margin
}

// Margin is what each kind of mistake costs for one beat, in units of score.
type Margin struct {
	Key, Root, Quality, Bass, Label, Cut float64
}

// NewTrainer prepares to fit m.
func NewTrainer(m *Model) *Trainer {
	n := len(m.W)
	return &Trainer{m: m, views: map[*Piece]*view{}, square: make([]float64, n), average: make([]float64, n), Rate: 0.2,
		Margin: Margin{Key: 1, Root: 1, Quality: 0.7, Bass: 1.6, Label: 1, Cut: 0.3}}
}

func (t *Trainer) view(p *Piece) *view {
	v := t.views[p]
	if v == nil {
		v = newView(p)
		t.views[p] = v
	}
	return v
}

// Learn decodes an example against its margin and moves the weights toward
// its truth. It returns the share of slices whose label in key was right.
func (t *Trainer) Learn(e Example) float64 {
	v := t.view(e.Piece)
	w := t.m.gather()
	got := w.run(v, e.From, e.To, t.m.price(v, e, t.Margin))
	delta := map[int]float64{}
	w.facts(v, e.Truth, func(f int, x float64) { delta[f] += x })
	w.facts(v, got, func(f int, x float64) { delta[f] -= x })
	t.count++
	for _, f := range sortedKeys(delta) {
		g := delta[f]
		if math.Abs(g) < 1e-12 {
			continue
		}
		g -= t.Decay * t.m.W[f]
		t.square[f] += g * g
		step := t.Rate * g / (1 + math.Sqrt(t.square[f]))
		t.m.W[f] += step
		t.average[f] += step * t.count
	}
	return agreement(e.Truth, got)
}

// Average returns the mean of the weights over all examples learnt so far.
func (t *Trainer) Average() []float64 {
	out := make([]float64, len(t.m.W))
	for i, w := range t.m.W {
		out[i] = w - t.average[i]/(t.count+1)
	}
	return out
}

func agreement(a Truth, b []Segment) float64 {
	same, n, j := 0, 0, 0
	for _, s := range a {
		for i := s.Start; i < s.End; i++ {
			for j < len(b)-1 && b[j].End <= i {
				j++
			}
			n++
			if j < len(b) && b[j].Key == s.Key && b[j].Label == s.Label {
				same++
			}
		}
	}
	return float64(same) / math.Max(1, float64(n))
}

// price is what every wrong reading of an example earns in training, so that
// only a truth ahead by a margin leaves the weights alone: running sums by
// slice, from the example's first.
type price struct {
	from  int
	key   [][24]float64
	chord [][12][MaxQuality]float64
	bass  [][12]float64
	label [][]float64
	cuts  []float64
}

func (p *price) cut(i int) float64 { return p.cuts[i-p.from] }

func (p *price) of(i, j, key, label int, ch *chord) float64 {
	i, j = i-p.from, j-p.from
	root := pc(ch.root)
	return p.key[j][key] - p.key[i][key] + p.chord[j][root][ch.kind.quality] - p.chord[i][root][ch.kind.quality] +
		p.label[j][label] - p.label[i][label]
}

func (p *price) ofBass(i, j, bass int) float64 {
	return p.bass[j-p.from][bass] - p.bass[i-p.from][bass]
}

func (m *Model) price(v *view, e Example, g Margin) *price {
	n := e.To - e.From
	p := &price{from: e.From, key: make([][24]float64, n+1), chord: make([][12][MaxQuality]float64, n+1),
		bass: make([][12]float64, n+1), label: make([][]float64, n+1), cuts: make([]float64, n+1)}
	p.label[0] = make([]float64, len(m.Labels))
	k := 0
	for i := 0; i < n; i++ {
		for k < len(e.Truth)-1 && e.Truth[k].End <= e.From+i {
			k++
		}
		p.next(m, i, e.Truth[k], v.mass[e.From+i], g)
		if i > 0 {
			p.cuts[i] = g.Cut
		}
	}
	for _, s := range e.Truth {
		p.cuts[s.Start-e.From] = -g.Cut
	}
	return p
}

// next extends the running sums by slice i, whose truth is s.
func (p *price) next(m *Model, i int, s Segment, mass float64, g Margin) {
	lab := m.Labels[s.Label]
	root := pc(s.Tonic + lab.Root)
	bass := pc(s.Tonic + lab.Root + lab.Tones[s.Inversion])
	p.key[i+1], p.chord[i+1], p.bass[i+1] = p.key[i], p.chord[i], p.bass[i]
	p.label[i+1] = append([]float64(nil), p.label[i]...)
	for key := range p.key[i+1] {
		if key != s.Key {
			p.key[i+1][key] += g.Key * mass
		}
	}
	for r := range p.chord[i+1] {
		for q := range p.chord[i+1][r] {
			if r != root {
				p.chord[i+1][r][q] += g.Root * mass
			}
			if q != lab.Quality || r != root {
				p.chord[i+1][r][q] += g.Quality * mass
			}
		}
	}
	for b := range p.bass[i+1] {
		if b != bass {
			p.bass[i+1][b] += g.Bass * mass
		}
	}
	for l := range p.label[i+1] {
		if l != s.Label {
			p.label[i+1][l] += g.Label * mass
		}
	}
}

func sortedKeys(m map[int]float64) []int {
	out := make([]int, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Ints(out)
	return out
}
