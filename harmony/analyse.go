package harmony

import (
	"errors"

	"hairpin/harmony/form"
	"hairpin/harmony/hearing"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/stated"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// ErrNoPitch is returned for a score without a single pitched note.
var ErrNoPitch = errors.New("the score has no pitched notes: there is no harmony to hear")

// Analyse hears the score. It returns ErrNoPitch if nothing in it has pitch.
func Analyse(s *score.Score, opt Options) (*Analysis, error) {
	a := &Analysis{Slices: tonal.Slices(s, opt.Part)}
	if len(a.Slices) == 0 {
		return nil, ErrNoPitch
	}
	var err error
	if a.Chords, err = hearing.Chords(s, a.Slices, opt.Home, !opt.IgnoreSigns); err != nil {
		return nil, err
	}
	if opt.Symbols {
		a.Chords = stated.FromSymbols(s, a.Chords)
	}
	a.Chords = stated.Apply(a.Chords, opt.Corrections, s.Length())
	a.findKeys(s, opt)
	a.Caution = hearing.Caution(a.Slices, a.HomeConfidence)
	page := form.Read(s, opt.Part)
	a.Phrases, a.Cadences = phrasing.FindOn(page, a.Chords, phrasing.WeightsFor(s))
	a.formOn(page)
	w := tension.Weights{Dissonance: 1, Distance: 1, Pull: 1}
	if opt.Weights != nil {
		w = *opt.Weights
	}
	a.Rate(s, w)
	return a, nil
}

// findKeys fills in the local keys, and the home key: the one stated, or the one heard.
func (a *Analysis) findKeys(s *score.Score, opt Options) {
	a.Keys = hearing.Keys(a.Chords)
	hearing.Enter(s, a.Chords, a.Keys)
	if opt.Home != nil {
		a.Home, a.HomeConfidence = *opt.Home, 1
		return
	}
	sign := hearing.OpeningSign(s)
	if opt.IgnoreSigns {
		sign = nil
	}
	a.Home, a.HomeConfidence = hearing.Home(a.Chords, a.Keys, sign)
}

// Rate rates the tension again, with other weights or after the chords were
// changed. It fills Moments, Expectations, Weights and the chords' Tension from
// the slices, the chords, the home key and, if there are any, the half cadences.
func (a *Analysis) Rate(s *score.Score, w tension.Weights) {
	c := a.course()
	c.Rate(s, w)
	a.Moments, a.Expectations, a.Weights = c.Moments, c.Expectations, c.Weights
	a.rateLongLine(s, c)
}

// Explain says why the moment is as tense as it is: see [tension.Explainer.At].
func (a *Analysis) Explain(s *score.Score, at score.Tick) tension.Explanation {
	return a.Explainer(s).At(at)
}

// Explainer readies explanations of many moments.
func (a *Analysis) Explainer(s *score.Score) *tension.Explainer { return a.course().Explainer(s) }

// Contribution is how many points of a total each part brings: see [tension.Course.Contribution].
func (a *Analysis) Contribution(t tonal.Tension) tonal.Tension {
	c := tension.Course{Weights: a.Weights} // which is all it hangs on
	return c.Contribution(t)
}

// leastResting is the confidence of a half cadence from which its dominant is heard to rest,
// and not to wait: a choice of ours.
const leastResting = 0.25

// course is the analysis as the tension sees it.
func (a *Analysis) course() *tension.Course {
	c := &tension.Course{Home: a.Home, Slices: a.Slices, Chords: a.Chords, Moments: a.Moments, Expectations: a.Expectations, Weights: a.Weights}
	for _, x := range a.Cadences {
		if x.Kind.IsHalf() && x.Confidence >= leastResting {
			c.Resting = append(c.Resting, x.Chord)
		}
		if x.Kind.Authentic() && x.Confidence >= 0.5 && a.Chords[x.Chord].Key.Tonic == x.Key.Tonic {
			c.Closing = append(c.Closing, x.Chord)
		}
	}
	return c
}
