package verdict

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/score"
)

// fitted is the table of the model; its head names its source. tools/fit/verdicts writes it.
//
//go:embed direction.tsv
var fitted string

// Deed is what the harmony does over a stretch.
type Deed int

// The deeds.
const (
	Builds Deed = iota
	Releases
	Holds
	Waits // a dominant is sustained
	deeds
)

// String names a deed as the labels do.
func (d Deed) String() string { return [...]string{"builds", "releases", "holds", "waits"}[d] }

// Chances are the probabilities of the deeds; they add up to 1.
type Chances [deeds]float64

// Model tells what the harmony does over a stretch: a multinomial logistic
// regression on a few quantities (McCullagh & Nelder 1989, Generalized linear
// models, ch. 5), and how often a verdict of such a probability was right.
type Model struct {
	Mean, Spread []float64   // by quantity
	Weight       [][]float64 // by quantity and deed, for quantities less their mean over their spread
	Start        []float64   // by deed
	Told         []Told      // by kind, from the highest probability down
}

// Told is a confidence that may be told for a verdict of a probability: how
// many of those cross-validated were right, seen from the careful side. Readers
// bear out "supports" more often than the others, so it has steps of its own.
type Told struct {
	Supports         bool
	From, Confidence float64
}

// direction reads the table once.
var direction = sync.OnceValues(func() (*Model, error) { return readModel(fitted) })

// readModel reads lines "start", "supports from confidence", "others from confidence" and a line for each
// quantity: name, mean, spread, a weight for each deed. # begins a remark.
func readModel(text string) (*Model, error) {
	m := &Model{}
	for i, line := range strings.Split(text, "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, "\t")
		nums := make([]float64, 0, len(cells))
		for _, c := range cells[1:] {
			v, err := strconv.ParseFloat(c, 64)
			if err != nil {
				return nil, fmt.Errorf("table of the harmony's way, line %d: %w", i+1, err)
			}
			nums = append(nums, v)
		}
		if err := m.row(cells[0], nums); err != nil {
			return nil, fmt.Errorf("table of the harmony's way, line %d: %w", i+1, err)
		}
	}
	if len(m.Weight) != len(quantities) || len(m.Start) != int(deeds) {
		return nil, fmt.Errorf("table of the harmony's way: %d quantities, %d are needed, and a start", len(m.Weight), len(quantities))
	}
	return m, nil
}

func (m *Model) row(name string, nums []float64) error {
	n := len(m.Weight)
	switch {
	case name == "start" && len(nums) == int(deeds):
		m.Start = nums
	case (name == "supports" || name == "others") && len(nums) == 2:
		m.Told = append(m.Told, Told{name == "supports", nums[0], nums[1]})
	case n < len(quantities) && name == quantities[n].name && len(nums) == 2+int(deeds):
		m.Mean, m.Spread, m.Weight = append(m.Mean, nums[0]), append(m.Spread, nums[1]), append(m.Weight, nums[2:])
	default:
		return fmt.Errorf("%q with %d numbers is not expected here", name, len(nums))
	}
	return nil
}

// Chances of the deeds, for the quantities of a stretch.
func (m *Model) Chances(q []float64) Chances {
	var out Chances
	sum := 0.0
	for d := range out {
		z := m.Start[d]
		for k, v := range q {
			z += m.Weight[k][d] * (v - m.Mean[k]) / m.Spread[k]
		}
		out[d] = math.Exp(z)
		sum += out[d]
	}
	for d := range out {
		out[d] /= sum
	}
	return out
}

// told is the confidence that may be told for a verdict of a kind and a probability.
func (m *Model) told(k Kind, p float64) float64 {
	for _, t := range m.Told {
		if t.Supports == (k == Supports) && p >= t.From {
			return t.Confidence
		}
	}
	return p
}

// QuantityNames are the names of the model's quantities, in order.
func QuantityNames() []string {
	out := make([]string, len(quantities))
	for i, q := range quantities {
		out[i] = q.name
	}
	return out
}

// Quantities are those of a stretch, in the order of their names.
func Quantities(s *score.Score, a *harmony.Analysis, p *page.Page, from, to score.Tick) []float64 {
	j := newJudge(s, a, p)
	return j.spanOver(from, to, p.Over(from, to).Kind).quantities()
}

func (j *judge) spanOver(from, to score.Tick, kind page.MoveKind) *span {
	return &span{j: j, from: from, to: to, page: kind, chords: j.chordsIn(from, to), move: j.harmonyOver(from, to)}
}

func (x *span) quantities() []float64 {
	out := make([]float64, len(quantities))
	for i, q := range quantities {
		if len(x.chords) > 0 {
			out[i] = q.of(x)
		}
	}
	return out
}
