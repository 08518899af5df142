// Package sound reads recordings: WAV, FLAC, MP3 and Ogg Vorbis, as one channel at
// [Rate] samples a second.
//
// Start at [Read]. What is no such file, is silent or too long is an [Error], one
// line that says what to do.
package sound

import "hairpin/performance/spectrum"

// Rate is the samples a second of every [Sound].
const Rate = spectrum.Rate

// Sound is a recording.
type Sound struct {
	Samples []float32 // mono, full scale 1
	Format  string    // "WAV", "FLAC", "MP3", "Ogg Vorbis"
	Rate    int       // of the file, samples a second

	cut int // samples of the file that are cut off at the top
}

// Seconds is how long it lasts.
func (s *Sound) Seconds() float64 { return float64(len(s.Samples)) / Rate }

// Limits bound what is read.
type Limits struct {
	Bytes   int64   // of the file
	Seconds float64 // of sound
}

// DefaultLimits are 1 GiB and 40 minutes.
func DefaultLimits() Limits { return Limits{1 << 30, 40 * 60} }

// Error is a recording that cannot be used.
type Error struct {
	Text string
	Hint string // what to do, "" if there is nothing to add
}

func (e *Error) Error() string { return e.Text }
