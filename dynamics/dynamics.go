// Package dynamics says what a score's page and its harmony do about loudness:
// the page is read, laid over the tension, and a shaping is proposed inside the
// printed marks.
//
// Start at [Read], which runs all three; [Levels] gives their outcome in rows.
// The rooms beneath are page (printed marks to levels), verdict (levels over
// tension), shaping (the proposal beat by beat) and advice (the goals of phrases,
// the proposal phrase by phrase); verdict and shaping take the page as data
// and do not know each other, advice stands on shaping.
//
// # Conventions
//
// Levels are steps, 0 silence to 9, p is 3 and f is 6: package page has the
// scale. Tension is 0 to 100, times are ticks of the score, parts are indexes
// into Score.Parts unless an option counts them from 1.
package dynamics

import (
	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/score"
)

// Dynamics is what page and harmony of one score say about loudness.
type Dynamics struct {
	Page     *page.Page
	Verdicts []verdict.Verdict // in order of time
	Shaping  *shaping.Shaping  // the proposal inside the printed marks; nil if it is not asked for
	Plan     *advice.Plan      // goals, advice and the proposal of each phrase; nil with Shaping
}

// Options say what is read. The zero value is the whole with its shaping.
type Options struct {
	Part     int  // whose page is read, from 1; 0 for the whole
	Unshaped bool // without the proposal, which takes longest
}

// Read reads the page, lays it over the harmony and proposes a shaping, beat by
// beat and phrase by phrase. Its only error is a broken table of weights.
func Read(s *score.Score, a *harmony.Analysis, opt Options) (*Dynamics, error) {
	d := &Dynamics{Page: page.Printed(s, a.Phrases)}
	if opt.Part > 0 {
		d.Page = d.Page.Of(opt.Part - 1)
	}
	d.Verdicts = verdict.Judge(s, a, d.Page)
	if opt.Unshaped {
		return d, nil
	}
	var err error
	if d.Shaping, err = shaping.Shape(s, a, d.Page); err != nil {
		return nil, err
	}
	d.Plan, err = advice.Find(s, a, d.Page, d.Shaping)
	return d, err
}
