package harmony

import "hairpin/score"

// beatLength is the length of the beat at a moment: three units in compound metres.
func beatLength(s *score.Score, m score.Measure) score.Tick {
	unit := 4 * s.Division / score.Tick(max(m.BeatUnit, 1))
	if compound(m) {
		unit *= 3
	}
	return max(unit, 1)
}

func compound(m score.Measure) bool {
	return m.Beats > 3 && m.Beats%3 == 0 && m.BeatUnit >= 8
}
