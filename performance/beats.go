package performance

import "hairpin/score"

// slot is a beat of the page.
type slot struct{ at, end score.Tick }

// slotsOf gives every beat its end, the next one or the end of the piece.
func slotsOf(s *score.Score, beats []score.Tick) []slot {
	out := make([]slot, len(beats))
	for i, at := range beats {
		out[i] = slot{at, s.Length()}
		if i > 0 {
			out[i-1].end = at
		}
	}
	return out
}

// Beats lists the beats of the page: those of the time signature, in compound time
// its groups of three, counted from where a full measure would begin.
func Beats(s *score.Score) (out []score.Tick) {
	for _, m := range s.Measures {
		unit := beatUnit(s, m)
		head := m.Offset
		if m.Pickup && m.Nominal > m.Length {
			head = m.Nominal - m.Length
		}
		for at := m.Start; at < m.End(); at += unit - (at-m.Start+head)%unit {
			out = append(out, at)
		}
	}
	return out
}

// beatUnit is the length of a measure's beats.
func beatUnit(s *score.Score, m score.Measure) score.Tick {
	unit := 4 * s.Division / score.Tick(max(m.BeatUnit, 1))
	if m.Beats > 3 && m.Beats%3 == 0 && m.BeatUnit >= 8 {
		unit *= 3
	}
	return max(unit, 1)
}
