// Package spectrum hears what is in samples: how strong each semitone is over
// time, where tones begin, how loud it is, how high the instrument is tuned.
//
// Start at [Hear]; [NewOnsets] and [NewLevels] look closer at time and loudness.
//
// # Conventions
//
// Samples are mono at [Rate], full scale 1. Frames are centred: frame i is the
// sound around i·hop. Energies are power; levels are decibels below full scale.
package spectrum

// Rate is the samples a second that everything here expects.
const Rate = 22050
