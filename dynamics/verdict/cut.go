package verdict

import (
	"slices"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// stretch is a part of a phrase that has one verdict. Where the harmony turns,
// one stretch ends with the beat with which the next begins; the page is read
// up to that beat's start, so that no mark counts in two stretches.
type stretch struct{ from, to, until score.Tick }

// turnMove is a rise or fall of tension that makes a stretch of its own, of 100.
// Our own choice: from a tonic to its dominant is about 45.
const turnMove = 40.0

// stretches cuts each phrase where a printed movement begins or ends, and what
// lies between where the harmony turns. None is shorter than a measure unless
// its phrase is.
func (j *judge) stretches() []stretch {
	var out []stretch
	for _, ph := range j.phrases() {
		lo, hi := j.beatAt(ph.Start), j.beatAt(ph.End-1)
		if hi <= lo {
			continue
		}
		out = append(out, j.cut(lo, hi)...)
	}
	return out
}

// border is where two stretches meet.
type border struct {
	at      score.Tick
	harmony bool // the harmony turns on the beat that begins here
}

// cut gives the stretches of one phrase, from its first to its last beat.
func (j *judge) cut(lo, hi int) []stretch {
	start, end := j.beats[lo].at, j.beats[hi].end
	borders := j.apart(nil, start, end, j.pageBorders(start, end))
	borders = j.apart(borders, start, end, j.harmonyBorders(borders, lo, hi))
	out := make([]stretch, 0, len(borders)+1)
	from := start
	for _, b := range borders {
		to := b.at
		if b.harmony {
			to = j.beats[j.beatAt(b.at)].end
		}
		out = append(out, stretch{from, to, b.at})
		from = b.at
	}
	return append(out, stretch{from, end, end})
}

// apart adds the borders that lie a measure or more from the ends and from
// those already there.
func (j *judge) apart(have []border, start, end score.Tick, more []border) []border {
	for _, b := range more {
		least := j.s.Measures[j.s.MeasureAt(b.at)].Length
		free := b.at-start >= least && end-b.at >= least
		for _, h := range have {
			free = free && (b.at-h.at >= least || h.at-b.at >= least)
		}
		if free {
			have = append(have, b)
		}
	}
	sort.Slice(have, func(x, y int) bool { return have[x].at < have[y].at })
	return have
}

// pageBorders are the moments at which a printed movement of a measure or more
// begins or ends, on the beat, and the sudden changes between levels that are
// held for two measures or more.
func (j *judge) pageBorders(start, end score.Tick) []border {
	var out []border
	for _, z := range j.longSlopes(start, end) {
		out = append(out, border{at: j.nearestBeat(z.Start)}, border{at: j.nearestBeat(z.End)})
	}
	jumps := j.p.Jumps(start, end)
	for i, t := range jumps {
		least := 2 * j.s.Measures[j.s.MeasureAt(t)].Length
		if (i == 0 || t-jumps[i-1] >= least) && (i+1 == len(jumps) || jumps[i+1]-t >= least) {
			out = append(out, border{at: j.nearestBeat(t)})
		}
	}
	return out
}

// longSlopes are the printed slopes of a measure or more.
func (j *judge) longSlopes(start, end score.Tick) []page.Slope {
	measure := func(t score.Tick) score.Tick { return j.s.Measures[j.s.MeasureAt(t)].Length }
	all := j.p.Slopes(start, end, measure(start))
	return slices.DeleteFunc(all, func(x page.Slope) bool { return x.End-x.Start < measure(x.Start) })
}

// nearestBeat is the beat on which a moment falls, or the next if that is nearer.
func (j *judge) nearestBeat(t score.Tick) score.Tick {
	b := j.beats[j.beatAt(t)]
	if b.end-t < t-b.at {
		return b.end
	}
	return b.at
}

// harmonyBorders are the turning points of tension between the borders that
// the page makes.
func (j *judge) harmonyBorders(page []border, lo, hi int) []border {
	var out []border
	first := lo
	for i := 0; i <= len(page); i++ {
		last, until := hi, j.beats[hi].end
		if i < len(page) {
			last, until = j.beatAt(page[i].at)-1, page[i].at
		}
		if last > first && !j.slopes(j.beats[first].at, until) {
			for _, k := range turning(j.beats[first:last+1], turnMove) {
				out = append(out, border{j.beats[first+k].at, true})
			}
		}
		first = last + 1
	}
	return out
}

// slopes reports whether the page moves over a stretch: then the stretch is the movement.
func (j *judge) slopes(from, to score.Tick) bool { return j.p.Over(from, to).Moves() }

// turning finds the peaks and troughs that stand out by at least the threshold
// on both sides.
func turning(b []beat, threshold float64) []int {
	var out []int
	high, low, dir := 0, 0, 0
	for i := range b {
		if b[i].tension > b[high].tension {
			high = i
		}
		if b[i].tension < b[low].tension {
			low = i
		}
		switch {
		case dir >= 0 && b[high].tension-b[i].tension >= threshold:
			if high > 0 {
				out = append(out, high)
			}
			dir, low = -1, i
		case dir <= 0 && b[i].tension-b[low].tension >= threshold:
			if low > 0 {
				out = append(out, low)
			}
			dir, high = 1, i
		}
		if dir < 0 {
			high = i
		}
		if dir > 0 {
			low = i
		}
	}
	return out
}

// alike judges a stretch. The same bars have the same verdict: what came before
// in the same notes is heard as it was there, and where the page moves as it did, judged so.
func (j *judge) alike(st stretch) Verdict {
	v := j.over(st.from, st.to, st.until)
	back := j.firstTime(st.from, st.to)
	if back == 0 {
		return v
	}
	w := j.over(st.from-back, st.to-back, st.until-back)
	if w.Page.Kind != v.Page.Kind {
		return v
	}
	w.Start, w.End, w.Harmony.End = v.Start, v.End, v.Harmony.End
	w.Page, w.From, w.Level = v.Page, v.From, v.Level // its marks may differ, and its sizes
	w.Size = size(w.Harmony.moved(), w.Level)
	w.Grounds = []Ground{pageGround(w), w.Grounds[1]}
	w.Confidence = leastOf(w.Grounds)
	w.Certainty = tonal.CertaintyOf(w.Confidence)
	return w
}

// firstTime is how far back the measures of a stretch sounded first, 0 if they
// did not.
func (j *judge) firstTime(from, to score.Tick) score.Tick {
	a, b := j.s.MeasureAt(from), j.s.MeasureAt(to-1)
	for _, k := range j.alikeTo[j.prints[a]] {
		if k >= a {
			break
		}
		same := true
		for i := 0; same && a+i <= b; i++ {
			same = j.prints[k+i] != 0 && j.prints[k+i] == j.prints[a+i] && j.s.Measures[k+i].Length == j.s.Measures[a+i].Length
		}
		if same {
			return j.s.Measures[a].Start - j.s.Measures[k].Start
		}
	}
	return 0
}
