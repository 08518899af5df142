package main

import (
	"maps"
	"math"
	"slices"

	"hairpin/harmony/decode"
)

// reading is an expert's reading of a row of slices, segments touching.
type reading []decode.Segment

// example is a piece with its truth, or a stretch of one.
type example struct {
	seen  *decode.Piece
	truth reading // within [from, to)
	from  int
	to    int
}

// trainer fits a model's weights, example by example.
type trainer struct {
	m       *decode.Model
	benches map[*decode.Piece]*decode.Bench
	square  []float64 // running sums of squared steps
	average []float64 // weights times the count of examples at which they changed
	count   float64
	rate    float64 // step size
	decay   float64 // pull of every step toward zero
	margin  margin
}

// margin is what each kind of mistake costs for one beat, in units of score.
type margin struct {
	key, root, quality, bass, label, cut float64
}

// newTrainer prepares to fit m.
func newTrainer(m *decode.Model) *trainer {
	n := len(m.W)
	return &trainer{m: m, benches: map[*decode.Piece]*decode.Bench{}, square: make([]float64, n), average: make([]float64, n), rate: 0.2,
		margin: margin{key: 1, root: 1, quality: 0.7, bass: 1.6, label: 1, cut: 0.3}}
}

func (t *trainer) bench(p *decode.Piece) *decode.Bench {
	b := t.benches[p]
	if b == nil {
		b = decode.NewBench(p)
		t.benches[p] = b
	}
	return b
}

// learn decodes an example against its margin and moves the weights toward
// its truth. It returns the share of slices whose label in key was right.
func (t *trainer) learn(e example) float64 {
	b := t.bench(e.seen)
	got, delta := b.Against(t.m, e.truth, e.from, e.to, newPrice(t.m, b, e, t.margin))
	t.count++
	for _, f := range slices.Sorted(maps.Keys(delta)) {
		g := delta[f] - t.decay*t.m.W[f]
		t.square[f] += g * g
		step := t.rate * g / (1 + math.Sqrt(t.square[f]))
		t.m.W[f] += step
		t.average[f] += step * t.count
	}
	return agreement(e.truth, got)
}

// mean returns the mean of the weights over all examples learnt so far.
func (t *trainer) mean() []float64 {
	out := make([]float64, len(t.m.W))
	for i, w := range t.m.W {
		out[i] = w - t.average[i]/(t.count+1)
	}
	return out
}

func agreement(a reading, b []decode.Segment) float64 {
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
	chord [][12][decode.MaxQuality]float64
	bass  [][12]float64
	label [][]float64
	cuts  []float64
}

// Cut, Span and Bass are the door of [decode.Cost].
func (p *price) Cut(i int) float64 { return p.cuts[i-p.from] }

func (p *price) Span(i, j, key, label, root, quality int) float64 {
	i, j = i-p.from, j-p.from
	return p.key[j][key] - p.key[i][key] + p.chord[j][root][quality] - p.chord[i][root][quality] + p.label[j][label] - p.label[i][label]
}

func (p *price) Bass(i, j, class int) float64 {
	return p.bass[j-p.from][class] - p.bass[i-p.from][class]
}

func newPrice(m *decode.Model, at *decode.Bench, e example, g margin) *price {
	n := e.to - e.from
	p := &price{from: e.from, key: make([][24]float64, n+1), chord: make([][12][decode.MaxQuality]float64, n+1),
		bass: make([][12]float64, n+1), label: make([][]float64, n+1), cuts: make([]float64, n+1)}
	p.label[0] = make([]float64, len(m.Labels))
	k := 0
	for i := 0; i < n; i++ {
		for k < len(e.truth)-1 && e.truth[k].End <= e.from+i {
			k++
		}
		p.next(m, i, e.truth[k], at.Mass(e.from+i), g)
		if i > 0 {
			p.cuts[i] = g.cut
		}
	}
	for _, s := range e.truth {
		p.cuts[s.Start-e.from] = -g.cut
	}
	return p
}

// next extends the running sums by slice i, whose truth is s.
func (p *price) next(m *decode.Model, i int, s decode.Segment, mass float64, g margin) {
	lab := m.Labels[s.Label]
	root := class(s.Tonic + lab.Root)
	bass := class(s.Tonic + lab.Root + lab.Tones[s.Inversion])
	p.key[i+1], p.chord[i+1], p.bass[i+1] = p.key[i], p.chord[i], p.bass[i]
	p.label[i+1] = append([]float64(nil), p.label[i]...)
	for key := range p.key[i+1] {
		if key != s.Key {
			p.key[i+1][key] += g.key * mass
		}
	}
	for r := range p.chord[i+1] {
		for q := range p.chord[i+1][r] {
			if r != root {
				p.chord[i+1][r][q] += g.root * mass
			}
			if q != lab.Quality || r != root {
				p.chord[i+1][r][q] += g.quality * mass
			}
		}
	}
	for b := range p.bass[i+1] {
		if b != bass {
			p.bass[i+1][b] += g.bass * mass
		}
	}
	for l := range p.label[i+1] {
		if l != s.Label {
			p.label[i+1][l] += g.label * mass
		}
	}
}

// class is the pitch class of a place on the line of fifths, C at 0.
func class(fifths int) int { return ((7*fifths)%12 + 12) % 12 }
