package decode

import "math"

// Cost is what a search adds to every reading it weighs, sums over slices [i, j).
// A fit prices wrong readings so, that a truth ahead by a margin alone leaves the
// weights as they are.
type Cost interface {
	Cut(i int) float64                                // of a segment that begins at slice i
	Span(i, j, key, label, root, quality int) float64 // of a key, a label and its chord: root a pitch class
	Bass(i, j, class int) float64                     // of a pitch class in the bass
}

// Bench is a piece laid out for many searches while the weights change: the door for
// what fits a model. It is for one goroutine.
type Bench struct{ v *view }

// NewBench lays a piece out.
func NewBench(p *Piece) *Bench { return &Bench{newView(p)} }

// Mass is the evidence of slice i, more for longer ones.
func (b *Bench) Mass(i int) float64 { return b.v.mass[i] }

// Against searches slices [from, to) under m, the cost added, and tells by how much
// each fact stands more often in the truth than in what was found: fact numbers are
// places among m's weights.
func (b *Bench) Against(m *Model, truth []Segment, from, to int, cost Cost) (found []Segment, facts map[int]float64) {
	t := m.gather()
	found = t.run(b.v, from, to, cost)
	facts = map[int]float64{}
	t.facts(b.v, truth, func(f int, x float64) { facts[f] += x })
	t.facts(b.v, found, func(f int, x float64) { facts[f] -= x })
	for f, x := range facts {
		if math.Abs(x) < 1e-12 {
			delete(facts, f)
		}
	}
	return found, facts
}
