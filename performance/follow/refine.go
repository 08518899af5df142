package follow

import (
	"math"
	"slices"

	"hairpin/performance/spectrum"
)

// The path says which place follows which, and roughly when. Here each run is gone
// over once more: every place is given one of the onsets near it, or none, so that
// the tempo moves as little as the sound allows (a shortest path over pairs of place
// and onset).

// onset is a moment at which tones begin.
type onset struct {
	time     float64
	strength float64 // against a strong one, about 0 to 1
}

// Of the search for onsets.
const (
	leastOnset = 0.12 // of a strong one
	quietSteps = 6    // an onset is the highest of so many steps around
)

// peaks are the onsets of a recording, in order of time.
func (e *ear) peaks() (out []onset) {
	s := e.onsets.Strength
	strong := max(spectrum.Percentile(s, 0.98), 1e-9)
	for i := range s {
		if s[i] < leastOnset*strong {
			continue
		}
		from, to := max(i-quietSteps, 0), min(i+quietSteps+1, len(s))
		if s[i] >= slices.Max(s[from:to]) && (i == 0 || s[i] > s[i-1]) {
			out = append(out, onset{float64(i) * e.onsets.Step, min(s[i]/strong, 1.5)})
		}
	}
	return out
}

// Prices of giving an onset to a place, in nats.
const (
	pitchGain    = 4.0 // its rise is that of the place's notes
	strengthGain = 1.5
	unheardCost  = 2.0  // a place without an onset
	tempoSpread  = 0.2  // of the logarithm of the tempo from one place to the next (Laplace)
	tempoMost    = 6.0  // a pause costs no more
	pathSpread   = 0.7  // seconds from where the path entered the place
	jumpSlack    = 0.04 // seconds by which a path may jump late
	reachTime    = 1.0  // seconds in which onsets are looked for
	passed       = 3    // places in a row that may stay without
)

// way is one place given one onset, and the best way to it.
type way struct {
	place, index int // index into the run
	onset
	cost float64
	from *way
}

// place gives the places of a run their times.
func (e *ear) place(r soundRun) Run {
	r = e.filled(r)
	tempo := r.tempo(e.p)
	var layers [][]*way
	for i := range r.places {
		layer := e.choices(r, i)
		for _, w := range layer {
			w.enter(e.p, r, layers, tempo)
		}
		layers = append(layers, layer)
	}
	return e.trace(r, layers)
}

// filled is the run with the places that the path passed over, their times between.
func (e *ear) filled(r soundRun) (out soundRun) {
	out.since, out.until = r.since, r.until
	for i, k := range r.places {
		if i > 0 {
			a, b := r.places[i-1], k
			for j := a + 1; j < b; j++ {
				share := (e.p.quarters(j) - e.p.quarters(a)) / (e.p.quarters(b) - e.p.quarters(a))
				out.places = append(out.places, j)
				out.times = append(out.times, r.times[i-1]+share*(r.times[i]-r.times[i-1]))
			}
		}
		out.places, out.times = append(out.places, k), append(out.times, r.times[i])
	}
	return out
}

// tempo is seconds a quarter around each place of the run: the median over
// stretches of some places.
func (r soundRun) tempo(p *page) []float64 {
	const around = 8
	out := make([]float64, len(r.places))
	for i := range out {
		var slopes []float64
		from, to := max(i-around, 0), min(i+around, len(r.places)-1)
		for a := from; a < to; a++ {
			for b := a + 1; b <= to; b++ {
				if a > 0 && r.times[b] > r.times[a] { // the first place of a run is entered early
					slopes = append(slopes, (r.times[b]-r.times[a])/(p.quarters(r.places[b])-p.quarters(r.places[a])))
				}
			}
		}
		out[i] = 0.6
		if len(slopes) > 0 {
			out[i] = median(slopes)
		}
	}
	return out
}

// choices are the onsets that a place of the run may be given.
func (e *ear) choices(r soundRun, i int) (out []*way) {
	from, to := r.times[i]-reachTime, r.times[i]+reachTime
	if i == 0 && len(r.times) > 1 {
		to = max(to, r.times[1])
	}
	from, to = max(from, r.since-jumpSlack), min(to, r.until-jumpSlack)
	for _, o := range e.between(from, to) {
		off := math.Abs(o.time-r.times[i]) / pathSpread
		if i == 0 {
			off = 0
		}
		gain := pitchGain*e.pitched(r.places[i], o.time) + strengthGain*o.strength
		out = append(out, &way{place: r.places[i], index: i, onset: o, cost: off - gain})
	}
	return out
}

// between are the onsets from one time to another.
func (e *ear) between(from, to float64) []onset {
	time := func(o onset, t float64) int {
		if o.time < t {
			return -1
		}
		return 1
	}
	a, _ := slices.BinarySearchFunc(e.marks, from, time)
	b, _ := slices.BinarySearchFunc(e.marks, to, time)
	return e.marks[a:max(a, b)]
}

// pitched is how much what begins at a time is the notes of a place, 0 to 1.
func (e *ear) pitched(place int, time float64) float64 {
	t, best := int(math.Round(time/frameTime(1))), 0.0
	for i := max(t-1, 0); i <= t+1 && i < len(e.hearing.Onset); i++ {
		o := e.hearing.Onset[i]
		rise := rising(&o, e.usual)
		unit(&o)
		best = max(best, rise*float64(dot(&o, &e.templates.struck[place])))
	}
	return best
}

// enter finds the best way to a place and onset.
func (w *way) enter(p *page, r soundRun, layers [][]*way, tempo []float64) {
	best := unheardCost * float64(w.index) // as the first that is heard
	for d := 1; d <= passed+1 && d <= w.index; d++ {
		quarters := p.quarters(w.place) - p.quarters(r.places[w.index-d])
		expected := quarters * tempo[w.index]
		for _, b := range layers[w.index-d] {
			if b.time >= w.time {
				break
			}
			bend := math.Abs(math.Log((w.time-b.time)/expected)) / tempoSpread
			cost := b.cost + min(bend, tempoMost) + unheardCost*float64(d-1)
			if cost < best {
				best, w.from = cost, b
			}
		}
	}
	w.cost += best
}

// trace is the run along the best way.
func (e *ear) trace(r soundRun, layers [][]*way) (out Run) {
	var end *way
	best := math.Inf(1)
	for i, layer := range layers {
		for _, w := range layer {
			if c := w.cost + unheardCost*float64(len(layers)-1-i); c < best {
				best, end = c, w
			}
		}
	}
	for w := end; w != nil; w = w.from {
		out.Points = append(out.Points, Point{e.p.places[w.place].at, w.time})
	}
	slices.Reverse(out.Points)
	return out
}
