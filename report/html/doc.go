// Package html draws a reading as a page: staves, curves of tension and
// loudness on the same x, verdicts, tables.
//
// Start at [Write], which makes a page that needs nothing else; [NewLive] and
// [NewPlayback] are the pieces for the local page. [NewDrawer] engraves.
//
// # Conventions
//
// Lengths are units of a system's width unless a comment says millimetres.
// Moments that a page can send back are written "12:3", measure and beat.
// Nothing is told by colour alone.
package html
