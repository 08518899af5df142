// Package shaping proposes a level for every moment inside the printed marks:
// an additive model of what performers do, fitted on their recordings.
//
// Start at [Shape], which gives a [Shaping] of [Proposal]s, each with what every
// [Cause] adds to it. [Measure] gives what the [Model] weighs, for fitting.
//
// # Conventions
//
// Levels and bends are steps as in package page. A bend is the way from the
// printed level to the proposed one, positive for louder: [FreeBend] at most, or
// with a [Reason] [MaxBend].
// Windows of a reading are in measures, times in ticks or, where they are
// numbers, in quarter notes. A factor counts against its own mean over the
// piece; weights are in performers' spreads of loudness.
package shaping
