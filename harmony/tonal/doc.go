// Package tonal holds the words of tonal harmony: keys, qualities, Roman numerals,
// chords, key profiles, and the slices of a score in which they are heard.
//
// Start at [Key], [ParseNumeral] and [NameChord].
//
// # Conventions
//
// Pitch classes are spelled (score.Class, a place on the line of fifths). A degree
// runs from 1 to 7; 0 means none. A chord's tones go from its root upward.
// Confidence is a probability from 0 to 1; [Certainty] is its reading in words.
package tonal
