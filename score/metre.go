package score

// Head is how much of a full measure lies before the measure's start: what a
// pickup lacks, or what stood before a repeat sign split it; 0 otherwise.
func (m Measure) Head() Tick {
	if m.Pickup && m.Nominal > m.Length {
		return m.Nominal - m.Length
	}
	return m.Offset
}

// Into is how far t lies in the full measure that m is, or is the rest of.
func (m Measure) Into(t Tick) Tick { return t - m.Start + m.Head() }

// Compound reports whether the beat is three units of the time signature: 6/8,
// 9/8, 12/16, but neither 3/8 nor 6/4 (common practice, no source; a slow 6/8
// may be counted in six all the same).
func (m Measure) Compound() bool {
	return m.Beats > 3 && m.Beats%3 == 0 && m.BeatUnit >= 8
}

// Unit is the length of the note value that the time signature counts, at least
// 1, with division ticks in a quarter; a quarter without a time signature.
func (m Measure) Unit(division Tick) Tick {
	if m.BeatUnit <= 0 {
		return max(division, 1)
	}
	return max(4*division/Tick(m.BeatUnit), 1)
}

// Beat is the length of the beat that is felt: three units in a compound metre.
func (m Measure) Beat(division Tick) Tick {
	if m.Compound() {
		return 3 * m.Unit(division)
	}
	return m.Unit(division)
}

// Every lists the measure's start and the moments at which a step begins,
// counted from the start of the full measure: an upbeat of an eighth before 6/8
// has one, a measure of 6/8 has two of a dotted quarter.
func (m Measure) Every(step Tick) []Tick {
	if m.Length <= 0 || step <= 0 {
		return nil
	}
	out := []Tick{m.Start}
	for t := m.Start - m.Head()%step + step; t < m.End(); t += step {
		out = append(out, t)
	}
	return out
}

// BeatAt is the length of the beat that is felt at t; a quarter in a score
// without measures.
func (s *Score) BeatAt(t Tick) Tick {
	if len(s.Measures) == 0 {
		return max(s.Division, 1)
	}
	return s.Measures[s.MeasureAt(t)].Beat(s.Division)
}

// Weight is the metric weight of a moment: 1 on a downbeat, less on weaker
// beats, and under 0.25 between beats. Compound metres count their groups of
// three as beats.
func (s *Score) Weight(t Tick) float64 {
	if len(s.Measures) == 0 {
		return 1
	}
	m := s.Measures[s.MeasureAt(t)]
	return m.weight(m.Into(t), s.Division)
}

func (m Measure) weight(off, division Tick) float64 {
	if off == 0 {
		return 1
	}
	beat, beats := m.Beat(division), Tick(m.Beats)
	if m.Compound() {
		beats /= 3
	}
	if beats <= 0 {
		return 0.25
	}
	if off%beat == 0 {
		if n := off / beat; beats%2 == 0 && n == beats/2 {
			return 0.6
		}
		return 0.4
	}
	for w, d := 0.2, Tick(2); d <= 8; w, d = w/2, d*2 {
		if (off*d)%beat == 0 {
			return w
		}
	}
	if (off*3)%beat == 0 || (off*6)%beat == 0 {
		return 0.1
	}
	return 0.02
}
