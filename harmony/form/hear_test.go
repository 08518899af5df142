package form

import "hairpin/score"

// hear is the form of a score, its page read for it alone.
func hear(s *score.Score, part int, phrases []Phrase) Form { return Read(s, part).Hear(phrases) }
