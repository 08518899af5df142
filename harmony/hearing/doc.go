// Package hearing turns notes into chords and keys: it shows the slices of a score
// to the decoder and spells what the decoder reads.
//
// Start at [Chords], then [Keys] and [Home].
//
// # Conventions
//
// The decoder counts keys from 0 to 23, minor keys from 12 on; here they are
// spelled. Confidence is a probability from 0 to 1.
package hearing
