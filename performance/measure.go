package performance

import (
	"cmp"
	"fmt"
	"slices"

	"hairpin/performance/follow"
	"hairpin/performance/sound"
	"hairpin/score"
)

// The least share of what was played that the score must explain. Of ten takes laid
// over other pieces' scores keys gave none and sound at most .25; over their own,
// with faults and through a telephone, .82 and .45 at least.
const (
	leastKeys  = 0.3
	leastSound = 0.32
)

// known fails where the take is not of this score.
func (p *Playing) known(least float64) error {
	if len(p.Runs) > 0 && p.Sure >= least {
		return nil
	}
	return fmt.Errorf("%s: %w", p.Name, &sound.Error{
		Text: "not found in this score: it seems to be another piece",
		Hint: "check that SCORE is what was played, at the pitch at which it was played",
	})
}

// How long a stretch without the place must be to be told, in seconds, and what the
// last tones may ring.
const (
	shortest = 1.0
	rings    = 4.0
)

// lost lists where the place is not known; played reports whether anything sounds
// between two times, end is how long what is written after the last place takes.
func lost(runs []follow.Run, seconds, end float64, played func(from, to float64) bool) (out []Lost) {
	at := 0.0
	for _, r := range runs {
		if to := r.Points[0].Time; to-at >= shortest {
			out = append(out, Lost{at, to, !played(at, to)})
		}
		at = r.Points[len(r.Points)-1].Time
	}
	if at += 1.5*end + rings; seconds-at >= shortest && played(at, seconds) {
		out = append(out, Lost{at, seconds, false})
	}
	return out
}

// rest is how many seconds the notes of the last place take at the tempo there.
func rest(s *score.Score, runs []follow.Run) float64 {
	points := runs[len(runs)-1].Points
	a, b := points[max(len(points)-9, 0)], points[len(points)-1]
	longest := score.Tick(0)
	for _, n := range s.Notes {
		if n.Onset == b.At {
			longest = max(longest, n.Duration)
		}
	}
	if b.At <= a.At {
		return 0
	}
	return (b.Time - a.Time) / float64(b.At-a.At) * float64(longest)
}

// loudness is the level of a beat played between two times in a run.
type loudness func(from, to float64, run int, b slot) (level float64, ok bool)

// measure fills in the beats, the hairpins and the evenness.
func (p *Playing) measure(s *score.Score, slots []slot, loud loudness, listen listener) {
	for i, r := range p.Runs {
		p.beatsOf(i, r, slots)
	}
	slices.SortStableFunc(p.Beats, func(a, b Beat) int { return cmp.Compare(a.Time, b.Time) })
	for i := range p.Beats {
		p.loudBeat(i, slots, loud)
	}
	p.tempi()
	p.Hairpins = p.hairpins(s)
	p.Uneven = p.evenness(s, listen)
}

// beatsOf adds the beats of a run that were played, or lie between notes that were.
func (p *Playing) beatsOf(i int, r follow.Run, slots []slot) {
	first, _ := slices.BinarySearchFunc(slots, r.Points[0].At, func(b slot, t score.Tick) int { return cmp.Compare(b.at, t) })
	for _, b := range slots[first:] {
		t, ok := r.At(b.at)
		if !ok {
			break
		}
		p.Beats = append(p.Beats, Beat{At: b.at, Run: i, Time: t, Unit: b.end - b.at})
	}
}

// The end of a beat for its loudness: the next beat, but not more than so many
// seconds; after the last one less.
const (
	longestBeat = 4.0
	lastBeat    = 1.5
)

func (p *Playing) loudBeat(i int, slots []slot, loud loudness) {
	b := &p.Beats[i]
	end := b.Time + lastBeat
	if i+1 < len(p.Beats) {
		end = min(p.Beats[i+1].Time, b.Time+longestBeat)
	}
	k, _ := slices.BinarySearchFunc(slots, b.At, func(b slot, t score.Tick) int { return cmp.Compare(b.at, t) })
	if b.Level, b.Loud = loud(b.Time, end, b.Run, slots[k]); !b.Loud {
		return
	}
	sum, count := 0.0, 0
	for _, e := range p.entries {
		if e.run == b.Run && e.at >= slots[k].at && e.at < slots[k].end {
			sum, count = sum+e.relative, count+1
		}
	}
	if count > 0 {
		b.Relative = sum / float64(count)
	}
}

// tempoSpan is over how many beats on each side the tempo is taken.
const tempoSpan = 2

// tempi fills in the tempo around each beat.
func (p *Playing) tempi() {
	for i := range p.Beats {
		a, b := i, i
		for a > 0 && i-a < tempoSpan && p.Beats[a-1].Run == p.Beats[i].Run {
			a--
		}
		for b+1 < len(p.Beats) && b-i < tempoSpan && p.Beats[b+1].Run == p.Beats[i].Run {
			b++
		}
		x, y := p.Beats[a], p.Beats[b]
		if y.Time > x.Time && p.Beats[i].Unit > 0 {
			p.Beats[i].Tempo = 60 * float64(y.At-x.At) / float64(p.Beats[i].Unit) / (y.Time - x.Time)
		}
	}
}
