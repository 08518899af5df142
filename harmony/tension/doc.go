// Package tension rates how strongly each moment asks to go on, from three causes:
// how the sounding notes clash, how far chord and key lie from home, and what
// dominants and suspensions have promised.
//
// Start at [Course.Rate]; [Course.Explain] says why a moment is as tense as it is.
// TENSION.md works one bar through.
//
// # Conventions
//
// Tension and its parts run from 0 to 100. The measures it is made of are
// published ones, each with its source and its own unit.
package tension
