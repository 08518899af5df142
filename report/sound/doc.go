// Package sound plays a reading: as printed, as proposed, or as loud as the
// harmony is tense.
//
// Start at [WriteMIDI] and [WriteWAV]; [Perform] gives the notes themselves.
// [WriteLadderMIDI] and [WriteLadderWAV] play a hard passage as practice.
//
// # Conventions
//
// Levels are steps, ppp 1 to fff 8; tempi are quarter notes a minute, 0 for the
// score's own.
package sound
