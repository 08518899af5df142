// Package stated takes chords that are stated and not heard: the chord symbols that
// a page prints, and a musician's own corrections.
//
// Start at [FromSymbols] and [ReadCorrections]; [Apply] overrules what was heard.
//
// # Conventions
//
// A stated chord is marked as given, with a confidence of 1. Measures carry their
// printed number, beats count from 1 in the time signature's denominator.
package stated
