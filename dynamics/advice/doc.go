// Package advice says where each phrase is going, what players do there, and
// how loud a phrase may be taken as a whole.
//
// Start at [Find], which gives a [Plan]: a [Goal] and a [Proposal] for every
// phrase, and the [Advice] that recorded performances bear out. [Climaxes] gives
// the loudest place of sections and of the piece.
//
// # Conventions
//
// Levels are steps as in package page, times are ticks of the score. Confidence
// is a probability from 0 to 1, told as a tonal.Certainty. A share is how often
// recorded players do a thing, 0 to 1; the table of shares names its sources.
package advice
