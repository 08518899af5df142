// Package annotate adds layers of our own to a score and changes nothing else
// in it: numerals, chord names, tension, verdicts, shaping, remarks.
//
// Start at [Add]; [ReadRemarks] reads a teacher's own words.
//
// # Conventions
//
// Moments are ticks of the score. Heights are tenths of a stave space from the
// staff's top line, as MusicXML's default-y. Parts count from 0, -1 is the highest.
package annotate
