// Package follow finds where in the score a player was at each moment of a
// recording: from any place on, through wrong, missing and added notes, stops,
// restarts and repeats taken or not, at any tempo. What it does not find it
// leaves out.
//
// Start at [Strokes] for keys struck (a MIDI file) and at [Sound] for samples.
//
// # Conventions
//
// Times are seconds from the start of the recording. Places are ticks of the
// score as written: a passage played twice is two [Run]s over the same ticks.
//
// # Method
//
// Both ways of following are a hidden Markov model whose states are the written
// onsets and whose most likely path is found by Viterbi's algorithm (Rabiner
// 1989, "A tutorial on hidden Markov models and selected applications in speech
// recognition"); that a player may go on from anywhere is a jump from the best
// state so far, at a price (the idea of Nakamura, Nakamura & Sagayama 2015,
// "Real-time audio-to-score alignment of music performances containing errors and
// arbitrary repeats and skips"; citations from memory). The prices are our own.
package follow

import "hairpin/score"

// Stroke is one key struck.
type Stroke struct {
	On  float64
	Key int // MIDI key, 60 for middle C
}

// Following is the place in the score over the time of the recording.
type Following struct {
	Runs    []Run   // in order of time; between them the player stopped or jumped, or the place was lost
	Matches []Match // strokes found in the score, in order of time; none for sound
	Sure    float64 // 0 to 1: the share of what was played that the score explains
}

// Run is a stretch played through: places and times rise.
type Run struct {
	Points []Point
}

// Point is a written onset that was heard, and when.
type Point struct {
	At   score.Tick
	Time float64
}

// Match is a stroke found in the score.
type Match struct {
	Stroke int // index into the strokes
	Note   int // index into Score.Notes
	Run    int // index into Following.Runs
}
