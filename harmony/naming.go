package harmony

import (
	"slices"

	"hairpin/score"
)

// nameIn finds a plain numeral for a spelled chord in a key: a degree of the
// key first, then an applied dominant, then an altered degree.
func nameIn(tones []score.Class, bass score.Class, k Key) (Numeral, bool) {
	for _, try := range []struct {
		target, alter int
		chromatic     bool
	}{
		{0, 0, false}, {5, 0, false}, {2, 0, false}, {6, 0, false}, {4, 0, false}, {3, 0, false},
		{0, 0, true}, {0, -1, true}, {0, 1, true},
	} {
		for d := 1; d <= 7; d++ {
			for _, q := range Qualities() {
				n := Numeral{Degree: d, Alter: try.alter, Quality: q, Target: try.target, TargetMinor: minorOn(k, try.target)}
				if n.TargetMinor && d == 7 {
					n.Alter++ // the leading tone
				}
				if try.target != 0 && !appliedTo(n) || try.target == 0 && !try.chromatic && !usualOn(k, d, q) {
					continue
				}
				own := n.Tones(k)
				if !slices.Equal(own, tones) {
					continue
				}
				n.Inversion = max(slices.Index(own, bass), 0)
				return n, true
			}
		}
	}
	return Numeral{}, false
}

// usualOn reports whether all tones of the chord lie in the key, the raised
// sixth and seventh of minor included.
func usualOn(k Key, degree int, q Quality) bool {
	for _, t := range q.Tones(k.Degree(degree)) {
		in := k.Minor && (t == k.Degree(7)+7 || t == k.Degree(6)+7)
		for d := 1; d <= 7; d++ {
			in = in || k.Degree(d) == t
		}
		if !in {
			return false
		}
	}
	return true
}

// appliedTo reports whether the numeral is a dominant of its target; a plain
// major triad on the tonic is none.
func appliedTo(n Numeral) bool {
	switch n.Quality {
	case Major:
		return n.Degree == 5 && n.Target != 4
	case DominantSeventh:
		return n.Degree == 5
	case Diminished, HalfDiminished, DiminishedSeventh:
		return n.Degree == 7
	}
	return false
}

// minorOn reports whether the triad on a degree of the key is minor: on 2, 3 and
// 6 in major, on 4 in minor.
func minorOn(k Key, degree int) bool {
	if k.Minor {
		return degree == 4
	}
	return degree == 2 || degree == 3 || degree == 6
}
