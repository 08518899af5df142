package tonal

import (
	"strings"

	"hairpin/score"
)

// Numeral is a Roman numeral: a degree of the local key, or of a degree that
// the chord treats as its passing tonic.
type Numeral struct {
	Degree    int // 1–7; 0 means the chord has no numeral
	Alter     int // against the key's own scale degree: -1 for bII, +1 for the raised sixth or seventh in minor
	Quality   Quality
	Inversion int // 0–3

	Target      int // degree the chord is applied to, 0 for none: 5 in V7/V
	TargetAlter int
	TargetMinor bool

	Cadential bool // a six-four that decorates the dominant after it
	Ninth     bool // a seventh chord with the region's own ninth on top, in root position
}

// majorDegree and minorDegree are the scale degrees 1–7 above the tonic on the
// line of fifths; the minor scale is the natural one.
var (
	majorDegree = [8]int{0, 0, 2, 4, -1, 1, 3, 5}
	minorDegree = [8]int{0, 0, 2, -3, -1, 1, -4, -2}
)

// Degree is the spelled scale degree 1–7 of the key, the natural scale in minor.
func (k Key) Degree(n int) score.Class {
	if k.Minor {
		return k.Tonic + score.Class(minorDegree[n])
	}
	return k.Tonic + score.Class(majorDegree[n])
}

// Region is the key in which the numeral's own degree is counted: the local
// key itself, or the passing key of an applied chord.
func (n Numeral) Region(k Key) Key {
	if n.Target == 0 {
		return k
	}
	return Key{k.Degree(n.Target) + score.Class(7*n.TargetAlter), n.TargetMinor}
}

// Root spells the numeral's root in the key. The numeral must have a degree.
func (n Numeral) Root(k Key) score.Class {
	return n.Region(k).Degree(n.Degree) + score.Class(7*n.Alter)
}

// Tones spells the numeral's chord in the key, root first.
func (n Numeral) Tones(k Key) []score.Class {
	return n.appendTones(make([]score.Class, 0, mostTones), k)
}

// mostTones are the tones of the largest chord, a seventh chord with its ninth.
const mostTones = 5

func (n Numeral) appendTones(to []score.Class, k Key) []score.Class {
	root := n.Root(k)
	for _, f := range qualities[n.Quality].above {
		to = append(to, root+score.Class(f))
	}
	if n.Ninth {
		to = append(to, n.Region(k).Degree(n.Degree%7+1))
	}
	return to
}

// Bass spells the numeral's bass tone in the key.
func (n Numeral) Bass(k Key) score.Class {
	t := n.Tones(k)
	if n.Inversion < len(t) {
		return t[n.Inversion]
	}
	return n.Root(k)
}

var romans = [8]string{"", "I", "II", "III", "IV", "V", "VI", "VII"}

var (
	triadFigures   = [4]string{"", "6", "64", ""}
	seventhFigures = [4]string{"7", "65", "43", "42"}
	italianFigures = [4]string{"53", "6", "64", ""} // "It" alone is the usual It6
)

// Format writes the numeral as it stands in the key, with its figures:
// "V65/ii", "vii°7", "bII6", "Cad64", "Ger65". In minor, degrees count from the
// natural scale, except that small vii is the leading tone and #vi the raised
// sixth. A chord without a degree is "?".
func (n Numeral) Format(k Key) string {
	if n.Degree == 0 {
		return "?"
	}
	s := n.head(n.Region(k).Minor)
	if n.Target != 0 {
		s += "/" + degreeName(n.Target, n.TargetAlter, n.TargetMinor, k.Minor)
	}
	return s
}

func (n Numeral) head(minor bool) string {
	q := qualities[n.Quality]
	inversion := n.Inversion & 3
	switch {
	case n.Cadential:
		return "Cad64"
	case n.Quality == Italian:
		return q.sign + italianFigures[inversion]
	case n.Quality.AugmentedSixth():
		return q.sign + seventhFigures[inversion]
	case n.Quality == Suspended:
		return degreeName(n.Degree, n.Alter, false, minor) + "sus4"
	}
	name := degreeName(n.Degree, n.Alter, q.small, minor) + q.sign
	if n.Quality.Seventh() && n.Ninth {
		return name + "9"
	}
	if n.Quality.Seventh() {
		return name + seventhFigures[inversion]
	}
	return name + triadFigures[inversion]
}

// degreeName writes a degree with its accidental, small or capital, in a major or minor key.
func degreeName(degree, alter int, small, minor bool) string {
	if minor && degree == 7 && small {
		alter-- // small vii is the leading tone
	}
	name := romans[degree]
	if small {
		name = strings.ToLower(name)
	}
	if alter < 0 {
		return strings.Repeat("b", -alter) + name
	}
	return strings.Repeat("#", alter) + name
}

