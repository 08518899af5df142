// Package harmony hears a score: which chord governs each stretch, in which
// local key, with which Roman numeral, where phrases and cadences fall, and how
// much tension each moment carries.
//
// Start at [Analyse].
//
// # Conventions
//
// Pitch classes are spelled (score.Class, a place on the line of fifths).
// Tension and its parts run from 0 to 100. Confidence is a probability from 0
// to 1; [Certainty] is its reading in words. Times are ticks of the score.
package harmony

import (
	"hairpin/harmony/form"
	"hairpin/harmony/longline"
	"hairpin/score"
)

// Key is a local or home key.
type Key struct {
	Tonic score.Class
	Minor bool
}

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

// Certainty says how sure a reading is.
type Certainty int

// The certainties.
const (
	Unsure Certainty = iota
	Likely
	Sure
)

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
	Given         bool    // named by the user or a printed symbol, not heard
	Tension       Tension // highest point within the span
}

// Duration is the chord's length.
func (c Chord) Duration() score.Tick { return c.End - c.Start }

// KeySpan is a stretch in one local key.
type KeySpan struct {
	Start, End score.Tick
	Key        Key
	Confidence float64
}

// CadenceKind names a cadence.
type CadenceKind string

// The cadences.
const (
	PerfectAuthentic   CadenceKind = "perfect authentic"
	ImperfectAuthentic CadenceKind = "imperfect authentic"
	Half               CadenceKind = "half"
	Phrygian           CadenceKind = "Phrygian half"
	Deceptive          CadenceKind = "deceptive"
	Evaded             CadenceKind = "evaded"
	Plagal             CadenceKind = "plagal"
)

// Cadence is a point of rest, or one withheld.
type Cadence struct {
	At         score.Tick // onset of its last chord
	Chord      int        // index of its last chord in Analysis.Chords
	Kind       CadenceKind
	Key        Key
	Confidence float64
	Why        string
}

// Phrase is a stretch between two points of rest.
type Phrase struct {
	Start, End score.Tick
	Cadence    int // index into Analysis.Cadences, -1 if it ends without one
	Confidence float64
	Why        string // what marks its end: "cadence, rest, long note"
}

// Tension is how strongly a moment asks to go on, 0 to 100, and its three parts.
type Tension struct {
	Total      float64
	Dissonance float64 // how the sounding notes clash
	Distance   float64 // how far the chord is from its tonic and the key from home
	Pull       float64 // a dominant waiting for its resolution
}

// Moment is the tension over one slice.
type Moment struct {
	Start, End score.Tick
	Chord      int // index into Analysis.Chords, -1 before the first chord and in silence
	Tension    Tension
	LongLine   Tension // the same causes over phrases and sections: see long.go
}

// Analysis is everything heard in a score.
type Analysis struct {
	Home           Key
	HomeConfidence float64
	Slices         []Slice
	Chords         []Chord   // in order, without overlap
	Keys           []KeySpan // in order, touching
	Cadences       []Cadence
	Phrases        []Phrase
	Form           form.Form         // how the phrases make units and sections, and what comes back
	Moments        []Moment          // one a slice, in order
	Expectations   []Expectation     // what dominants and suspensions promised, in order of Chord; see tension
	Weights        Weights           // the weights of the tension's parts that were used
	Tree           []longline.Branch // by chord: which harmony it belongs to
	PhraseArcs     []longline.Arc    // by phrase: its goal
	SectionArcs    []longline.Arc    // by section of the form
	Caution        string            // what the reader should know: one unaccompanied line, too few notes … ; "" if nothing
}

// Weights scales the three parts of tension in the total; 1 is the default of each.
type Weights struct {
	Dissonance, Distance, Pull float64
}

// Options steer an analysis. The zero value hears the score with default weights.
type Options struct {
	Home        *Key         // the home key, if the user states it
	Symbols     bool         // take printed chord symbols as the chords
	IgnoreSigns bool         // do not use printed key signatures as evidence
	Corrections []Correction // readings the user overrules
	Weights     *Weights     // nil: all 1
	Part        int          // hear only this part, counted from 1; 0 hears all
}

// Correction is a user's own reading from a moment on, until the next chord heard or corrected.
type Correction struct {
	At      score.Tick
	Key     *Key     // nil: keep the key heard
	Numeral *Numeral // nil: only the key is corrected
}
