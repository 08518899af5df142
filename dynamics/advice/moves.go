package advice

import (
	"math"
	"sort"

	"hairpin/dynamics/shaping"
	"hairpin/score"
)

// Move is a place at which a kind of advice might be given: what is compared is
// the loudness at From and at To, or the time that From takes.
type Move struct {
	Comparable
	Goal     int // index into the goals
	From, To score.Tick
	Cause    Cause   // what speaks most for it
	Tension  float64 // by how much the tension changes on the way
}

// leastBeats is how many beats a growth or an easing takes at least: less is an accent.
const leastBeats = 2

// Moves are the places of all kinds, kind by kind.
func (m Material) Moves(goals []Goal) []Move {
	c := curves{m: m, sum: make([]float64, len(m.Beats))}
	c.raw = m.quantities()
	for k := range c.raw {
		c.raw[k] = Smooth(c.raw[k])
	}
	for k, q := range quantities() {
		for i, x := range c.raw[k] {
			if q.of != "" {
				c.sum[i] += x
			}
		}
	}
	var out []Move
	for i, g := range goals {
		out = append(out, c.toGoal(i, g)...)
	}
	out = append(out, c.atEnds(goals)...)
	return append(out, m.leans(goals)...)
}

// curves are the quantities at the beats, and the sum of the shaping's causes.
type curves struct {
	m   Material
	raw [][]float64
	sum []float64
}

// toGoal is the growth to a goal and the easing after it.
func (c curves) toGoal(i int, g Goal) (out []Move) {
	lo, at, hi := c.m.beat(g.Start), c.m.beat(g.At), c.m.beat(g.End)-1
	if at-lo >= leastBeats {
		out = append(out, c.move(Grow, i, lo, at))
	}
	if hi-at >= leastBeats {
		out = append(out, c.move(Ease, i, at, hi))
	}
	return out
}

// The classes of growth and easing, in performers' spreads of loudness: chosen so
// that each has enough places.
const (
	plainFrom = 0.3
	largeFrom = 0.9
)

func (c curves) move(k Kind, goal, from, to int) Move {
	way := 1.0
	if k == Ease {
		way = -1
	}
	return Move{
		Comparable: Comparable{k, classOf(way * (c.sum[to] - c.sum[from]))},
		Goal:       goal, From: c.m.Beats[from], To: c.m.Beats[to],
		Cause: c.cause(from, to, way), Tension: c.tension(from, to),
	}
}

func classOf(size float64) Class {
	switch {
	case size <= 0:
		return Contrary
	case size < plainFrom:
		return Slight
	case size < largeFrom:
		return Plain
	}
	return Large
}

// cause is the cause that moves most the same way.
func (c curves) cause(from, to int, way float64) Cause {
	by := map[Cause]float64{}
	for k, q := range quantities() {
		if q.of != "" {
			by[q.group] += way * (c.raw[k][to] - c.raw[k][from])
		}
	}
	most := ByPhrase
	for _, x := range [...]Cause{ByHarmony, ByLine, ByTexture, ByMetre, ByPage} {
		if by[x] > by[most]+1e-12 {
			most = x
		}
	}
	return most
}

// tension is the change of tension between two beats, -100 to 100.
func (c curves) tension(from, to int) float64 {
	for k, q := range quantities() {
		if q.name == tensionTotal {
			return tensionScale * (c.raw[k][to] - c.raw[k][from])
		}
	}
	return 0
}

// End is the last measure of a phrase: from the beat a measure before its last beat to that.
type End struct {
	Phrase     int // index into Analysis.Phrases
	Start, End score.Tick
	From, Last score.Tick
	Class      Class
}

// Ends are the ends of the phrases that are longer than a measure.
func (m Material) Ends() (out []End) {
	for k, p := range m.phrases() {
		hi := m.beat(p.End) - 1
		if hi < 0 {
			continue
		}
		last := m.Beats[hi]
		bar := m.Score.Measures[m.Score.MeasureAt(last)].Length
		e := End{Phrase: k, Start: p.Start, End: p.End, From: last - bar, Last: last, Class: NoClose}
		if before := m.beat(max(e.From, 0)); before < hi && m.Beats[before] >= p.Start {
			e.From = m.Beats[before]
		} else {
			continue
		}
		if p.Cadence >= 0 {
			e.Class = AtClose
		}
		out = append(out, e)
	}
	return out
}

// atEnds are the tapers of phrases and the time taken before the next.
func (c curves) atEnds(goals []Goal) (out []Move) {
	of := map[int]int{}
	for i, g := range goals {
		of[g.Phrase] = i
	}
	for _, e := range c.m.Ends() {
		i, ok := of[e.Phrase]
		if !ok {
			continue
		}
		t := c.tension(c.m.beat(e.From), c.m.beat(e.Last))
		out = append(out,
			Move{Comparable{Taper, e.Class}, i, e.From, e.Last, ByPhrase, t},
			Move{Comparable{TakeTime, AnyEnd}, i, e.Last, e.End, ByPhrase, t})
	}
	return out
}

// leans are the appoggiaturas and suspensions that resolve on a later beat.
func (m Material) leans(goals []Goal) (out []Move) {
	last := score.Tick(-1)
	for _, l := range shaping.Leans(m.Score, m.Analysis) {
		from, to := m.beat(l.At+1)-1, m.beat(l.Release+1)-1
		i := sort.Search(len(goals), func(i int) bool { return goals[i].End > l.At })
		if from < 0 || from == to || l.At == last || i == len(goals) || goals[i].Start > l.At {
			continue
		}
		last = l.At
		out = append(out, Move{Comparable{Lean, OnBeat}, i, m.Beats[from], m.Beats[to], ByHarmony, math.NaN()})
	}
	return out
}
