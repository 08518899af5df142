package verdict

import (
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// function is what a chord does in its key, as far as a verdict asks.
type function int

// The functions.
const (
	other    function = iota // leads on, or decorates: ii, IV, vi, a tonic six-four
	tonic                    // at rest: the local tonic, in root position or first inversion
	dominant                 // waits: dominants, applied dominants, augmented sixths, the cadential six-four
)

func functionOf(c *tonal.Chord) function {
	n := c.Numeral
	switch {
	case n.Degree == 5 && n.Target == 4 && !n.TargetMinor: // the tonic with its seventh, on the way to IV
		return other
	case n.Cadential, n.Target != 0, c.Quality.AugmentedSixth():
		return dominant
	case n.Degree == 5 && (n.Quality == tonal.Major || n.Quality == tonal.DominantSeventh || n.Quality == tonal.Augmented || n.Quality == tonal.Suspended):
		return dominant
	case n.Degree == 7 && (n.Quality == tonal.Diminished || n.Quality == tonal.HalfDiminished || n.Quality == tonal.DiminishedSeventh):
		return dominant
	case n.Degree == 1 && n.Alter == 0 && (n.Quality == tonal.Major || n.Quality == tonal.Minor || n.Quality == tonal.MajorSeventh) && n.Inversion < 2:
		return tonic
	}
	return other
}

// tensionMove is a change of tension that counts, of 100; our own choice.
const tensionMove = 12.0

// rivalFunction is what the second-best reading of a chord would do in the
// chord's key; that of the chord if there is none.
func rivalFunction(c *tonal.Chord) function {
	root, suffix, ok := nameOf(c.Rival)
	if !ok {
		return functionOf(c)
	}
	degree := int(root) - int(c.Key.Tonic) // fifths above the tonic
	switch {
	case suffix == "7" || suffix == "aug":
		return dominant
	case suffix == "" && degree == 1:
		return dominant
	case suffix == "dim" || suffix == "dim7" || suffix == "m7b5" && degree == 5:
		return dominant
	case degree == 0 && (suffix == "" || suffix == "m" || suffix == "maj7"):
		return tonic
	}
	return other
}

// nameOf takes a chord's name apart: "Bbm7/F" is B flat and "m7".
func nameOf(name string) (root score.Class, suffix string, ok bool) {
	name, _, _ = strings.Cut(name, "/")
	if name == "" {
		return 0, "", false
	}
	n := 1
	for n < len(name) && (name[n] == '#' || name[n] == 'b') {
		n++
	}
	root, ok = score.ParseClass(name[:n])
	return root, name[n:], ok
}
