package performance

import "hairpin/score"

// slot is a beat of the page.
type slot struct {
	at, end score.Tick
	measure int
}

// grid lists the beats of the page: those of the time signature, in compound time
// its groups of three, counted from where a full measure would begin.
func grid(s *score.Score) (out []slot) {
	for i, m := range s.Measures {
		unit := beatUnit(s, m)
		head := m.Offset
		if m.Pickup && m.Nominal > m.Length {
			head = m.Nominal - m.Length
		}
		for at := m.Start; at < m.End(); {
			next := min(at+unit-(at-m.Start+head)%unit, m.End())
			out = append(out, slot{at, next, i})
			at = next
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
