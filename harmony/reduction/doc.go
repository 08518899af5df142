// Package reduction sets a piece in block chords at its harmonic rhythm.
//
// Start at [Reduce]; [Reduction.Score] lays the blocks out on two staves.
//
// # Conventions
//
// Pitches are spelled and go from the lowest upward. A block's chord is its place
// in the list of chords given.
package reduction
