package harmony

import (
	"fmt"

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
	for i := range l.events {
		if k, ok := v.passage(l, i); ok {
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

// passage sums up how a line goes on from event i, for at least fewestAttacks
// moves and the length of a measure; false if the line ends before.
func (v *surface) passage(l line, i int) (uint64, bool) {
	start := l.events[i].onset
	m := v.s.Measures[v.s.MeasureAt(start)]
	h := mix(offset64, int(v.phase(start)))
	for j := i; j+1 < len(l.events); j++ {
		gap, step := v.move(l, j)
		h = mix(mix(h, int(gap)), step)
		if j-i+1 >= fewestAttacks && l.events[j+1].onset-start >= max(m.Nominal, m.Length) {
			return h, true
		}
	}
	return 0, false
}

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

// phase is the place in the measure; a pickup counts to the end of a full one.
func (v *surface) phase(t score.Tick) score.Tick {
	m := v.s.Measures[v.s.MeasureAt(t)]
	if m.Pickup && m.Nominal > m.Length {
		return t - m.Start + m.Nominal - m.Length
	}
	return t - m.Start
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
	low := v.lowest()
	for period := 3; period <= 16 && 4*period <= len(low); period++ {
		same, kinds := 0, map[string]bool{}
		for i, x := range low {
			if kinds[x] = true; i >= period && low[i-period] == x && x != "" {
				same++
			}
		}
		if 3*same < 2*(len(low)-period) || len(kinds) < 3 {
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

// lowest spells the attacks of the lowest line of each measure.
func (v *surface) lowest() []string {
	out := make([]string, len(v.s.Measures))
	bass := -1
	for i, l := range v.lines {
		if len(l.events) > 0 && (bass < 0 || l.height < v.lines[bass].height) {
			bass = i
		}
	}
	if bass < 0 {
		return out
	}
	for _, e := range v.lines[bass].events {
		n := v.s.Notes[e.top]
		out[n.Measure] += fmt.Sprint(n.Pitch.Class(), e.onset-v.s.Measures[n.Measure].Start, ",")
	}
	return out
}
