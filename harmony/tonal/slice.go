package tonal

import (
	"slices"
	"sort"

	"hairpin/score"
)

// Slice is the time between two neighbouring onsets or releases.
type Slice struct {
	Start, End score.Tick
	Notes      []int // indices into Score.Notes of the pitched notes that sound, lowest first
}

// Slices cuts the score at every onset and release of its pitched notes;
// part 0 takes all parts, otherwise only that part, counted from 1. Silences
// inside the piece are slices without notes.
func Slices(s *score.Score, part int) []Slice {
	var heard []int
	for i, n := range s.Notes {
		if n.Pitched() && (part == 0 || n.Part == part-1) {
			heard = append(heard, i)
		}
	}
	cuts := make([]score.Tick, 0, 2*len(heard)+2)
	for _, i := range heard {
		cuts = append(cuts, s.Notes[i].Onset, s.Notes[i].End())
	}
	sort.Slice(cuts, func(i, j int) bool { return cuts[i] < cuts[j] })
	cuts = slices.Compact(cuts)
	if len(cuts) < 2 {
		return nil
	}
	out := make([]Slice, len(cuts)-1)
	var sounding []int
	next := 0
	for i := range out {
		at := cuts[i]
		sounding = keep(sounding, func(n int) bool { return s.Notes[n].End() > at })
		for next < len(heard) && s.Notes[heard[next]].Onset == at {
			sounding = append(sounding, heard[next])
			next++
		}
		sort.SliceStable(sounding, func(a, b int) bool {
			return s.Notes[sounding[a]].Pitch.MIDI() < s.Notes[sounding[b]].Pitch.MIDI()
		})
		out[i] = Slice{at, cuts[i+1], append([]int(nil), sounding...)}
	}
	return out
}

func keep(list []int, ok func(int) bool) []int {
	out := list[:0]
	for _, v := range list {
		if ok(v) {
			out = append(out, v)
		}
	}
	return out
}
