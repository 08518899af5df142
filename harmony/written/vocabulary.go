package written

import "hairpin/harmony/tonal"

// Vocabulary is every numeral that can be written, in all inversions.
func Vocabulary(k tonal.Key) []tonal.Numeral {
	var out []tonal.Numeral
	tonal.Readings(k, func(n tonal.Numeral) bool {
		inversions := len(n.Tones(k))
		if n.Ninth || n.Quality == tonal.Suspended {
			inversions = 1
		}
		for n.Inversion = 0; n.Inversion < inversions; n.Inversion++ {
			out = append(out, n)
		}
		return false
	})
	return append(out, tonal.Numeral{Degree: 1, Inversion: 2, Quality: k.Triad(), Cadential: true})
}
