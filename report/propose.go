package report

import (
	"math"
	"sort"
	"strings"

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

// proposal says how a stretch may be shaped inside the printed marks: "p to
// p–mp, following mainly the harmonic tension", and where it goes against the harmony; "" where it asks for nothing beyond the page.
func (r *Reading) proposal(v verdict.Verdict) string {
	if len(r.Shaping.Proposals) == 0 {
		return ""
	}
	a, b := Shade(r.Line.At(v.Start)), Shade(r.Line.At(max(v.End-1, v.Start)))
	text := a + " to " + b
	if a == b {
		text = a
	}
	cause := r.cause(v.Start, v.End)
	if cause == "" {
		return ""
	}
	return text + ", following mainly the " + string(cause) + r.contrary(v)
}

// contrary owns that the proposed line goes the other way than the harmony of a stretch;
// "" if it does not.
func (r *Reading) contrary(v verdict.Verdict) string {
	const audible = 0.25 // steps
	rise := r.Line.At(max(v.End-1, v.Start)) - r.Line.At(v.Start)
	if v.Harmony.Way == verdict.Down && rise >= audible || v.Harmony.Way == verdict.Up && rise <= -audible {
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

// shape is the proposal for a phrase in one line: the level at the turning
// points, "1:1 p, 3:1 p–mp, 4:3 mf, following mainly the harmonic tension".
func (r *Reading) shape(spans []verdict.Verdict) string {
	if len(spans) == 0 || len(r.Shaping.Proposals) == 0 {
		return ""
	}
	from, to := spans[0].Start, spans[len(spans)-1].End
	cause := r.cause(from, to)
	if cause == "" {
		return ""
	}
	var points []string
	last := ""
	for _, v := range spans {
		if s := Shade(r.Line.At(v.Start)); s != last {
			points = append(points, r.At(v.Start)+" "+s)
			last = s
		}
	}
	if s := Shade(r.Line.At(max(to-1, from))); s != last {
		points = append(points, "at the end "+s)
	}
	return strings.Join(points, ", ") + ", following mainly the " + string(cause)
}
