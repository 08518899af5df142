package advice

import (
	"hairpin/dynamics/page"
	"hairpin/dynamics/shaping"
	"hairpin/harmony"
	"hairpin/score"
)

// Find says where the phrases are going and what may be done on the way. Without
// an analysis (nil) the piece is one phrase. Its only error is a broken table.
func Find(s *score.Score, a *harmony.Analysis, p *page.Page, sh *shaping.Shaping) (*Plan, error) {
	return &Plan{}, nil
}

// Climaxes are the climax of each section and, last, of the piece. Sections
// without a goal in them give none.
func (p *Plan) Climaxes(sections []Span) []Climax { return nil }
