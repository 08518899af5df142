package advice

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// fitted is the table of weights and shares; its head names its sources and
// their licences. tools/fit/advice writes it.
//
//go:embed advice.tsv
var fitted string

// Table is what recorded performances taught: how much each quantity speaks for
// a goal, how sure a goal is, and how often players do what a kind of advice asks.
type Table struct {
	Weights       []float64 // by quantity, see Quantities
	Offset, Slope float64   // of the confidence, see Table.Confidence
	Shares        map[Comparable]Share

	// Of the loudest measure of a piece: see Crests, and its confidence.
	Loud, Place             float64
	CrestOffset, CrestSlope float64

	// Of the climax: the weights of its signs, see SignNames, its confidence, and how sure
	// it is that players are about loudest there.
	Signs                   []float64
	SignOffset, SignSlope   float64
	HeardOffset, HeardSlope float64
}

// Comparable names places that are alike as far as one kind of advice goes.
type Comparable struct {
	Kind  Kind
	Class Class
}

// Class is what tells the places of one kind apart.
type Class string

// The classes: of growing and easing by how far the causes together move, of the
// rest by what the harmony does there.
const (
	Contrary Class = "contrary" // the causes together go the other way
	Slight   Class = "slight"   // under 0.3 of players' spread
	Plain    Class = "plain"    // under 0.9
	Large    Class = "large"
	AtClose  Class = "at a cadence"
	NoClose  Class = "without a cadence"
	AnyEnd   Class = "at a phrase's end" // where too few performances tell cadences apart
	OnBeat   Class = "on a beat"         // of an appoggiatura or suspension
)

// Share is how often players do so, of how many places.
type Share struct {
	Share, Baseline float64 // at comparable places; at random places of the same pieces
	N               int
}

// table reads the fitted table once.
var table = sync.OnceValues(func() (*Table, error) { return readTable(fitted) })

// readTable reads lines "goal quantity weight", "confidence offset slope", "crest loudness
// place", "crest confidence offset slope", "summit sign weight", "summit confidence offset
// slope", "summit heard offset slope" and "share kind class share baseline places", separated
// by tabs; # begins a remark.
func readTable(text string) (*Table, error) {
	names, _ := Quantities()
	t := &Table{Weights: make([]float64, len(names)), Shares: map[Comparable]Share{}, Signs: make([]float64, signs)}
	for i, line := range strings.Split(text, "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if err := t.row(strings.Split(line, "\t"), names); err != nil {
			return nil, fmt.Errorf("table of advice, line %d: %w", i+1, err)
		}
	}
	return t, nil
}

func (t *Table) row(cells, names []string) error {
	words := map[string]int{"goal": 2, "confidence": 1, "crest": 1, "crest confidence": 1, "summit": 2, "summit confidence": 1, "summit heard": 1, "share": 3}[cells[0]]
	if words == 0 || words >= len(cells) {
		return fmt.Errorf("%q is no row of weights or shares", strings.Join(cells, " "))
	}
	nums := make([]float64, 3)
	for i, c := range cells[words:] {
		v, err := strconv.ParseFloat(c, 64)
		if err != nil || i == len(nums) {
			return fmt.Errorf("%q is not what belongs there", c)
		}
		nums[i] = v
	}
	switch cells[0] {
	case "confidence":
		t.Offset, t.Slope = nums[0], nums[1]
	case "crest":
		t.Loud, t.Place = nums[0], nums[1]
	case "crest confidence":
		t.CrestOffset, t.CrestSlope = nums[0], nums[1]
	case "summit confidence":
		t.SignOffset, t.SignSlope = nums[0], nums[1]
	case "summit heard":
		t.HeardOffset, t.HeardSlope = nums[0], nums[1]
	case "summit":
		k := slices.Index(SignNames(), cells[1])
		if k < 0 {
			return fmt.Errorf("there is no sign %q", cells[1])
		}
		t.Signs[k] = nums[0]
	case "share":
		t.Shares[Comparable{Kind(cells[1]), Class(cells[2])}] = Share{nums[0], nums[1], int(nums[2])}
	case "goal":
		for k, n := range names {
			if n == cells[1] {
				t.Weights[k] = nums[0]
				return nil
			}
		}
		return fmt.Errorf("there is no quantity %q", cells[1])
	}
	return nil
}

// Confidence turns the model's probability into the share of hits that it had on
// works left out: a line between log-odds (Platt 1999, "Probabilistic outputs for
// support vector machines", from memory).
func (t *Table) Confidence(p float64) float64 { return platt(t.Offset, t.Slope, p) }

func platt(offset, slope, p float64) float64 {
	p = min(max(p, 1e-6), 1-1e-6)
	return 1 / (1 + math.Exp(-offset-slope*math.Log(p/(1-p))))
}
