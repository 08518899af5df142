package hearing

import (
	_ "embed"
	"sync"

	"hairpin/harmony/decode"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// fitted is the decoder's table of weights; its head names its source and licence.
//
//go:embed chords.model
var fitted string

// model reads the table once.
var model = sync.OnceValues(func() (*decode.Model, error) { return decode.Read(fitted, Label) })

// Chords hears the chords of the slices, with their local keys. home is the home
// key if it is stated, otherwise nil; signs takes printed key signatures as evidence.
func Chords(s *score.Score, slices []tonal.Slice, home *tonal.Key, signs bool) ([]tonal.Chord, error) {
	m, err := model()
	if err != nil {
		return nil, err
	}
	seen := Observe(s, slices, signs)
	if home != nil {
		seen.Home, seen.HomeGiven = keyNumber(*home), true
	}
	chords := hearAll(m, seen, slices)
	hearThirds(s, slices, chords)
	hearModes(chords)
	chords = hearRepeats(s, slices, chords)
	sign := OpeningSign(s)
	if !signs {
		sign = nil
	}
	endAtHome(chords, sign)
	endOpen(chords, sign)
	return chords, nil
}

// hearAll decodes the slices into chords.
func hearAll(m *decode.Model, seen *decode.Piece, slices []tonal.Slice) []tonal.Chord {
	var out []tonal.Chord
	for _, g := range m.Decode(seen) {
		c := ChordOf(m.Labels[g.Label], g)
		c.Start, c.End = slices[g.Start].Start, slices[g.End-1].End
		judge(&c, m, g)
		if n := len(out); n > 0 && goesOn(out[n-1], c) {
			join(&out[n-1], c)
			continue
		}
		out = append(out, c)
	}
	return out
}

// goesOn reports whether the chord goes on under the same reading.
func goesOn(c, d tonal.Chord) bool {
	return c.End == d.Start && c.Key == d.Key && c.Numeral == d.Numeral
}

// join lengthens the chord by its continuation and takes the surer of the two readings.
func join(c *tonal.Chord, d tonal.Chord) {
	c.End = d.End
	if d.Confidence > c.Confidence {
		c.Confidence, c.Certainty, c.Rival, c.RivalClose, c.Why = d.Confidence, d.Certainty, d.Rival, d.RivalClose, d.Why
	}
}
