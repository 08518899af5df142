// Package midi makes sound of a score: a Standard MIDI File, or a WAV file with
// tones of our own.
//
// Start at [Perform], which says what is played when and how loud; then
// [Performance.WriteSMF] or [Performance.WriteWAV].
//
// # Conventions
//
// A performance counts time in its own [Tick]s from the start as played, repeats
// unfolded if asked for. Levels are the steps of the package dynamics: ppp is 1,
// fff 8, fractions lie between, 0 is silence. Velocity is sixteen a step.
//
// The tempo follows the page alone, never the level: metronome marks and playback
// tempos, else tempo words; words such as ritardando moderately (see the figures
// in tempowords.go); fermatas.
package midi

import "hairpin/score"

// Tick is a time in a performance: Performance.Quarter of them last a quarter note.
type Tick int64

// Plan says how a score is to be played.
type Plan struct {
	// Level is the running level of a part, in steps, at a time as written.
	Level func(part, staff int, at score.Tick) float64
	// Accent is how far a note stands out of the running level, in steps.
	// Its onset is as written. May be nil.
	Accent  func(n score.Note) float64
	Repeats bool    // play them
	Tempo   float64 // quarter notes a minute at the start, later changes in proportion; 0: as the score says
	Tone    Tone
}

// Tone is how a part sounds in a WAV file.
type Tone int

// The tones.
const (
	ByName    Tone = iota // by the part's name: strings, winds and voices sustain, all others are struck
	Struck                // fades from the stroke on
	Sustained             // holds, and follows the level while it sounds
)

// Performance is what is played.
type Performance struct {
	Title   string
	Quarter Tick // ticks in a quarter note
	Length  Tick
	Tempos  []Tempo // the first at 0
	Times   []Time
	Keys    []Key
	Parts   []Part
}

// Tempo holds from At on.
type Tempo struct {
	At     Tick
	PerMin float64 // quarter notes a minute
}

// Time is a time signature.
type Time struct {
	At          Tick
	Beats, Unit int
}

// Key is a key signature.
type Key struct {
	At     Tick
	Fifths int
	Minor  bool
}

// Part is what one instrument plays.
type Part struct {
	Name      string
	Program   int  // General MIDI program, 0 to 127
	Sustained bool // its tone holds
	Notes     []Note
	Levels    []Level // the running level where it changes, the first at 0
}

// Note is one sounding note.
type Note struct {
	Start, End Tick
	Key        float64 // MIDI key, 60 for middle C; fractions are microtones
	Level      float64 // at its start, accent included
	Drum       bool    // without pitch; Key is a General MIDI percussion key
}

// Level is the running level from At on.
type Level struct {
	At    Tick
	Level float64
}
