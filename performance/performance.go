// Package performance lays a recorded playing, a take, over the score: where the
// player was, how loud and how fast each beat was, what was missed, what became of
// the printed hairpins, how even alternating strokes are, and whether the playing
// went with the harmony.
//
// Start at [Read], which reads a take, and [Follow], which lays it over a score.
//
// # Conventions
//
// Times are seconds from the start of the recording; places are ticks of the score
// as written, so a passage played twice has two beats at the same tick. Loudness is
// in decibels: of keys struck, 40·log10 of the velocity over 127 (MIDI Manufacturers
// Association 1997, "Downloadable Sounds Level 1"; citation from memory); of sound,
// of the loudest 50 ms below full scale. It tells what sounded, not how hard
// anything was struck. Where the place was lost there are no beats.
//
// One player who plays a passage twice differs from himself by 1.5 to 1.9 dB a beat
// (standard deviation; our own measure of five pieces), so nothing is said of a
// single beat below 3 dB, nor of a hairpin below 2 dB.
package performance

import (
	"hairpin/performance/follow"
	"hairpin/score"
)

// Playing is one take laid over the score.
type Playing struct {
	Name    string
	Sound   bool // else keys struck
	Seconds float64
	Sure    float64 // 0 to 1, how much of what was played the score explains
	Spread  float64 // dB, of sound: see [sound.Sound.Spread]; 0 where unknown
	Clipped bool    // loud places of a sound are cut off
	Runs    []follow.Run
	Lost    []Lost
	Beats   []Beat  // in the order played
	Right   []Right // keys struck only, in order of time
	Missed  []int   // indices into Score.Notes, of keys struck only, in the order of the score
	Wrong   []Wrong
	Counts  Counts

	Hairpins []HairpinPlayed
	Uneven   []Evenness

	entries []entry // notes, by run and place
	places  []entry // of sound: the places heard, as loud as all that sounds
}

// Counts are of notes; only keys struck tell them.
type Counts struct {
	Struck, Right, Missed, Wrong int
}

// Lost is a stretch of time between two runs, or before the first and after the
// last, in which something was played that was not found in the score, or nothing.
type Lost struct {
	From, To float64
	Pause    bool // nothing was played
}

// Right is a key struck that was found in the score.
type Right struct {
	Time float64
	Key  int
	Note int // index into Score.Notes
	Run  int
}

// Wrong is a key struck that is not written there.
type Wrong struct {
	Time float64
	Key  int
	At   score.Tick // about where
}

// Beat is a beat of the page as it was played.
type Beat struct {
	At    score.Tick
	Run   int
	Time  float64
	Tempo float64 // beats of the page a minute over the beats around, 0 where unknown
	Unit  score.Tick

	Loud     bool    // whether Level and Relative are known
	Level    float64 // dB
	Relative float64 // dB above what this texture and register usually give in this take
}

// entry is a note or a place that was heard, with its loudness.
type entry struct {
	at       score.Tick
	run      int
	time     float64
	part     int // -1: all
	level    float64
	relative float64 // less what texture and register alone would give
	note     int     // index into Score.Notes, -1: a place of several
}

// Follow lays a take over a score. It returns an [sound.Error] where the take is
// of another piece, or too little of it is known again.
func Follow(s *score.Score, t *Take) (*Playing, error) { return FollowBeats(s, t, Beats(s)) }

// FollowBeats is Follow with beats of the caller's choice, rising.
func FollowBeats(s *score.Score, t *Take, beats []score.Tick) (*Playing, error) {
	slots := slotsOf(s, beats)
	if t.Sound != nil {
		return followSound(s, t, slots)
	}
	return followKeys(s, t, slots)
}