// ParseNumeral reads a numeral as Format writes it, and the common variants
// "viio7", "vii/o7", "N6", "It6", "I64", "V2", "V9", "bVI/V", "Imaj7", in the given key.
func ParseNumeral(text string, k Key) (Numeral, bool) {
	head, target, applied := strings.Cut(strings.ReplaceAll(text, "/o", "ø"), "/")
	var n Numeral
	if applied {
		t, ok := ParseNumeral(target, k)
		if !ok || t.Target != 0 {
			return Numeral{}, false
		}
		n.Target, n.TargetAlter = t.Degree, t.Alter
		n.TargetMinor = qualities[t.Quality].small
	}
	return n, parseHead(&n, head, n.Region(k).Minor)
}

func parseHead(n *Numeral, s string, minor bool) bool {
	switch {
	case s == "Cad64" || s == "Cad":
		n.Degree, n.Inversion, n.Cadential, n.Quality = 1, 2, true, Major
		if minor {
			n.Quality = Minor
		}
		return true
	case augmentedSixth(n, s):
		return true
	case strings.HasPrefix(s, "N"):
		s = "bII" + s[1:]
	}
	alter := 0
	for ; s != "" && (s[0] == 'b' || s[0] == '#'); s = s[1:] {
		if s[0] == 'b' {
			alter--
		} else {
			alter++
		}
	}
	roman := s[:len(s)-len(strings.TrimLeft(s, "IViv"))]
	small := roman == strings.ToLower(roman)
	for d := 1; d <= 7; d++ {
		if romans[d] == strings.ToUpper(roman) && (small || roman == strings.ToUpper(roman)) {
			n.Degree = d
		}
	}
	if n.Degree == 0 {
		return false
	}
	if n.Alter = alter; minor && n.Degree == 7 && small {
		n.Alter++
	}
	return parseFigures(n, s[len(roman):], small)
}

// augmentedSixths are the augmented sixths by name, with their root's degree,
// its alteration and their usual inversion, the lowered sixth in the bass.
var augmentedSixths = []struct {
	name          string
	quality       Quality
	degree, alter int
	usual         int
	figures       [4]string
}{
	{"It", Italian, 4, 1, 1, italianFigures},
	{"Ger", German, 4, 1, 1, seventhFigures},
	{"Fr", French, 2, 0, 2, seventhFigures},
	{"Sw", Swiss, 2, 1, 2, seventhFigures},
}

// augmentedSixth reads an augmented sixth; bare names and "6" mean the usual inversion.
func augmentedSixth(n *Numeral, s string) bool {
	for _, a := range augmentedSixths {
		figures, ok := strings.CutPrefix(s, a.name)
		if !ok {
			continue
		}
		n.Quality, n.Degree, n.Alter, n.Inversion = a.quality, a.degree, a.alter, a.usual
		for i, f := range a.figures {
			if f != "" && f == figures {
				n.Inversion = i
			}
		}
		return true
	}
	return false
}

var figureInversion = map[string]int{
	"": 0, "6": 1, "64": 2, "7": 0, "65": 1, "43": 2, "42": 3, "2": 3,
}

func parseFigures(n *Numeral, s string, small bool) bool {
	sign := ""
	for _, c := range []string{"°", "o", "ø", "+maj", "+", "maj", "sus4"} {
		if strings.HasPrefix(s, c) {
			sign, s = c, s[len(c):]
			break
		}
	}
	if s == "9" {
		n.Ninth, s = true, "7"
	}
	inversion, ok := figureInversion[s]
	if !ok {
		return false
	}
	n.Inversion = inversion
	seventh := len(s) > 0 && s != "6" && s != "64"
	n.Quality, ok = qualityOf(sign, small, seventh)
	return ok
}

func qualityOf(sign string, small, seventh bool) (Quality, bool) {
	switch {
	case sign == "sus4":
		return Suspended, !seventh
	case sign == "ø":
		return HalfDiminished, true
	case (sign == "°" || sign == "o") && seventh:
		return DiminishedSeventh, true
	case sign == "°" || sign == "o":
		return Diminished, true
	case sign == "+maj" && seventh:
		return AugmentedMajorSeventh, true
	case sign == "+" && !seventh:
		return Augmented, true
	case sign == "maj" && seventh && small:
		return MinorMajorSeventh, true
	case sign == "maj" && seventh:
		return MajorSeventh, true
	case sign != "":
		return NoQuality, false
	case seventh && small:
		return MinorSeventh, true
	case seventh:
		return DominantSeventh, true
	case small:
		return Minor, true
	}
	return Major, true
}

// NormalDegree is the numeral's degree without figures or quality, all in
// capitals, for comparison: "VII/V", "bII", "#VI", "Aug6". In minor VII is the
// leading tone and bVII the subtonic.
func (n Numeral) NormalDegree(k Key) string {
	s := "Aug6"
	if !n.Quality.AugmentedSixth() {
		s = normalDegree(n.Degree, n.Alter, n.Region(k).Minor)
	}
	if n.Target != 0 {
		s += "/" + normalDegree(n.Target, n.TargetAlter, k.Minor)
	}
	return s
}

func normalDegree(degree, alter int, minor bool) string {
	if minor && degree == 7 {
		alter--
	}
	if alter < 0 {
		return strings.Repeat("b", -alter) + romans[degree]
	}
	return strings.Repeat("#", alter) + romans[degree]
}
