package dynamics

import (
	"hairpin/score"
)

// Tolerance is how far a printed change may stand from the harmony's and still
// meet it: one beat of the measure at t, on either side. It counts once: where
// two stretches meet, it belongs to the one whose harmony it goes with.
func Tolerance(s *score.Score, t score.Tick) score.Tick {
	if len(s.Measures) == 0 {
		return s.Division
	}
	return 4 * s.Division / score.Tick(max(s.Measures[s.MeasureAt(t)].BeatUnit, 1))
}
