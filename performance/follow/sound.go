package follow

import (
	"math"

	"hairpin/performance/spectrum"
	"hairpin/score"
)

// Prices of following sound, in nats or what stands for them, at frames of 20 ms.
// Chosen by hand on recordings of known timing.
const (
	soundJump  = 14.0
	soundStart = 15.0 // anywhere
	soundBar   = 10.0 // at a bar's start that is not the first
	onsetGain  = 3.0  // a rise of just the notes of a place
	onsetCost  = 0.55 // moving on at all
	heldGain   = 0.3  // sounding like a place, a frame: neighbouring frames say much the same
)

var soundSkip = [3]float64{0, 0.9, 2}

// Sound follows samples at spectrum.Rate.
func Sound(s *score.Score, x []float32) *Following {
	p := readPage(s)
	if len(p.places) == 0 || len(x) == 0 {
		return &Following{}
	}
	e := listen(p, x)
	f := &Following{}
	for _, r := range e.soundRuns(e.path()) {
		if run := e.place(r); e.trusted(run) {
			f.Runs = append(f.Runs, run)
		}
	}
	f.Sure = e.explained(f.Runs)
	return f
}

// ear is what a follower of sound has to go by.
type ear struct {
	p         *page
	hearing   *spectrum.Hearing
	onsets    *spectrum.Onsets
	templates *templates
	usual     float64 // size of a strong rise
	marks     []onset
}

func listen(p *page, x []float32) *ear {
	h := spectrum.Hear(x)
	e := &ear{p: p, hearing: h, onsets: spectrum.NewOnsets(x, onsetStep, onsetFrame), templates: newTemplates(p), usual: usualRise(h.Onset)}
	e.marks = e.peaks()
	return e
}

// Of the onsets: 3 ms steps, frames of 23 ms, in samples.
const (
	onsetStep  = 64
	onsetFrame = 512
)

// path is the most likely place of each frame.
func (e *ear) path() []step {
	v := newViterbi(e.p, len(e.hearing.Strength))
	held, struck := make([]float64, len(e.p.places)), make([]float64, len(e.p.places))
	for i := range e.hearing.Strength {
		e.templates.compare(&e.hearing.Strength[i], &e.hearing.Onset[i], e.usual, held, struck)
		if i == 0 {
			v.beginSound(held)
			continue
		}
		v.sound(i, held, struck)
	}
	return v.path()
}

// soundRun is a stretch of the path without a jump: when each place was entered.
type soundRun struct {
	places       []int // rising; those passed over are left out
	times        []float64
	since, until float64 // between the jumps before and after it
}

// frameTime is the time of a frame.
func frameTime(t int) float64 { return float64(t) * spectrum.Hop / spectrum.Rate }

func (e *ear) soundRuns(path []step) (out []soundRun) {
	for t, s := range path {
		if t == 0 || s.move == moveJump || s.move >= moveSign {
			if k := len(out) - 1; k >= 0 {
				out[k].until = frameTime(t)
			}
			out = append(out, soundRun{since: frameTime(t), until: math.Inf(1)})
		} else if s.move == moveStay {
			continue
		}
		r := &out[len(out)-1]
		r.places, r.times = append(r.places, s.place), append(r.times, frameTime(t))
	}
	return out
}

// usualRise is the size of the rise in all but the strongest twentieth of the frames.
func usualRise(rises []spectrum.Frame) float64 {
	sizes := make([]float64, len(rises))
	for i := range rises {
		sizes[i] = length(&rises[i])
	}
	return max(spectrum.Percentile(sizes, 0.95), 1e-9)
}

func length(f *spectrum.Frame) float64 {
	sum := float32(0)
	for _, x := range f {
		sum += x * x
	}
	return math.Sqrt(float64(sum))
}

// templates are what the places would sound like, unit vectors.
type templates struct {
	held   []spectrum.Frame // while it lasts, with what rings on
	struck []spectrum.Frame // as it begins
}

// partial is an overtone: semitones above the key, and its strength.
var partials = [...]struct {
	above    int
	strength float32
}{{0, 1}, {12, 0.6}, {19, 0.4}, {24, 0.3}, {28, 0.2}, {31, 0.15}}

