package tension

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Moment is the tension over one slice.
type Moment struct {
	Start, End score.Tick
	Chord      int // index into Analysis.Chords, -1 before the first chord and in silence
	Tension    tonal.Tension
	LongLine   tonal.Tension // the same causes over phrases and sections; package harmony fills it
}

// Weights scales the three parts of tension in the total; 1 is the default of each.
type Weights struct {
	Dissonance, Distance, Pull float64
}

// Course is the harmony of a piece, and the tension that [Course.Rate] finds in it.
type Course struct {
	Home    tonal.Key
	Slices  []tonal.Slice
	Chords  []tonal.Chord // in order, without overlap
	Resting []int         // indices of the chords that end a phrase with a half cadence
	Closing []int         // indices of the chords on which an authentic cadence closes in their key

	Moments      []Moment      // one a slice, in order
	Expectations []Expectation // what dominants and suspensions promised, in order of Chord
	Weights      Weights       // those of the last rating
}

// Rate fills Moments, Expectations, Weights and the tension of every chord from
// the rest of the course. It takes time linear in the notes of the slices.
func (a *Course) Rate(s *score.Score, w Weights) {
	r := newRater(a, s)
	r.rates = true
	a.Weights = w
	a.Moments = make([]Moment, len(a.Slices))
	a.Expectations = nil
	r.pulls = newPulls(a)
	r.closes = a.closing()
	chord := -1
	for i := range a.Slices {
		chord = r.advance(chord, &a.Slices[i])
		a.Moments[i] = r.moment(i, chord)
	}
	r.finish()
}

// closing are the chords of Closing.
func (a *Course) closing() map[int]bool {
	out := map[int]bool{}
	for _, i := range a.Closing {
		out[i] = true
	}
	return out
}

// Contribution is how many points of a moment's total each part brings. They
// add up to the total; where the total is cut off at 100 they are scaled down.
func (a *Course) Contribution(t tonal.Tension) tonal.Tension {
	c := tonal.Tension{
		Total:      t.Total,
		Dissonance: shareDissonance * a.Weights.Dissonance * t.Dissonance,
		Distance:   shareDistance * a.Weights.Distance * t.Distance,
		Pull:       sharePull * a.Weights.Pull * t.Pull,
	}
	if sum := c.Dissonance + c.Distance + c.Pull; sum > 0 {
		f := t.Total / sum
		c.Dissonance, c.Distance, c.Pull = f*c.Dissonance, f*c.Distance, f*c.Pull
	}
	return c
}

// Far is how far each chord lies from the tonic of its own key, and from home: the
// distance part of the tension, 0 to 100, as if its key had been in force for long.
func (a *Course) Far() (own, home []float64) {
	r := &rater{a: a, reach: map[placing]float64{}}
	for i := range a.Chords {
		c := &a.Chords[i]
		own = append(own, r.fromTonic(c))
		home = append(home, r.distance(c))
	}
	return own, home
}

// ChordSteps is Lerdahl's distance from one chord to another, each in its key, an
// inversion of the second included: see [Steps]. It is 0 if either has no tones.
func ChordSteps(x, y tonal.Chord) float64 {
	if len(x.Tones) == 0 || len(y.Tones) == 0 {
		return 0
	}
	d := ChordDistance(x.Tones, x.Key, y.Tones, y.Key).Total()
	if y.Inversion > 0 {
		d += inversionStep
	}
	return float64(d)
}
