// Package events finds what a teacher would point at in a score: a suspension, a
// sequence, a Neapolitan, a pedal point, a far key and how it is entered.
//
// Start at [Find]; [Rank] puts the most telling first.
//
// # Conventions
//
// An event is data: its sentence is made elsewhere. Times are ticks of the score,
// notes are indices into Score.Notes, chords indices into Analysis.Chords, -1 for none.
// Confidence is a probability from 0 to 1 and is worth no more than the chords under
// it; a doubtful event is left out rather than told.
package events