// How strongly a note is heard at a later place while it is written to sound, and
// up to a quarter after its end.
const (
	stillHeld   = 0.6
	ringsOn     = 0.25
	ringQuarter = 1.0
)

func newTemplates(p *page) *templates {
	t := &templates{held: make([]spectrum.Frame, len(p.places)), struck: make([]spectrum.Frame, len(p.places))}
	for k, x := range p.places {
		for _, i := range x.notes {
			n := p.s.Notes[i]
			if n.Grace {
				continue
			}
			add(&t.struck[k], n.Pitch.Key(), 1)
			add(&t.held[k], n.Pitch.Key(), 1)
			end := p.s.Quarters(n.End())
			for j := k + 1; j < len(p.places) && p.quarters(j) < end+ringQuarter; j++ {
				w := float32(stillHeld)
				if p.quarters(j) >= end {
					w = ringsOn
				}
				add(&t.held[j], n.Pitch.Key(), w)
			}
		}
	}
	for k := range p.places {
		unit(&t.held[k])
		unit(&t.struck[k])
	}
	return t
}

// rising is how much of a strong rise a frame is, 0 to 1.
func rising(onset *spectrum.Frame, usual float64) float64 { return min(1, length(onset)/usual) }

// add puts a key with its partials into a frame.
func add(f *spectrum.Frame, key int, weight float32) {
	for _, x := range partials {
		if i := key + x.above - spectrum.Lowest; i >= 0 && i < len(f) {
			f[i] = max(f[i], weight*x.strength)
		}
	}
}

func unit(f *spectrum.Frame) {
	n := float32(length(f) + 1e-9)
	for i := range f {
		f[i] /= n
	}
}

// compare fills in how much a frame sounds like each place, against the mean of
// all, and how much its rise is that of the place's notes.
func (t *templates) compare(strength, onset *spectrum.Frame, usual float64, held, struck []float64) {
	a := *strength
	unit(&a)
	b, rise := *onset, rising(onset, usual)
	unit(&b)
	mean := 0.0
	for k := range t.held {
		held[k] = float64(dot(&a, &t.held[k]))
		struck[k] = rise * float64(dot(&b, &t.struck[k]))
		mean += held[k]
	}
	mean /= float64(len(held))
	for k := range held {
		held[k] = heldGain * (held[k] - mean)
	}
}

func dot(a, b *spectrum.Frame) float32 {
	var s0, s1, s2, s3 float32
	for i := 0; i+3 < len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	return s0 + s1 + s2 + s3
}

// beginSound sets the first frame.
func (v *viterbi) beginSound(held []float64) {
	v.moves[0] = make([]uint8, len(v.now))
	for k := range v.now {
		v.now[k] = held[k] - soundStart
	}
	for _, k := range v.p.bars {
		v.now[k] = held[k] - soundBar
	}
	v.now[0] = held[0]
}

// sound takes in a frame.
func (v *viterbi) sound(t int, held, struck []float64) {
	v.best[t] = v.argmax()
	m := make([]uint8, len(v.now))
	for k := range v.next {
		best, move := math.Inf(-1), uint8(moveStay)
		for d, cost := range soundSkip {
			if k-1-d < 0 {
				break
			}
			if x := v.now[k-1-d] - cost; x > best {
				best, move = x, uint8(moveOn+d)
			}
		}
		v.next[k], m[k] = best, move
	}
	v.leaps(m, soundJump, signCost)
	for k := range v.next {
		v.next[k] += onsetGain*struck[k] - onsetCost
		if v.now[k] >= v.next[k] {
			v.next[k], m[k] = v.now[k], moveStay
		}
		v.next[k] += held[k]
	}
	v.moves[t] = m
	v.now, v.next = v.next, v.now
}

// What a run of sound needs to be believed.
const (
	leastPoints = 4
	leastLike   = 0.25
)

func (e *ear) trusted(r Run) bool {
	return len(r.Points) >= leastPoints && e.explained([]Run{r}) >= leastLike
}

// explained is how much the sound at the places' times is that of the places, 0 to 1:
// the mean likeness of what begins there.
func (e *ear) explained(runs []Run) float64 {
	sum, count := 0.0, 0
	for _, r := range runs {
		for _, p := range r.Points {
			sum += e.pitched(e.p.from(p.At), p.Time)
			count++
		}
	}
	return sum / float64(max(count, 1))
}
