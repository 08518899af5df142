package performance

import (
	"cmp"
	"math"
	"slices"

	"hairpin/internal/midi"
	"hairpin/performance/follow"
	"hairpin/score"
)

// followKeys lays keys struck over the score.
func followKeys(s *score.Score, t *Take, slots []slot) (*Playing, error) {
	strokes := make([]follow.Stroke, len(t.Keys))
	for i, k := range t.Keys {
		strokes[i] = follow.Stroke{On: k.On, Key: k.Key}
	}
	f := follow.Strokes(s, strokes)
	p := &Playing{Name: t.Name, Seconds: t.Seconds(), Sure: f.Sure, Runs: f.Runs}
	if err := p.known(leastKeys); err != nil {
		return nil, err
	}
	p.entries = keyEntries(s, t.Keys, f)
	p.countKeys(s, t.Keys, f)
	p.Lost = lost(f.Runs, p.Seconds, rest(s, f.Runs), func(from, to float64) bool {
		return slices.ContainsFunc(t.Keys, func(k midi.Stroke) bool { return k.On > from && k.On < to })
	})
	p.measure(s, slots, func(from, to float64, run int, b slot) (level float64, ok bool) { return p.loudestKey(run, b) }, p.keyListener(s))
	return p, nil
}

// velocityLevel is the level of a velocity in decibels.
func velocityLevel(v int) float64 { return 40 * math.Log10(float64(max(v, 1))/127) }

// keyEntries are the notes found, grace notes left out, with their levels.
func keyEntries(s *score.Score, keys []midi.Stroke, f *follow.Following) []entry {
	var out []entry
	for _, m := range f.Matches {
		n := s.Notes[m.Note]
		if n.Grace {
			continue
		}
		l := velocityLevel(keys[m.Stroke].Velocity)
		out = append(out, entry{at: n.Onset, run: m.Run, time: keys[m.Stroke].On, part: n.Part, level: l, note: m.Note})
	}
	slices.SortStableFunc(out, func(a, b entry) int { return cmp.Or(cmp.Compare(a.run, b.run), cmp.Compare(a.at, b.at)) })
	lessUsual(s, out)
	return out
}

// loudestKey is the level of the loudest note that begins in a beat of a run.
func (p *Playing) loudestKey(run int, b slot) (level float64, ok bool) {
	for _, e := range p.entries {
		if e.run == run && e.at >= b.at && e.at < b.end && (!ok || e.level > level) {
			level, ok = e.level, true
		}
	}
	return level, ok
}

// countKeys tells what was missed and what was wrong. A note is missed if it is
// written inside a run and not played in it.
func (p *Playing) countKeys(s *score.Score, keys []midi.Stroke, f *follow.Following) {
	right := map[int]bool{}
	played := make([]map[int]bool, len(f.Runs))
	for i := range played {
		played[i] = map[int]bool{}
	}
	for _, m := range f.Matches {
		right[m.Stroke], played[m.Run][m.Note] = true, true
		p.Right = append(p.Right, Right{keys[m.Stroke].On, keys[m.Stroke].Key, m.Note, m.Run})
	}
	for i, r := range f.Runs {
		first, last := r.Points[0].At, r.Points[len(r.Points)-1].At
		for k, n := range s.Notes {
			if n.Onset >= first && n.Onset <= last && !played[i][k] && !n.Cue && !n.Unpitched && !n.Grace && !doubled(s, k, played[i]) {
				p.Missed = append(p.Missed, k)
			}
		}
	}
	for i, k := range keys {
		if at, ok := where(f.Runs, k.On); ok && !right[i] {
			p.Wrong = append(p.Wrong, Wrong{k.On, k.Key, at})
		}
	}
	slices.Sort(p.Missed)
	p.Counts = Counts{len(keys), len(f.Matches), len(p.Missed), len(p.Wrong)}
}

// doubled reports whether another voice plays the same key at the same time.
func doubled(s *score.Score, k int, played map[int]bool) bool {
	n := s.Notes[k]
	for d := -1; d <= 1; d += 2 {
		for i := k + d; i >= 0 && i < len(s.Notes) && s.Notes[i].Onset == n.Onset; i += d {
			if played[i] && s.Notes[i].Pitch.Key() == n.Pitch.Key() {
				return true
			}
		}
	}
	return false
}

// where is about the place of a time: that of the last point of a run before it.
func where(runs []follow.Run, time float64) (score.Tick, bool) {
	for _, r := range runs {
		if time < r.Points[0].Time || time > r.Points[len(r.Points)-1].Time {
			continue
		}
		i, _ := slices.BinarySearchFunc(r.Points, time, func(p follow.Point, t float64) int {
			if p.Time <= t {
				return -1
			}
			return 1
		})
		return r.Points[max(i-1, 0)].At, true
	}
	return 0, false
}
