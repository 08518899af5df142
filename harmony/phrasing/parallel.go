package phrasing

import (
	"encoding/binary"
	"sort"

	"hairpin/score"
)

// fewestAttacks is how many moves of a line must agree for a passage to be the same.
const fewestAttacks = 5

// findParallels are the moments at which a passage of the leading line starts
// that comes back elsewhere with the same rhythm and the same steps, at the same
// place in the measure, for at least a measure, but not so often that it is a
// mere figure. Only where the repetition starts counts: what comes before must
// differ, and be no shorter. The opening of the piece needs no such proof.
func (v *surface) findParallels() map[score.Tick]bool {
	l := v.lines[v.lead]
	found := map[uint64][]int{}
	moves := v.sumMoves(l)
	for i := range l.events {
		if n := v.passage(l, i); n > 0 {
			k := mix(moves.between(i, i+n), int(v.phase(l.events[i].onset)))
			found[k] = append(found[k], i)
		}
	}
	often := max(4, len(v.s.Measures)/8)
	out := map[score.Tick]bool{}
	for _, at := range found {
		if len(at) < 2 || len(at) > often || v.sameBefore(l, at) {
			continue
		}
		for _, i := range at {
			if at[0] == 0 || v.opens(l, i) {
				v.markStart(out, l, i)
			}
		}
	}
	return out
}

// markStart marks event i of a line, and the start of a short rest before it, in
// which other lines may start the passage.
func (v *surface) markStart(out map[score.Tick]bool, l line, i int) {
	out[l.events[i].onset] = true
	if i > 0 && l.gap(i-1, v.end) <= v.beat {
		out[l.events[i-1].end] = true
	}
}

// passage is how many moves from event i of a line on make a passage: at least
// fewestAttacks and the length of a measure; 0 if the line ends before.
func (v *surface) passage(l line, i int) int {
	start := l.events[i].onset
	m := v.s.Measures[v.s.MeasureAt(start)]
	rest := l.events[min(i+fewestAttacks, len(l.events)):]
	n := sort.Search(len(rest), func(k int) bool { return rest[k].onset-start >= max(m.Nominal, m.Length) })
	if n == len(rest) {
		return 0
	}
	return fewestAttacks + n
}

// moveSums sum up the moves of a line from its start on, as a polynomial, so
// that any stretch is summed up in one step (Karp & Rabin 1987, Efficient
// randomized pattern-matching algorithms, IBM Journal 31(2)).
type moveSums struct{ upTo, power []uint64 }

const radix = 0x9e3779b97f4a7c15

func (v *surface) sumMoves(l line) moveSums {
	n := len(l.events)
	m := moveSums{make([]uint64, n), make([]uint64, n)}
	for i := range n {
		if i == 0 {
			m.power[0] = 1
			continue
		}
		gap, step := v.move(l, i-1)
		m.upTo[i] = m.upTo[i-1]*radix + mix(mix(offset64, int(gap)), step)
		m.power[i] = m.power[i-1] * radix
	}
	return m
}

// between sums up the moves from event i to event j.
func (m moveSums) between(i, j int) uint64 { return m.upTo[j] - m.upTo[i]*m.power[j-i] }

// mix adds a number to a sum by the method of Fowler, Noll and Vo (FNV-1a, 1991).
func mix(sum uint64, x int) uint64 { return (sum ^ uint64(x)) * 1099511628211 }

const offset64 = 14695981039346656037

// opens reports whether event i of a line can start a group: the event before
// it is as long as it or longer (Lerdahl & Jackendoff 1983, preference rule 2b).
func (v *surface) opens(l line, i int) bool {
	if i == 0 {
		return true
	}
	before, _ := v.move(l, i-1)
	after, _ := v.move(l, i)
	return before >= after && float64(before) >= l.usual(i-1)
}

// phase is the place in the full measure.
func (v *surface) phase(t score.Tick) score.Tick {
	return v.s.Measures[v.s.MeasureAt(t)].Into(t)
}

// move is the time and the steps of the staff from event i of a line to the next.
func (v *surface) move(l line, i int) (score.Tick, int) {
	a, b := l.events[i], l.events[i+1]
	pa, pb := v.s.Notes[a.top].Pitch, v.s.Notes[b.top].Pitch
	return b.onset - a.onset, 7*(pb.Octave-pa.Octave) + pb.Step - pa.Step
}

// sameBefore reports whether every event of the list is reached by the same move.
func (v *surface) sameBefore(l line, at []int) bool {
	if at[0] == 0 {
		return false
	}
	gap, step := v.move(l, at[0]-1)
	for _, i := range at[1:] {
		if g, st := v.move(l, i-1); g != gap || st != step {
			return false
		}
	}
	return true
}

// grounds are the moments at which a ground bass starts again: the lowest notes
// of the measures repeat with a period of 3 to 16 measures in at least two
// thirds of the piece. The limits are choices of ours.
func (v *surface) grounds() map[score.Tick]bool {
	low, kinds := v.lowest()
	for period := 3; period <= 16 && 4*period <= len(low) && kinds >= 3; period++ {
		same := 0
		for i, x := range low[period:] {
			if low[i] == x && x > 0 {
				same++
			}
		}
		if 3*same < 2*(len(low)-period) {
			continue
		}
		out := map[score.Tick]bool{}
		for i := period; i < len(low); i += period {
			out[v.s.Measures[i].Start] = true
		}
		return out
	}
	return nil
}

// lowest numbers the measures by the attacks of their lowest line, the same
// number for the same attacks and 0 for none, and counts the kinds.
func (v *surface) lowest() (numbers []int, kinds int) {
	attacks := make([][]byte, len(v.s.Measures))
	for _, e := range v.bassLine() {
		n := v.s.Notes[e.top]
		text := binary.AppendVarint(attacks[n.Measure], int64(n.Pitch.Class()))
		attacks[n.Measure] = binary.AppendVarint(text, int64(e.onset-v.s.Measures[n.Measure].Start))
	}
	numbers, seen := make([]int, len(attacks)), map[string]int{}
	for i, text := range attacks {
		number, known := seen[string(text)]
		if !known && len(text) > 0 {
			number = i + 1
		}
		seen[string(text)], numbers[i] = number, number
	}
	return numbers, len(seen)
}

// bassLine are the events of the lowest line.
func (v *surface) bassLine() []event {
	bass := -1
	for i, l := range v.lines {
		if len(l.events) > 0 && (bass < 0 || l.height < v.lines[bass].height) {
			bass = i
		}
	}
	if bass < 0 {
		return nil
	}
	return v.lines[bass].events
}
