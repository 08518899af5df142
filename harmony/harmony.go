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
// to 1; [tonal.Certainty] is its reading in words. Times are ticks of the score.
package harmony

import (
	"hairpin/harmony/form"
	"hairpin/harmony/longline"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/stated"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
)

// Analysis is everything heard in a score.
type Analysis struct {
	Home           tonal.Key
	HomeConfidence float64
	Slices         []tonal.Slice
	Chords         []tonal.Chord   // in order, without overlap
	Keys           []tonal.KeySpan // in order, touching
	Cadences       []phrasing.Cadence
	Phrases        []phrasing.Phrase
	Form           form.Form             // how the phrases make units and sections, and what comes back
	Tree           []longline.Branch     // by chord: which harmony it belongs to
	PhraseArcs     []longline.Arc        // by phrase: the way to its goal
	SectionArcs    []longline.Arc        // the same by section of the form
	Moments        []tension.Moment      // one a slice, in order
	Expectations   []tension.Expectation // what dominants and suspensions promised, in order of Chord; see tension
	Weights        tension.Weights       // the weights of the tension's parts that were used
	Caution        string                // what the reader should know: one unaccompanied line, too few notes … ; "" if nothing
}

// Options steer an analysis. The zero value hears the score with default weights.
type Options struct {
	Home        *tonal.Key          // the home key, if the user states it
	Symbols     bool                // take printed chord symbols as the chords
	IgnoreSigns bool                // do not use printed key signatures as evidence
	Corrections []stated.Correction // readings the user overrules
	Weights     *tension.Weights    // nil: all 1
	Part        int                 // hear only this part, counted from 1; 0 hears all
}
