package events

import (
	"slices"
	"sort"

	"hairpin/score"
)

// What makes two stretches members of a sequence: choices of ours, strict on purpose.
const (
	memberAlike  = 0.8  // share of the notes that are the same, moved
	pairAlike    = 0.9  // the same for two members alone
	memberNotes  = 4    // notes in a member, at least
	memberOnsets = 3    // moments at which they are struck, at least, unless the chord changes within
	furthest     = 5    // steps of the staff from member to member, at most
	pairFurthest = 2    // the same for two members alone: model and answer on a neighbouring degree
	rootsMove    = 0.65 // share of the beats at which the chord's root moves with the notes
)

// run is a pattern that sounds again and again, each time moved by the same steps.
type run struct {
	start, period score.Tick
	members       int
	step, keys    int // from member to member, in steps and semitones
	alike         float64
}

func (r run) end() score.Tick { return r.start + score.Tick(r.members)*r.period }

// sequences are the patterns of melody and harmony that sound again on another pitch, two
// or three times or more; one event is the whole growth.
func (f *finder) sequences() []Event {
	var all []run
	for _, starts := range f.beatStarts() {
		for _, p := range f.periods(starts) {
			if r, ok := f.runFrom(starts, p); ok {
				all = append(all, r)
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return f.better(all[i], all[j]) })
	var out []Event // in order of time, none over another
	for _, r := range all {
		i := sort.Search(len(out), func(i int) bool { return out[i].End > r.start })
		if i == len(out) || out[i].Start >= r.end() {
			out = slices.Insert(out, i, f.sequence(r))
		}
	}
	return out
}

// beatStarts are the moments at which a sequence may begin.
func (f *finder) beatStarts() []score.Tick {
	var out []score.Tick
	for _, m := range f.s.Measures {
		for _, t := range m.Every(m.Beat(f.s.Division)) {
			if m.Into(t)%m.Beat(f.s.Division) == 0 {
				out = append(out, t)
			}
		}
	}
	return out
}

// mostBeats is the longest member that is counted in beats.
const mostBeats = 8

// periods are the lengths a member may have: beats within a measure, and one, two or four
// measures.
func (f *finder) periods(t score.Tick) []score.Tick {
	m := f.s.Measures[f.s.MeasureAt(t)]
	beat := m.Beat(f.s.Division)
	var out []score.Tick
	for p := beat; p < min(m.Nominal, mostBeats*beat+1); p += beat {
		out = append(out, p)
	}
	for _, n := range []score.Tick{1, 2, 4} {
		if m.Nominal > 0 {
			out = append(out, n*m.Nominal)
		}
	}
	return out
}

// runFrom is the sequence that begins at t with members of one length.
func (f *finder) runFrom(t, period score.Tick) (run, bool) {
	r := run{start: t, period: period, members: 1, alike: 1}
	model := f.passage(t, t+period)
	if len(model.notes) < memberNotes || !f.varied(t, period, model) {
		return r, false
	}
	for at := t; ; at += period {
		next := f.passage(at+period, at+2*period)
		k, keys, share := model.moved(next, r.step)
		if share < memberAlike || keys == 0 || !f.rootsMove(at, period, k) { // spelled anew on the same pitch it has not moved
			break
		}
		if r.members == 1 {
			r.step, r.keys = k, keys
		}
		r.members++
		r.alike = min(r.alike, share)
		model = next
	}
	return r, (r.members > 2 || r.members == 2 && f.pair(r)) && !f.scale(r)
}

// scale reports whether the top line of a run only goes up or down the scale: it has no
// motive that could be moved.
func (f *finder) scale(r run) bool {
	var top []int // steps of the staff
	for i := f.sliceAt(r.start); i >= 0 && i < len(f.a.Slices) && f.a.Slices[i].Start < r.end(); i++ {
		if notes := f.a.Slices[i].Notes; len(notes) > 0 {
			top = append(top, staffStep(f.s.Notes[notes[len(notes)-1]].Pitch))
		}
	}
	way := 0
	for i := 1; i < len(top); i++ {
		d := top[i] - top[i-1]
		if d < -1 || d > 1 || d*way < 0 {
			return false
		}
		way += d
	}
	return true
}

// pair reports whether two members are enough: long, near, and nearly exact.
func (f *finder) pair(r run) bool {
	m := f.s.Measures[f.s.MeasureAt(r.start)]
	return r.period >= m.Nominal && r.alike >= pairAlike && r.step*r.step <= pairFurthest*pairFurthest
}

// varied reports whether the model is more than a note or a held chord.
func (f *finder) varied(t, period score.Tick, model passage) bool {
	onsets := 1
	for i, x := range model.notes[1:] {
		if x.at != model.notes[i].at {
			onsets++
		}
	}
	from, to := f.chordsIn(t, t+period)
	return onsets >= memberOnsets || onsets >= 2 && to-from >= 2
}

// rootsMove reports whether the chords of the next member lie as many steps away as its notes.
func (f *finder) rootsMove(t, period score.Tick, k int) bool {
	beat := f.s.BeatAt(t)
	moved, all := 0, 0
	for at := t; at < t+period; at += beat {
		a, b := f.chordAt(at), f.chordAt(at+period)
		if a < 0 || b < 0 {
			continue
		}
		all++
		if a != b && (f.a.Chords[b].Root.Step()-f.a.Chords[a].Root.Step()-k)%7 == 0 {
			moved++
		}
	}
	return all > 0 && float64(moved) >= rootsMove*float64(all)
}

// better orders runs: the longer, then the one with more members, then the one that
// begins on the stronger beat, then the earlier.
func (f *finder) better(a, b run) bool {
	la, lb := a.end()-a.start, b.end()-b.start
	wa, wb := f.s.Weight(a.start), f.s.Weight(b.start)
	switch {
	case la != lb:
		return la > lb
	case a.members != b.members:
		return a.members > b.members
	case wa > wb || wb > wa:
		return wa > wb
	}
	return a.start < b.start
}

func (f *finder) sequence(r run) Event {
	e := Event{Kind: Sequence, Start: r.start, End: r.end(), Part: -1, Chord: f.chordAt(r.start), Members: r.members, Step: r.step, Semitones: r.keys}
	e.Key = f.keyOf(f.chordsIn(e.Start, e.End))
	e.Confidence = min(0.6+0.15*float64(r.members-2), 0.95) * r.alike
	e.Reasons = []Reason{Reason(plural(r.members, "member")), "melody and harmony move alike"}
	return e
}
