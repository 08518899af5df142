package tonal

import "hairpin/score"

// Chord is a stretch governed by one chord, however broken its figuration.
type Chord struct {
	Start, End    score.Tick
	Key           Key
	Numeral       Numeral
	Root, Bass    score.Class // Bass is the chord's bass tone, not a pedal below it
	Quality       Quality
	Inversion     int
	Tones         []score.Class // spelled chord tones from the root upward
	Pedal         bool          // a foreign bass is held below
	Confidence    float64       // probability that root and quality are right
	KeyConfidence float64       // probability that the local key is right
	Certainty     Certainty
	Why           string  // the evidence in a short phrase: "A C# E sound, G is a passing tone"
	Rival         string  // the second-best reading, "" if there is none worth naming
	RivalClose    bool    // the second-best is nearly as good, and Why says so
	Given         bool    // named by the user or a printed symbol, not heard
	Tension       Tension // highest point within the span
}

// Duration is the chord's length.
func (c Chord) Duration() score.Tick { return c.End - c.Start }

// Spell is the chord that a numeral means in a key, without its times.
func Spell(n Numeral, k Key) Chord {
	return Chord{Key: k, Numeral: n, Root: n.Root(k), Bass: n.Bass(k), Quality: n.Quality, Inversion: n.Inversion, Tones: n.Tones(k)}
}

// Roman is the chord's numeral in its key.
func (c Chord) Roman() string { return c.Numeral.Format(c.Key) }

// Name is the chord's letter name with its bass: "Am7/G". An augmented sixth is
// named by its lower tone, as players do: "Bb Ger6".
func (c Chord) Name() string {
	suffix := qualities[c.Quality].suffix
	lead, usual := c.Root.String(), c.Root
	if c.Quality == NoQuality {
		suffix = "?"
	}
	if nation, low := c.Quality.Sixth(c.Root); nation != "" {
		lead, usual = low.String()+" ", low
	}
	s := lead + suffix
	if c.Bass != usual {
		s += "/" + c.Bass.String()
	}
	return s
}

// Words is Name as a sentence says it: an augmented sixth by its nation and its
// lower tone, "augmented (French) sixth on Ab".
func (c Chord) Words() string {
	nation, low := c.Quality.Sixth(c.Root)
	if nation == "" {
		return c.Name()
	}
	text := "augmented (" + nation + ") sixth on " + low.String()
	if c.Bass != low {
		text += " with " + c.Bass.String() + " in the bass"
	}
	return text
}

// KeySpan is a stretch in one local key.
type KeySpan struct {
	Start, End score.Tick
	Entered    score.Tick // where it is told to begin: see hearing.Enter
	Key        Key
	Confidence float64
}

// Tension is how strongly a moment asks to go on, 0 to 100, and its three parts.
type Tension struct {
	Total      float64
	Dissonance float64 // how the sounding notes clash
	Distance   float64 // how far the chord is from its tonic and the key from home
	Pull       float64 // a dominant waiting for its resolution
}
