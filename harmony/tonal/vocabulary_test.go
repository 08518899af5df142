package tonal

// vocabulary is every numeral that can be written, in all inversions.
func vocabulary(k Key) []Numeral {
	var out []Numeral
	Readings(k, func(n Numeral) bool {
		inversions := len(n.Tones(k))
		if n.Ninth || n.Quality == Suspended {
			inversions = 1
		}
		for n.Inversion = 0; n.Inversion < inversions; n.Inversion++ {
			out = append(out, n)
		}
		return false
	})
	return append(out, Numeral{Degree: 1, Inversion: 2, Quality: keyQuality(k), Cadential: true})
}

func keyQuality(k Key) Quality {
	if k.Minor {
		return Minor
	}
	return Major
}
