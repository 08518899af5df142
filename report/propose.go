package report

import (
	"math"
	"slices"
	"sort"
	"strings"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/score"
)

// Shade names a level by its mark, or by both where it lies a quarter of a step or more
// beside one: "p", "p–mp". Beyond the marks of the scale it is the last of them.
func Shade(level float64) string {
	mark, beside := page.Mark(level), page.Mark(level)
	switch off := level - math.Round(level); {
	case off >= 0.25:
		beside = page.Mark(level + 1)
	case off <= -0.25:
		mark = page.Mark(level - 1)
	}
	if mark == beside {
		return mark
	}
	return mark + "–" + beside
}

// proposal says how a stretch may be shaped inside the printed marks: "p to mf to p,
// following mainly the melody height", and where it goes against the harmony; "" where
// it asks for nothing beyond the page.
func (r *Reading) proposal(v verdict.Verdict) string {
	if len(r.Shaping.Proposals) == 0 {
		return ""
	}
	cause := r.cause(v.Start, v.End)
	if cause == "" {
		return ""
	}
	levels := r.drawn(v.Start, v.End)
	var marks []string
	for _, level := range levels {
		marks = append(marks, page.Mark(level))
	}
	if marks = slices.Compact(marks); len(marks) < 2 {
		return "" // a shade that no mark names
	}
	return strings.Join(marks, " to ") + ", following mainly the " + string(cause) + contrary(v.Harmony.Way, levels)
}

// drawn are the levels of the proposed line over a stretch: at its start, where it turns
// inside, and at its end.
func (r *Reading) drawn(from, to score.Tick) []float64 {
	out, list := []float64{r.Line.At(from)}, r.Plan.Proposals
	for i := sort.Search(len(list), func(i int) bool { return list[i].End > from }); i < len(list) && list[i].Start < to; i++ {
		for _, t := range list[i].Turns {
			if t.At > from && t.At < to {
				out = append(out, t.Level)
			}
		}
	}
	return append(out, r.Line.Before(max(to, from+1)))
}

// contrary owns that a proposed line goes the other way than the harmony of its stretch;
// "" if it does not, or if it turns on the way.
func contrary(harmony verdict.Way, levels []float64) string {
	const audible = 0.25 // steps
	first, last := levels[0], levels[len(levels)-1]
	if slices.Max(levels) > max(first, last)+audible || slices.Min(levels) < min(first, last)-audible {
		return ""
	}
	if harmony == verdict.Down && last-first >= audible || harmony == verdict.Up && last-first <= -audible {
		return ", against the harmony"
	}
	return ""
}

// cause is what bends the proposed line most over a stretch, "" if it hardly bends.
// The marks themselves are named only where nothing in the music asks for it.
func (r *Reading) cause(from, to score.Tick) shaping.Cause {
	causes, bend := shaping.Causes(), 0.0
	weight := make([]float64, len(causes))
	for _, p := range r.proposals(from, to) {
		p = p.On(r.Line.At(p.At))
		bend = max(bend, math.Abs(p.Bend()))
		for k, x := range p.Causes {
			weight[k] += x * math.Copysign(1, p.Bend())
		}
	}
	if bend < 0.25 {
		return ""
	}
	main, most := shaping.ByPage, 0.0
	for k, c := range causes {
		if c != shaping.ByPage && weight[k] > most {
			main, most = c, weight[k]
		}
	}
	return main
}

func (r *Reading) proposals(from, to score.Tick) []shaping.Proposal {
	all := r.Shaping.Proposals
	i := sort.Search(len(all), func(i int) bool { return all[i].At >= from })
	j := sort.Search(len(all), func(i int) bool { return all[i].At >= to })
	return all[i:max(i, j)]
}

// shape is the proposal for a phrase in one line: the marks of its row with their places,
// "1:1 p, 4:3 mf, at the end p, following mainly the melody height".
func (r *Reading) shape(k int) string {
	if k >= len(r.Plan.Proposals) {
		return ""
	}
	p := r.Plan.Proposals[k]
	cause := r.cause(p.Start, p.End)
	if cause == "" || len(p.Turns) < 2 {
		return ""
	}
	var points []string
	for i, t := range p.Turns {
		switch {
		case i > 0 && t.At == p.Turns[i-1].At:
			points[len(points)-1] += " then " + page.Mark(t.Level)
		case i == 0:
			points = append(points, r.At(r.takenUp(p))+" "+page.Mark(t.Level))
		case t.At >= p.End:
			points = append(points, "at the end "+page.Mark(t.Level))
		default:
			points = append(points, r.At(t.At)+" "+page.Mark(t.Level))
		}
	}
	return strings.Join(points, ", ") + ", following mainly the " + string(cause)
}

// takenUp is where a phrase has the level that it starts from: after an upbeat that is
// played as printed, its first full measure.
func (r *Reading) takenUp(p advice.Proposal) score.Tick {
	if page.Mark(p.From) == page.Mark(r.Line.At(p.Start)) {
		return p.Start
	}
	return min(r.Score.Measures[r.Score.MeasureAt(p.Start)].End(), p.End-1)
}

// goes reports whether phrase k is told to go somewhere.
func (r *Reading) goes(k int) bool { return k < len(r.Plan.Goals) && r.goal(k).Told() }
