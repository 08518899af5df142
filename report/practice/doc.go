// Package practice writes what a reading heard as sheets to play: the piece in
// block chords, and a hard passage as a ladder of practice.
//
// Start at [Reduction] and [Ladder]; [Hardest] picks measures worth a ladder.
//
// # Conventions
//
// A reduction is written from the score, in concert pitch on two staves. A ladder
// is written from the source's own measures: pitches, clefs, staves and numbers
// are those of the page, and times within a bar are divisions of the document.
// Tempi are marks of a metronome in the page's unit. Long loud practice can harm
// hands and hearing: the sheets say so.
package practice
