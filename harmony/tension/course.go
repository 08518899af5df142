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
	chord := -1
	for i := range a.Slices {
		chord = r.advance(chord, &a.Slices[i])
		a.Moments[i] = r.moment(i, chord)
	}
	r.finish()
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
