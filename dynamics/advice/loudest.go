package advice

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"hairpin/dynamics/shaping"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Loudest is the measure of a piece that its players make loudest, or nearly.
type Loudest struct {
	Measure    int     // index into Score.Measures
	Confidence float64 // that it or a neighbour is among the loudest twentieth of the measures
	Certainty  tonal.Certainty
	Causes     []shaping.Cause // what lifts it most above the piece's mean, at most two
}

// Crests are what speaks for a measure as the loudest of its piece.
type Crests struct {
	Loud  []float64 // by measure: all that the causes say, in performers' spreads, smoothed over three measures
	Place []float64 // by measure: where it starts, 0 to 1
}

// Crests weighs every measure; of nil, all causes count.
func (m Material) Crests(of []shaping.Cause) Crests {
	sum := make([]float64, len(m.Grid))
	for c, says := range m.Says {
		if of == nil || slices.Contains(of, c) {
			for i, x := range says {
				sum[i] += x
			}
		}
	}
	out := Crests{Loud: Rounded(Means(m.Score, m.Grid, sum)), Place: make([]float64, len(m.Score.Measures))}
	for i, x := range m.Score.Measures {
		out.Place[i] = float64(x.Start) / float64(max(m.Score.Length(), 1))
	}
	return out
}

// Means are the means by measure of values at moments in order; the least of them stands
// for a measure without any.
func Means(s *score.Score, at []score.Tick, v []float64) []float64 {
	out, least := make([]float64, len(s.Measures)), math.Inf(1)
	for i, x := range s.Measures {
		lo := sort.Search(len(at), func(k int) bool { return at[k] >= x.Start })
		hi := sort.Search(len(at), func(k int) bool { return at[k] >= x.End() })
		out[i] = math.NaN()
		if hi > lo {
			sum := 0.0
			for _, y := range v[lo:hi] {
				sum += y
			}
			out[i] = sum / float64(hi-lo)
			least = min(least, out[i])
		}
	}
	for i := range out {
		if math.IsNaN(out[i]) {
			out[i] = least
		}
	}
	return out
}

// Rounded smooths over three neighbours, the middle one twice.
func Rounded(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = (v[max(i-1, 0)] + 2*v[i] + v[min(i+1, len(v)-1)]) / 4
	}
	return out
}

// Chances are the probabilities that the loudest measure is this one, by weights of
// loudness and place.
func (c Crests) Chances(loud, place float64) []float64 {
	out := make([]float64, len(c.Loud))
	for i := range out {
		out[i] = loud*c.Loud[i] + place*c.Place[i]
	}
	return softmax(out)
}

// Crest is the likeliest measure, and the probability of the measures about it: two on
// either side, in a long piece a fiftieth of it.
func Crest(chances []float64) (at int, mass float64) {
	at = Highest(chances)
	return at, About(chances, at, Reach(len(chances)))
}

// Reach is how many measures on either side of one count as about it, in a piece of n.
func Reach(n int) int { return max(2, n/50) }

// All pieces but one that the confidence is fitted on have 22 measures or more, and all are
// for one piano: of others it is held to what is likely.
const (
	fittedFrom = 22
	unfitted   = 0.8
)

// loudest is the measure that players make loudest, nil where nothing sounds.
func (t *Table) loudest(m Material) *Loudest {
	if len(m.Grid) == 0 || len(m.Score.Measures) == 0 {
		return nil
	}
	at, mass := Crest(m.Crests(nil).Chances(t.Loud, t.Place))
	sure := platt(t.CrestOffset, t.CrestSlope, mass)
	if len(m.Score.Measures) < fittedFrom || len(m.Score.Parts) > 1 {
		sure = min(sure, unfitted)
	}
	return &Loudest{at, sure, tonal.CertaintyOf(sure), m.lifting(at)}
}

// lifting are the causes that lift a measure most above the mean of the piece, which is 0,
// the strongest first: those that give at least a third of the strongest.
func (m Material) lifting(measure int) []shaping.Cause {
	const most = 2
	lift := map[shaping.Cause]float64{}
	var out []shaping.Cause
	for _, c := range shaping.Causes() {
		if says := m.Says[c]; len(says) == len(m.Grid) {
			if lift[c] = Means(m.Score, m.Grid, says)[measure]; lift[c] > 0 {
				out = append(out, c)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b shaping.Cause) int { return cmp.Compare(lift[b], lift[a]) })
	n := 0
	for n < min(most, len(out)) && lift[out[n]] >= lift[out[0]]/3 {
		n++
	}
	return out[:n]
}
