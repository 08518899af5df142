package performance

import (
	"slices"

	"hairpin/score"
)

// Verdict is what a player did with something printed.
type Verdict string

// The verdicts.
const (
	Followed Verdict = "followed"
	Flat     Verdict = "flat"
	Contrary Verdict = "contrary"
	Unknown  Verdict = "" // not played, or too little of it
)

// The least change of loudness that is told, in decibels, and the least that is
// clear.
const (
	leaningFrom = 2.0
	clearFrom   = 3.5
)

// HairpinPlayed is what became of a printed hairpin in one pass over it.
type HairpinPlayed struct {
	Hairpin int // index into Score.Hairpins
	Run     int
	Change  float64 // dB from its start to its end, louder positive
	Notes   int     // that it was measured on
	Verdict Verdict
	Clear   bool // else leaning
}

// hairpins judges every printed hairpin in every run over it.
func (p *Playing) hairpins(s *score.Score) (out []HairpinPlayed) {
	for i, h := range s.Hairpins {
		if h.Hidden || h.End <= h.Start {
			continue
		}
		sign := 1.0
		if h.Kind == score.Diminuendo {
			sign = -1
		}
		for run := range p.Runs {
			change, notes, ok := p.change(h.Start, h.End, run, h.Part)
			if !ok {
				continue
			}
			v, clear := judge(sign * change)
			out = append(out, HairpinPlayed{i, run, change, notes, v, clear})
		}
	}
	return out
}

// judge reads a change in the printed direction.
func judge(change float64) (v Verdict, clear bool) {
	switch {
	case change >= leaningFrom:
		return Followed, change >= clearFrom
	case change <= -leaningFrom:
		return Contrary, change <= -clearFrom
	}
	return Flat, false
}

// What a change is measured on: at least so many notes, and pairs of notes at least
// so far apart, as a share of the stretch.
const (
	leastNotes = 4
	leastApart = 0.3
)

// change is how much louder the playing grows from one tick to another. Of sound it
// is the mean of two measures: of the notes and of all that sounds.
func (p *Playing) change(from, to score.Tick, run, part int) (db float64, notes int, ok bool) {
	db, notes, ok = slope(p.entries, from, to, run, part)
	if !p.Sound || !ok {
		return db, notes, ok
	}
	if all, _, known := slope(p.places, from, to, run, -1); known {
		db = (db + all) / 2
	}
	return db, notes, true
}

// slope is the median of the slopes between pairs of notes (Theil 1950 and Sen 1968,
// "Estimates of the regression coefficient based on Kendall's tau"; citations from
// memory), over the whole stretch.
func slope(list []entry, from, to score.Tick, run, part int) (db float64, notes int, ok bool) {
	var x, y []float64
	for _, e := range list {
		if e.run == run && e.at >= from && e.at <= to && (part < 0 || e.part < 0 || e.part == part) {
			x, y = append(x, float64(e.at-from)/float64(to-from)), append(y, e.relative)
		}
	}
	if len(x) < leastNotes {
		return 0, len(x), false
	}
	var slopes []float64
	for i := range x {
		for j := range x[:i] {
			if d := x[i] - x[j]; d >= leastApart || d <= -leastApart {
				slopes = append(slopes, (y[i]-y[j])/d)
			}
		}
	}
	if len(slopes) == 0 {
		return 0, len(x), false
	}
	return median(slopes), len(x), true
}

// median of a list that is not empty; it sorts the list.
func median(v []float64) float64 {
	slices.Sort(v)
	k := len(v) / 2
	if len(v)%2 == 1 {
		return v[k]
	}
	return (v[k-1] + v[k]) / 2
}
