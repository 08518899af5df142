package page

import "hairpin/score"

// longestEcho is how many measures may come back as an echo.
const longestEcho = 4

// echoes finds music that comes back at once, a step or more softer.
func (p *Page) echoes(s *score.Score) {
	prints := Fingerprints(s)
	for i := 1; i < len(prints); i++ {
		at := s.Measures[i].Start
		from, to := p.Whole.Before(at), p.Whole.At(at)
		if from-to < 1 {
			continue
		}
		if repeated(prints, i) > 0 {
			p.replaceContrast(Contrast{at, -1, Echo, from, to})
		}
	}
}

// replaceContrast keeps one contrast a moment: the echo explains the jump.
func (p *Page) replaceContrast(c Contrast) {
	for i := range p.Contrasts {
		if p.Contrasts[i].At == c.At {
			p.Contrasts[i] = c
			return
		}
	}
	p.Contrasts = append(p.Contrasts, c)
}

// repeated is the number of measures from i on that equal those just before i.
func repeated(prints []uint64, i int) int {
	for n := min(longestEcho, i, len(prints)-i); n > 0; n-- {
		same := true
		for k := 0; k < n && same; k++ {
			same = prints[i-n+k] == prints[i+k] && prints[i+k] != 0
		}
		if same {
			return n
		}
	}
	return 0
}

// Fingerprints sums up each measure's notes, octaves apart counted as equal; 0 for an empty one.
func Fingerprints(s *score.Score) []uint64 {
	out := make([]uint64, len(s.Measures))
	for _, n := range s.Notes {
		if n.Grace || n.Unpitched {
			continue
		}
		h := uint64(1)
		for _, x := range [...]int{int(n.Onset - s.Measures[n.Measure].Start), int(n.Duration), int(n.Pitch.Class()), n.Part} {
			h = scatter(h + uint64(x))
		}
		out[n.Measure] += h
	}
	return out
}

// scatter spreads a number over all 64 bits: the last step of SplitMix (Steele,
// Lea & Flood 2014, Fast splittable pseudorandom number generators, OOPSLA).
func scatter(x uint64) uint64 {
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
