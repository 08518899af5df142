// Package page reads the loudness that a score prints: marks, words, hairpins
// and accents become levels.
//
// Start at [Printed], which gives a [Page]: a [Curve] for every part and for the
// whole, the [Accent]s above it, and the [Contrast]s that the page wants.
//
// # Conventions
//
// A level is a number of steps: ppp is 1, pp 2, p 3, mp 4, mf 5, f 6, ff 7,
// fff 8; fractions lie between two marks, 0 is silence (niente), 8.5 and 9 are
// ffff and fffff. Sixteen times the level is the conventional MIDI velocity of
// the mark (16, 33, 49 … 112, 126 in tables of practice). Levels are
// relations within a piece, not decibels: a mark means louder or softer than
// its neighbours (Kosta, Bandtlow & Chew 2014, "Practical implications of
// dynamic markings in the score"). Times are ticks of the score. A certainty
// is a harmony.Certainty: what the page leaves open is filled in as a player
// would, and is less than sure. A part is an index into Score.Parts, -1 the
// whole; staff 0 is all staves.
package page
