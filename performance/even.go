package performance

import (
	"hairpin/score"
)

type Evenness struct{}

func (p *Playing) evenness(s *score.Score) []Evenness { return nil }
