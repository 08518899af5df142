package tonal

import "hairpin/score"

// Quality is the kind of a chord.
type Quality int

// The qualities. NoQuality marks what could not be named.
const (
	NoQuality Quality = iota
	Major
	Minor
	Diminished
	Augmented
	DominantSeventh
	MajorSeventh
	MinorSeventh
	HalfDiminished
	DiminishedSeventh
	MinorMajorSeventh
	AugmentedMajorSeventh
	Italian // augmented sixths
	French
	German
	Suspended
	Swiss // the doubly augmented fourth, a German sixth spelled to rise to a major six-four
)

// qualityInfo is what a quality is made of and how it is written.
type qualityInfo struct {
	id     string // name in tables: "maj", "dom7"
	above  []int  // chord tones above the root, as steps on the line of fifths
	small  bool   // written with a small numeral
	sign   string // sign between numeral and figures
	suffix string // chord-name suffix after the root: "m7"
}

// qualities is indexed by Quality. The spelled intervals are those of any
// harmony textbook; the augmented sixths are built on the raised fourth
// (Italian, German) or the second degree (French), so that their usual bass,
// the lowered sixth, is a chord inversion.
var qualities = [...]qualityInfo{
	NoQuality:             {id: "other"},
	Major:                 {"maj", []int{0, 4, 1}, false, "", ""},
	Minor:                 {"min", []int{0, -3, 1}, true, "", "m"},
	Diminished:            {"dim", []int{0, -3, -6}, true, "°", "dim"},
	Augmented:             {"aug", []int{0, 4, 8}, false, "+", "aug"},
	DominantSeventh:       {"dom7", []int{0, 4, 1, -2}, false, "", "7"},
	MajorSeventh:          {"maj7", []int{0, 4, 1, 5}, false, "maj", "maj7"},
	MinorSeventh:          {"min7", []int{0, -3, 1, -2}, true, "", "m7"},
	HalfDiminished:        {"hdim7", []int{0, -3, -6, -2}, true, "ø", "m7b5"},
	DiminishedSeventh:     {"dim7", []int{0, -3, -6, -9}, true, "°", "dim7"},
	MinorMajorSeventh:     {"minmaj7", []int{0, -3, 1, 5}, true, "maj", "m(maj7)"},
	AugmentedMajorSeventh: {"augmaj7", []int{0, 4, 8, 5}, false, "+maj", "maj7#5"},
	Italian:               {"It6", []int{0, -10, -6}, false, "It", "It6"},
	French:                {"Fr6", []int{0, 4, -6, -2}, false, "Fr", "Fr6"},
	German:                {"Ger6", []int{0, -10, -6, -9}, false, "Ger", "Ger6"},
	Suspended:             {"sus", []int{0, -1, 1}, false, "sus", "sus4"},
	Swiss:                 {"Sw6", []int{0, -3, -13, -9}, false, "Sw", "Sw6"},
}

// ID is the quality's name in tables: maj min dim aug dom7 maj7 min7 hdim7
// dim7 minmaj7 augmaj7 It6 Fr6 Ger6 sus Sw6, or other.
func (q Quality) ID() string { return qualities[q].id }

// Tones spells the chord of this quality on a root, root first.
func (q Quality) Tones(root score.Class) []score.Class {
	above := qualities[q].above
	out := make([]score.Class, len(above))
	for i, f := range above {
		out[i] = root + score.Class(f)
	}
	return out
}

// Above are the chord's tones above its root, root first, in steps on the line of fifths.
func (q Quality) Above() []int { return qualities[q].above }

// Small reports whether the quality is written with a small numeral.
func (q Quality) Small() bool { return qualities[q].small }

// Seventh reports whether the chord has a seventh.
func (q Quality) Seventh() bool {
	return q >= DominantSeventh && q <= AugmentedMajorSeventh
}

// AugmentedSixth reports whether the chord is an Italian, French, German or Swiss sixth.
func (q Quality) AugmentedSixth() bool { return q >= Italian && q <= German || q == Swiss }

// Sixth names an augmented sixth chord after its nation, and the lower tone of the
// sixth, which is its usual bass; "" for other chords.
func (q Quality) Sixth(root score.Class) (nation string, low score.Class) {
	switch q {
	case Italian:
		return "Italian", root - 10
	case German:
		return "German", root - 10
	case French:
		return "French", root - 6
	}
	return "", root
}

// Qualities lists every nameable quality.
func Qualities() []Quality {
	out := make([]Quality, 0, len(qualities)-1)
	for q := Major; int(q) < len(qualities); q++ {
		out = append(out, q)
	}
	return out
}
