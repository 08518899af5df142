// Package practice writes what a reading heard as sheets to play: the piece in
// block chords, and a hard passage in four steps.
//
// Start at [Reduction] and [Steps].
//
// # Conventions
//
// Times are ticks of the score, tempi beats a minute. Sheets have one part on
// two staves. Long loud practice can harm hands and hearing: the sheets say so.
package practice
