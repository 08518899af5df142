package tonal

import (
	"slices"

	"hairpin/score"
)

// NameChord finds the Roman numeral of a spelled chord in a key: the plainest
// reading a textbook would give. tones may come in any order; the bass must be
// one of them. ok is false if the chord has no name in the vocabulary.
//
// Readings are tried in this order: chords of the key (in minor with the raised
// sixth and seventh), the major tonic of a minor key, augmented sixths, chords
// borrowed from the parallel key, the Neapolitan, dominants and leading-tone
// chords applied to a degree of the key, augmented sixths and dominants of
// farther degrees, and last any altered degree. Spelling decides: A♭ C E♭ F♯ is
// a German sixth, A♭ C E♭ G♭ the dominant of the Neapolitan. (Textbooks differ
// on minor keys: VI and VII here count from the natural scale, as in Open Music
// Theory; others write ♭VI and ♭VII.)
func NameChord(tones []score.Class, bass score.Class, k Key) (Numeral, bool) {
	want := spelled(tones)
	if !slices.Contains(want, bass) {
		return Numeral{}, false
	}
	var found Numeral
	var room, sorted [mostTones]score.Class
	ok := Readings(k, func(n Numeral) bool {
		own := n.appendTones(room[:0], k)
		if !slices.Equal(sortSpelled(append(sorted[:0], own...)), want) {
			return false
		}
		n.Inversion = slices.Index(own, bass)
		if n.Quality == Suspended && n.Inversion > 0 || n.Inversion > 3 {
			return false
		}
		found = n
		return true
	})
	return found, ok
}

// spelled sorts tones along the line of fifths and drops doublings: one name
// for one spelled chord.
func spelled(tones []score.Class) []score.Class {
	return sortSpelled(slices.Clone(tones))
}

func sortSpelled(tones []score.Class) []score.Class {
	slices.Sort(tones)
	return slices.Compact(tones)
}

// Readings offers every numeral of the vocabulary in root position, plainest
// first, until one is taken; it reports whether one was.
func Readings(k Key, take func(Numeral) bool) bool {
	return diatonicReadings(k, take) || sixthReadings(0, 0, false, take) || borrowedReadings(k, take) ||
		take(Numeral{Degree: 2, Alter: -1, Quality: Major}) || take(Numeral{Degree: 2, Alter: -1, Quality: MajorSeventh}) ||
		appliedReadings(k, take) || farReadings(k, take) || alteredReadings(take)
}

// plainQualities are the qualities of tertian chords.
var plainQualities = []Quality{
	Major, Minor, Diminished, Augmented, DominantSeventh, MajorSeventh, MinorSeventh,
	HalfDiminished, DiminishedSeventh, MinorMajorSeventh, AugmentedMajorSeventh,
}

func diatonicReadings(k Key, take func(Numeral) bool) bool {
	var room [mostTones]score.Class
	for d := 1; d <= 7; d++ {
		for alter := 0; alter <= 1; alter++ { // in minor, roots on the raised sixth and seventh
			if alter == 1 && !(k.Minor && d >= 6) {
				continue
			}
			for _, q := range plainQualities {
				n := Numeral{Degree: d, Alter: alter, Quality: q}
				if belongs(k, n.appendTones(room[:0], k)) && take(n) {
					return true
				}
				n.Ninth = true
				if q == DominantSeventh && d == 5 && take(n) {
					return true
				}
			}
		}
	}
	return k.Minor && take(Numeral{Degree: 1, Quality: Major}) || !k.Minor && take(Numeral{Degree: 5, Quality: Augmented})
}

// belongs reports whether all tones lie in the key, the raised sixth and
// seventh of minor included.
func belongs(k Key, tones []score.Class) bool {
	_, holds := RegionScale(k, tones)
	return holds
}

// sixthReadings offers the augmented sixths of a degree, 0 for the key itself.
func sixthReadings(target, alter int, minor bool, take func(Numeral) bool) bool {
	for _, a := range augmentedSixths {
		n := Numeral{Degree: a.degree, Alter: a.alter, Quality: a.quality, Target: target, TargetAlter: alter, TargetMinor: minor}
		if take(n) {
			return true
		}
	}
	return false
}

// borrowedReadings offers the chords of the parallel key, counted on the key's own degrees.
func borrowedReadings(k Key, take func(Numeral) bool) bool {
	parallel := Key{k.Tonic, !k.Minor}
	return diatonicReadings(parallel, func(n Numeral) bool {
		n.Alter += int(parallel.Degree(n.Degree)-k.Degree(n.Degree)) / 7
		return take(n)
	})
}

// appliedQualities are the chords that can be applied to a degree, by their own degree.
var appliedQualities = []struct {
	degree  int
	quality Quality
}{
	{5, Major}, {5, DominantSeventh}, {7, Diminished}, {7, DiminishedSeventh}, {7, HalfDiminished},
}

// appliedReadings offers dominants and leading-tone chords of the key's major
// and minor triads; diminished triads cannot be tonics (Open Music Theory).
func appliedReadings(k Key, take func(Numeral) bool) bool {
	for _, target := range [6]int{5, 2, 6, 4, 3, 7} {
		minor, ok := degreeMode(k, target)
		if ok && applied(target, 0, minor, take) {
			return true
		}
	}
	return false
}

func applied(target, alter int, minor bool, take func(Numeral) bool) bool {
	for _, a := range appliedQualities {
		n := Numeral{Degree: a.degree, Quality: a.quality, Target: target, TargetAlter: alter, TargetMinor: minor}
		if a.degree == 7 && minor {
			n.Alter = 1
		}
		if take(n) {
			return true
		}
	}
	return false
}

// degreeMode says whether the triad on a degree is minor; ok is false if it is
// diminished. The dominant of a minor key counts as the major chord it is.
func degreeMode(k Key, degree int) (minor, ok bool) {
	if degree == 5 {
		return false, true
	}
	root := k.Degree(degree)
	switch {
	case belongs(Key{k.Tonic, k.Minor}, Major.Tones(root)) && !(k.Minor && degree == 4):
		return false, true
	case belongs(k, Minor.Tones(root)) && !(k.Minor && degree == 2):
		return true, true
	}
	return false, false
}

// farReadings offers augmented sixths of the key's degrees, then dominants of
// lowered degrees and of chords borrowed from the parallel key.
func farReadings(k Key, take func(Numeral) bool) bool {
	for _, target := range [6]int{5, 2, 6, 4, 3, 7} {
		if minor, ok := degreeMode(k, target); ok && sixthReadings(target, 0, minor, take) {
			return true
		}
	}
	for _, target := range [4]int{2, 6, 3, 7} {
		if applied(target, -1, false, take) {
			return true
		}
	}
	return applied(4, 0, !k.Minor, take)
}

func alteredReadings(take func(Numeral) bool) bool {
	for _, alter := range [3]int{0, -1, 1} {
		for d := 1; d <= 7; d++ {
			for _, q := range append(plainQualities[:len(plainQualities):len(plainQualities)], Suspended) {
				if take(Numeral{Degree: d, Alter: alter, Quality: q}) {
					return true
				}
			}
		}
	}
	return false
}
