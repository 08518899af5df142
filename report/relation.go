package report

import (
	"fmt"
	"slices"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// relation says in a teacher's words why a chord is away from rest in its key: what it
// does there, or else what it shares with the tonic. next is the chord after it, nil for
// none. The functions are those of any textbook (Open Music Theory: tonic, predominant,
// dominant, applied and borrowed chords); tones are counted from the spelled chord.
func relation(c, next *tonal.Chord) string {
	n, name := c.Numeral, numeralWords(c)
	foreign := outside(c)
	switch {
	case n.Degree == 0:
		return name + " has no place in " + c.Key.Name()
	case n.Cadential:
		return name + " holds back the dominant"
	case n.Quality.AugmentedSixth():
		return name + " presses outward to " + applied("the dominant", "V/", c)
	case n.Target != 0:
		return name + " is the " + leads(n) + " of " + target(n, c.Key) + added(foreign, ", with ", " from outside of "+c.Key.Name())
	case dominant(c):
		return name + " is the dominant and asks for the tonic"
	case leadingTone(c):
		return name + " is the leading-tone chord and asks for the tonic"
	case n.Degree == 5 && n.Quality.Small():
		return name + " is the minor dominant, without the leading tone"
	case len(foreign) > 0:
		return name + added(foreign, " brings ", " from outside of "+c.Key.Name())
	case n.Degree == 1 && n.Quality.Seventh():
		return name + " has a seventh, and is no tonic at rest"
	case n.Degree == 1 && c.Inversion > 0:
		return name + " is the tonic, but its " + [4]string{"", "third", "fifth", "seventh"}[c.Inversion] + " is in the bass"
	case n.Degree == 2 || n.Degree == 4:
		return name + " is a subdominant chord" + preparing(c, next)
	}
	if n := shared(c); n < 3 {
		return name + " shares " + [3]string{"no tone", "one tone", "two tones"}[n] + " with the tonic, and stands on another root"
	}
	return name + " holds the tones of the tonic over another root"
}

// numeralWords is a chord's numeral as a sentence says it.
func numeralWords(c *tonal.Chord) string {
	switch {
	case c.Numeral.Cadential:
		return "the cadential six-four"
	case c.Quality.AugmentedSixth():
		return "the " + c.Words()
	case c.Numeral.Degree == 2 && c.Numeral.Alter == -1 && c.Numeral.Target == 0 && c.Quality == tonal.Major:
		return "the Neapolitan, " + c.Roman() + ","
	}
	return c.Roman()
}

// dominant reports whether a chord is the dominant of its key, with the leading tone.
func dominant(c *tonal.Chord) bool {
	n := c.Numeral
	return n.Degree == 5 && n.Alter == 0 && n.Target == 0 && (n.Quality == tonal.Major || n.Quality == tonal.DominantSeventh)
}

// leadingTone reports whether a chord is the diminished one on its key's leading tone.
func leadingTone(c *tonal.Chord) bool {
	n := c.Numeral
	return n.Degree == 7 && n.Target == 0 && c.Root == c.Key.Tonic+5 &&
		(n.Quality == tonal.Diminished || n.Quality == tonal.DiminishedSeventh || n.Quality == tonal.HalfDiminished)
}

// leads names what an applied chord is to its passing tonic.
func leads(n tonal.Numeral) string {
	if n.Degree == 7 {
		return "leading-tone chord"
	}
	return "dominant"
}

// target is the degree that a chord is applied to, as a numeral.
func target(n tonal.Numeral, k tonal.Key) string {
	return tonal.Numeral{Degree: n.Target, Alter: n.TargetAlter, Quality: n.Region(k).Triad()}.Format(k)
}

// applied is a word for a chord that belongs to no other degree, else a numeral before it.
func applied(word, numeral string, c *tonal.Chord) string {
	if c.Numeral.Target == 0 {
		return word
	}
	return numeral + target(c.Numeral, c.Key)
}

// preparing says that a chord leads to the dominant, if it does.
func preparing(c, next *tonal.Chord) string {
	if next != nil && next.Key == c.Key && (dominant(next) || leadingTone(next) || next.Numeral.Cadential) {
		return " and prepares the dominant"
	}
	return ", away from the tonic"
}

// outside lists the tones of a chord that its key does not have, the raised sixth and
// seventh of minor counted as its own.
func outside(c *tonal.Chord) []score.Class {
	var out []score.Class
	for _, t := range c.Tones {
		if _, holds := tonal.RegionScale(c.Key, []score.Class{t}); !holds {
			out = append(out, t)
		}
	}
	return out
}

// added names tones between two texts; "" if there are none.
func added(list []score.Class, before, after string) string {
	if len(list) == 0 {
		return ""
	}
	names := make([]string, len(list))
	for i, t := range list {
		names[i] = t.String()
	}
	return before + join(names) + after
}

// shared counts the tones that a chord has in common with its key's tonic triad.
func shared(c *tonal.Chord) int {
	n := 0
	for _, t := range c.Key.Triad().Tones(c.Key.Tonic) {
		if slices.Contains(c.Tones, t) {
			n++
		}
	}
	return n
}

// keyRelation says what a key is to the home key: a relative, a neighbour, or so many
// keys away on the circle of fifths, counted by signatures.
func keyRelation(k, home tonal.Key) string {
	away := k.Fifths() - home.Fifths()
	switch {
	case k.Tonic == home.Tonic:
		return "the " + k.Mode() + " key on the same tonic"
	case away == 0:
		return "the relative " + k.Mode() + " of " + home.Name()
	case k.Minor == home.Minor && away == 1:
		return "the key of the dominant of " + home.Name()
	case k.Minor == home.Minor && away == -1:
		return "the key of the subdominant of " + home.Name()
	}
	n := k.SignsFrom(home)
	if n == 0 {
		return home.Name() + " or its relative in other letters"
	}
	if n == 1 {
		return "a key away from " + home.Name() + " on the circle of fifths"
	}
	return fmt.Sprintf("%s keys away from %s on the circle of fifths", [7]string{2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}[n], home.Name())
}

// far is how many keys on the circle of fifths are called far: our own choice.
const far = 3

// isFar reports whether a key is far from home.
func isFar(k, home tonal.Key) bool {
	return k.SignsFrom(home) >= far && k.Tonic != home.Tonic
}
