package follow

import (
	"cmp"
	"slices"
	"sort"

	"hairpin/score"
)

// passage is a run while it is being made: consecutive clusters of the path and
// when each place of it was reached.
type passage struct {
	p      *page
	held   []held
	times  map[int]float64 // by place
	placed []int           // the keys of times, rising
}

// held is a stroke and the place at which the path was.
type held struct{ stroke, place int }

// passages cuts a path where it jumps.
func (p *page) passages(c []cluster, path []step) (out []*passage) {
	for t, x := range path {
		if t == 0 || x.move == moveJump || x.move >= moveSign {
			out = append(out, &passage{p: p, times: map[int]float64{}})
		}
		r := out[len(out)-1]
		for _, i := range c[t].strokes {
			r.held = append(r.held, held{i, x.place})
		}
		if _, known := r.times[x.place]; !known && x.move != moveNone {
			r.times[x.place] = c[t].on
		}
	}
	return out
}

// How far from its time, in seconds, a stroke may be the note of a place: first
// the near ones are given their notes, then the rest.
const (
	near = 0.12
	far  = 0.4
)

// match gives the strokes their notes, passage by passage: twice, since the times
// of the places are better known after the first.
func (p *page) match(list []Stroke, c []cluster, path []step) *Following {
	f := &Following{}
	for _, r := range p.passages(c, path) {
		pairs := r.pair(list)
		r.retime(list, pairs)
		pairs = r.pair(list)
		if !r.trusted(pairs) {
			continue
		}
		r.retime(list, pairs)
		f.add(r, pairs)
	}
	slices.SortFunc(f.Matches, func(a, b Match) int { return cmp.Compare(a.Stroke, b.Stroke) })
	f.Sure = float64(len(f.Matches)) / float64(len(list))
	return f
}

// pair is a stroke given to a note of a place.
type pair struct {
	stroke, note, place int
	off                 float64 // what speaks against it, in seconds
}

// pair gives strokes their notes, the likeliest first; each note is played once.
func (r *passage) pair(list []Stroke) (out []pair) {
	stroke, note := map[int]bool{}, map[int]bool{}
	r.placed = r.placed[:0]
	for k := range r.times {
		r.placed = append(r.placed, k)
	}
	slices.Sort(r.placed)
	all := r.candidates(list)
	for _, within := range [...]float64{near, far} {
		for _, x := range all {
			if x.off <= within && !stroke[x.stroke] && !note[x.note] {
				stroke[x.stroke], note[x.note] = true, true
				out = append(out, x)
			}
		}
	}
	return out
}

// reach is how many places from that of the path a stroke's note may stand.
const reach = 5

// candidates are the notes that each stroke may be, the likeliest first.
func (r *passage) candidates(list []Stroke) (out []pair) {
	for _, h := range r.held {
		for k := max(h.place-reach, 0); k <= min(h.place+reach, len(r.p.places)-1); k++ {
			time, ok := r.time(k)
			if !ok {
				continue
			}
			off := max(time-list[h.stroke].On, list[h.stroke].On-time)
			for _, i := range r.p.places[k].notes {
				n := r.p.s.Notes[i]
				if n.Pitch.Key() != list[h.stroke].Key {
					continue
				}
				x := pair{h.stroke, i, k, off}
				if n.Grace {
					x.off += 0.05
				}
				if k != h.place {
					x.off += 0.02
				}
				if x.off <= far {
					out = append(out, x)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b pair) int { return cmp.Compare(a.off, b.off) })
	return out
}

// time is when a place was or would have been played; false outside of the passage.
func (r *passage) time(k int) (float64, bool) {
	if t, ok := r.times[k]; ok {
		return t, true
	}
	i := sort.SearchInts(r.placed, k)
	if i == 0 || i == len(r.placed) {
		return 0, false
	}
	a, b := r.placed[i-1], r.placed[i]
	if k-a > 2*reach || b-k > 2*reach {
		return 0, false
	}
	share := (r.p.quarters(k) - r.p.quarters(a)) / (r.p.quarters(b) - r.p.quarters(a))
	return r.times[a] + share*(r.times[b]-r.times[a]), true
}

// retime sets the time of each place to the median of the notes found there.
// A place without any keeps its time only for the search.
func (r *passage) retime(list []Stroke, pairs []pair) {
	by := map[int][]float64{}
	for _, x := range pairs {
		if !r.p.s.Notes[x.note].Grace {
			by[x.place] = append(by[x.place], list[x.stroke].On)
		}
	}
	if len(by) > 0 {
		clear(r.times)
	}
	for k, v := range by {
		r.times[k] = median(v)
	}
}

// What a passage needs to be believed.
const (
	leastPairs = 4
	leastShare = 0.4 // of its strokes
)

func (r *passage) trusted(pairs []pair) bool {
	return len(pairs) >= leastPairs && float64(len(pairs)) >= leastShare*float64(len(r.held))
}

// longestHole is how many quarters without a note found end a run: beyond it the
// place in between is not known.
const longestHole = 8.0

// add makes runs of a passage: one, or more where it has holes.
func (f *Following) add(r *passage, pairs []pair) {
	slices.SortFunc(pairs, func(a, b pair) int { return cmp.Or(cmp.Compare(a.place, b.place), cmp.Compare(a.stroke, b.stroke)) })
	var run Run
	last, begin := -1, len(f.Matches)
	for _, x := range pairs {
		if last >= 0 && r.p.quarters(x.place)-r.p.quarters(last) > longestHole {
			f.close(run, begin)
			run, begin = Run{}, len(f.Matches)
		}
		if t, ok := r.times[x.place]; ok && x.place != last {
			run.Points = append(run.Points, Point{r.p.places[x.place].at, t})
		}
		last = x.place
		f.Matches = append(f.Matches, Match{x.stroke, x.note, len(f.Runs)})
	}
	f.close(run, begin)
}

// close adds a run whose matches are those from begin on, its times made to rise.
// One of grace notes only is left out.
func (f *Following) close(run Run, begin int) {
	if len(run.Points) == 0 {
		f.Matches = f.Matches[:begin]
		return
	}
	for i := 1; i < len(run.Points); i++ {
		run.Points[i].Time = max(run.Points[i].Time, run.Points[i-1].Time)
	}
	f.Runs = append(f.Runs, run)
}

// At is when a tick of the run was reached: that of a point, or between two; false
// outside of it.
func (r Run) At(t score.Tick) (float64, bool) {
	i := sort.Search(len(r.Points), func(i int) bool { return r.Points[i].At >= t })
	switch {
	case i == len(r.Points):
		return 0, false
	case r.Points[i].At == t:
		return r.Points[i].Time, true
	case i == 0:
		return 0, false
	}
	a, b := r.Points[i-1], r.Points[i]
	return a.Time + (b.Time-a.Time)*float64(t-a.At)/float64(b.At-a.At), true
}
