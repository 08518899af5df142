package follow

import (
	"math"
	"slices"

	"hairpin/score"
)

// A cluster is strokes that may be one chord: each within so many seconds of the
// one before, all within so many of the first.
const (
	clusterGap  = 0.035
	clusterSpan = 0.08
)

// cluster is strokes heard as one.
type cluster struct {
	on      float64
	strokes []int
}

// clusters gathers strokes, which are in order of time. A key struck again
// begins a new one.
func clusters(list []Stroke) (out []cluster) {
	for i, s := range list {
		k := len(out) - 1
		if k >= 0 && s.On-list[i-1].On <= clusterGap && s.On-out[k].on <= clusterSpan &&
			!slices.ContainsFunc(out[k].strokes, func(j int) bool { return list[j].Key == s.Key }) {
			out[k].strokes = append(out[k].strokes, i)
			continue
		}
		out = append(out, cluster{s.On, []int{i}})
	}
	return out
}

// What a stroke or a written note adds to the likelihood of a place, in nats over
// that of a note out of nowhere. Chosen by hand: a right note says much, a key
// beside it is a slip, a note that is not written is a mistake or a sign of
// being elsewhere.
const (
	hitGain      = 2.2
	graceGain    = 0.6
	ornamentGain = 0.2
	besideCost   = 1.6
	extraCost    = 2.4
	missedCost   = 0.9
	noneCost     = 2.6 // a stroke that belongs to no place
)

// fit is how well a cluster fits a place entered anew, and one where the player still is.
func (x *place) fit(has *[keys + 2*margin]bool, size int) (enter, stay float64) {
	hit, grace, beside, ornament := 0, 0, 0, 0
	for _, k := range x.keys {
		switch {
		case has[k+margin]:
			hit++
		case has[k+margin-1] && !x.writes(k-1), has[k+margin+1] && !x.writes(k+1):
			beside++
		}
	}
	for _, k := range x.graces {
		if has[k+margin] && !slices.Contains(x.keys, k) {
			grace++
		}
	}
	for _, k := range x.ornament {
		if has[k+margin] && !x.writes(k) {
			ornament++
		}
	}
	missed := float64(len(x.keys) - hit)
	extra := float64(max(size-hit-grace-beside-ornament, 0))
	h, g, b, o := float64(hit), float64(grace), float64(beside), float64(ornament)
	enter = hitGain*h + graceGain*g + ornamentGain*o - besideCost*b - extraCost*extra - missedCost*missed
	stay = hitGain/2*h + graceGain/2*g + ornamentGain*o - besideCost/2*b - extraCost/2*extra
	return enter, stay
}

// margin lets keys beside the lowest and highest be asked for.
const margin = 12

func (x *place) writes(key int) bool {
	return slices.Contains(x.keys, key) || slices.Contains(x.graces, key)
}

// Strokes follows keys struck, in order of time. It needs a score with a note;
// without one the following is empty.
func Strokes(s *score.Score, list []Stroke) *Following {
	p := readPage(s)
	if len(p.places) == 0 || len(list) == 0 {
		return &Following{}
	}
	c := clusters(list)
	path := p.strokePath(list, c)
	return p.match(list, c, path)
}

// Prices of moving on, in nats.
const (
	stayCost    = 0.6
	noneMove    = 0.3
	jumpCost    = 14.0 // to a bar's start, from anywhere
	insideCost  = 3.0  // more to elsewhere
	signCost    = 1.0  // as the signs of the page allow
	startCost   = 11.0 // at a bar's start that is not the first
	pauseGain   = 4.0  // each e-fold of a pause over thrice the usual time makes a jump cheaper
	pauseMost   = 6.0
	leastPause  = 0.25 // seconds
	missedSteps = 3    // places left out at one move
)

var skipCost = [missedSteps + 1]float64{0, 2, 3.5, 5}

// Moves of a path, one byte each.
const (
	moveStay = iota
	moveNone
	moveJump // from the best place so far
	moveOn   // to the next place, or past missedSteps of them
	moveSign = moveOn + missedSteps + 1
)

// step is where the path is at one observation.
type step struct {
	place int
	move  uint8
}

// strokePath is the most likely place of each cluster.
func (p *page) strokePath(list []Stroke, c []cluster) []step {
	v := newViterbi(p, len(c))
	usual := usualGap(c)
	enter, stay := make([]float64, len(p.places)), make([]float64, len(p.places))
	for t, x := range c {
		p.fits(list, x, enter, stay)
		if t == 0 {
			v.begin(enter)
			continue
		}
		pause := math.Log(max(x.on-c[t-1].on, 1e-3) / max(3*usual, leastPause))
		none := -noneCost*float64(len(x.strokes)) - noneMove
		v.strokes(t, enter, stay, none, jumpCost-min(pauseMost, pauseGain*max(0, pause)))
	}
	return v.path()
}

// fits fills in how well a cluster fits each place.
func (p *page) fits(list []Stroke, x cluster, enter, stay []float64) {
	var has [keys + 2*margin]bool
	for _, i := range x.strokes {
		has[list[i].Key+margin] = true
	}
	for k := range p.places {
		enter[k], stay[k] = p.places[k].fit(&has, len(x.strokes))
	}
}

// usualGap is the median time from one cluster to the next.
func usualGap(c []cluster) float64 {
	if len(c) < 2 {
		return 0.3
	}
	gaps := make([]float64, len(c)-1)
	for i := range gaps {
		gaps[i] = c[i+1].on - c[i].on
	}
	return median(gaps)
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
