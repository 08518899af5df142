package harmony

import (
	_ "embed"
	"errors"
	"sync"

	"hairpin/harmony/decode"
	"hairpin/score"
)

// ErrNoPitch is returned for a score without a single pitched note.
var ErrNoPitch = errors.New("the score has no pitched notes: there is no harmony to hear")

// fitted is the decoder's table of weights; its head names its source and licence.
//
//go:embed chords.model
var fitted string

// model reads the table once.
var model = sync.OnceValues(func() (*decode.Model, error) { return decode.Read(fitted, Label) })

// Analyse hears the score. It returns ErrNoPitch if nothing in it has pitch.
func Analyse(s *score.Score, opt Options) (*Analysis, error) {
	a := &Analysis{Slices: Slices(s, opt.Part)}
	if len(a.Slices) == 0 {
		return nil, ErrNoPitch
	}
	m, err := model()
	if err != nil {
		return nil, err
	}
	seen := Observe(s, a.Slices, !opt.IgnoreSigns)
	if opt.Home != nil {
		seen.Home, seen.HomeGiven = keyNumber(*opt.Home), true
	}
	a.Chords = a.hear(m, seen)
	sign := openingSign(s)
	if opt.IgnoreSigns {
		sign = nil
	}
	a.hearThirds(s)
	a.endAtHome(sign)
	if opt.Symbols {
		a.Chords = chordsFromSymbols(s, a.Chords)
	}
	a.Chords = applyCorrections(a.Chords, opt.Corrections, s.Length())
	a.findKeys(opt.Home, sign)
	a.Caution = a.caution(s, opt.Part)
	a.FindPhrases(s, opt.Part, PhraseWeightsFor(s))
	a.FindForm(s, opt.Part)
	w := Weights{1, 1, 1}
	if opt.Weights != nil {
		w = *opt.Weights
	}
	a.rateTension(s, w)
	return a, nil
}

// hear decodes the slices into chords.
func (a *Analysis) hear(m *decode.Model, seen *decode.Piece) []Chord {
	var out []Chord
	for _, g := range m.Decode(seen) {
		c := ChordOf(m.Labels[g.Label], g)
		c.Start, c.End = a.Slices[g.Start].Start, a.Slices[g.End-1].End
		c.judge(m, g)
		if n := len(out); n > 0 && out[n-1].same(c) {
			out[n-1].join(c)
			continue
		}
		out = append(out, c)
	}
	return out
}

// same reports whether the chord goes on under the same reading.
func (c Chord) same(d Chord) bool {
	return c.End == d.Start && c.Key == d.Key && c.Numeral == d.Numeral
}

// join lengthens the chord by its continuation and takes the surer of the two readings.
func (c *Chord) join(d Chord) {
	c.End = d.End
	if d.Confidence > c.Confidence {
		c.Confidence, c.Certainty, c.Rival, c.Why = d.Confidence, d.Certainty, d.Rival, d.Why
	}
}
