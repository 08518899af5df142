package harmony

import (
	"errors"

	"hairpin/score"
)

// ErrNoPitch is returned for a score without a single pitched note.
var ErrNoPitch = errors.New("the score has no pitched notes: there is no harmony to hear")

// Analyse hears the score. It returns ErrNoPitch if nothing in it has pitch.
func Analyse(s *score.Score, opt Options) (*Analysis, error) {
	a := &Analysis{Slices: Slices(s, opt.Part)}
	if len(a.Slices) == 0 {
		return nil, ErrNoPitch
	}
	return a, errors.New("not finished") // the decoder lands here
}
