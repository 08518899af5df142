// Package dynamics reads the loudness a page asks for, lays it over the
// harmony's tension, and proposes a shaping inside the printed marks.
//
// Start at [Printed] for the page, [Judge] for what page and harmony do to
// each other, [Shape] for the proposal, and [Levels] for all of it in rows.
//
// # Conventions
//
// A level is a number of steps: ppp is 1, pp 2, p 3, mp 4, mf 5, f 6, ff 7,
// fff 8; fractions lie between two marks, 0 is silence (niente), 8.5 and 9 are
// ffff and fffff. Sixteen times the level is the conventional MIDI velocity of
// the mark (16, 33, 49 … 112, 126 in tables of practice). Levels are
// relations within a piece, not decibels: a mark means louder or softer than
// its neighbours (Kosta, Bandtlow & Chew 2014, "Practical implications of
// dynamic markings in the score"). Times are ticks of the score. A certainty
// is a harmony.Certainty. What the page leaves open and this package fills in
// is listed as an [Inference] with its reason.
package dynamics

import (
	"hairpin/harmony"
	"hairpin/score"
)

// Dynamics is what page and harmony of one score say about loudness.
type Dynamics struct {
	Page     *Page
	Verdicts []Verdict // in order of time
	Shaping  *Shaping  // the proposal inside the printed marks; nil if it is not asked for
}

// Options say what is read. The zero value is the whole with its shaping.
type Options struct {
	Part     int  // whose page is read, from 1; 0 for the whole
	Unshaped bool // without the proposal, which takes longest
}

// Read reads the page, lays it over the harmony and proposes a shaping. Its
// only error is a broken table of weights.
func Read(s *score.Score, a *harmony.Analysis, opt Options) (*Dynamics, error) {
	d := &Dynamics{Page: Printed(s, a.Phrases)}
	if opt.Part > 0 {
		d.Page = d.Page.Of(opt.Part - 1)
	}
	d.Verdicts = Judge(s, a, d.Page)
	if opt.Unshaped {
		return d, nil
	}
	var err error
	d.Shaping, err = Shape(s, a, d.Page)
	return d, err
}
