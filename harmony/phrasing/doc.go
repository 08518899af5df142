// Package phrasing finds where phrases and cadences fall, from the chords, the
// pauses, the text and the passages that come back.
//
// Start at [Find]. [Closings] lists the formulas with their signs, for fitting.
//
// # Conventions
//
// What speaks for or against an end is given in log-odds and added up. Times are
// ticks of the score, parts count from 1 with 0 for all.
package phrasing
