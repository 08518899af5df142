package events

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Kind names an event.
type Kind string

// The kinds of event, and what of [Event] each fills in beside Start, End, Key and
// Reasons.
const (
	Appoggiatura     Kind = "appoggiatura"      // Notes: the lean and its resolution; Step; Chord
	Suspension       Kind = "suspension"        // Notes: preparation, suspension, resolution (the first two are one if tied); Step; Chord
	Sequence         Kind = "sequence"          // Members, Step, Semitones; Start to End is the whole growth
	Pedal            Kind = "pedal point"       // Degree 1 or 5; Tones: the tone held; Notes: those that hold it
	Neapolitan       Kind = "Neapolitan"        // Chord
	AugmentedSixth   Kind = "augmented sixth"   // Chord
	Borrowed         Kind = "borrowed chord"    // Chord; From: the key it belongs to
	FarKey           Kind = "far key"           // From, To, Entry, Semitones; Chord: the first in the new key; see [Stays]
	DeceptiveCadence Kind = "deceptive cadence" // Chord: the one that comes in place of the tonic
	EvadedCadence    Kind = "evaded cadence"    // Chord: the one that comes in place of the tonic
	Elision          Kind = "elision"           // Chord: the end of one phrase and the beginning of the next
	Hemiola          Kind = "hemiola"           // two measures of three, heard as three of two
	BassLine         Kind = "walking bass line" // Tones, Notes: the steps in order; Step -1 or 1; Chromatic, Lament
	Quickening       Kind = "quickening"        // Before, After; the quicker stretch, up to the close at End
	PicardyThird     Kind = "Picardy third"     // Chord
)

// Kinds lists every kind, in the order above.
func Kinds() []Kind {
	return []Kind{Appoggiatura, Suspension, Sequence, Pedal, Neapolitan, AugmentedSixth, Borrowed, FarKey,
		DeceptiveCadence, EvadedCadence, Elision, Hemiola, BassLine, Quickening, PicardyThird}
}

// Entry says how a far key is entered: the usual names of a harmony textbook
// (common practice, no source).
type Entry string

// The ways into a far key.
const (
	Direct     Entry = "direct"      // the old key stops, the new one begins
	CommonTone Entry = "common tone" // one tone is held or repeated alone, and turns
	Pivot      Entry = "pivot chord" // a chord of both keys
	Chromatic  Entry = "chromatic"   // a chord's tones slide by semitones
	Enharmonic Entry = "enharmonic"  // a chord is spelled, and resolved, as another
	Applied    Entry = "applied"     // the new key's dominant comes first
	Mode       Entry = "mode"        // the tonic stays, major and minor change places
)

// Event is something a teacher would point at.
type Event struct {
	Kind       Kind
	Start, End score.Tick
	Part       int   // counted from 0; -1 if it belongs to the whole
	Notes      []int // indices into Score.Notes, in order of time
	Chord      int   // index into Analysis.Chords; -1
	Key        tonal.Key
	From, To   tonal.Key     // FarKey; From alone: Borrowed
	Entry      Entry         // FarKey
	Tones      []score.Class // BassLine, Pedal
	Degree     int           // Pedal: scale degree of the tone held, 1 or 5
	Members    int           // Sequence: how often the pattern sounds
	Step       int           // steps of the staff from one to the next, upward positive: between members, or from lean to resolution
	Semitones  int           // Sequence: as Step; FarKey: from the old tonic up to the new, 0–11
	Before     float64       // Quickening: chords a measure before, and then
	After      float64
	Chromatic  bool // BassLine: two steps in three are semitones
	Lament     bool // BassLine: from the tonic of a minor key down to its dominant

	Measures   float64  // how long it lasts
	Home       bool     // FarKey: the way back to the home key
	Again      bool     // the same has come before in the piece, on the same degrees or tones
	Times      int      // how many events of its kind the piece has
	Rarity     float64  // 0 common … 1 rare, in the corpus and in this piece: see Rank
	Weight     float64  // rank, 0 to 1: see Rank
	Confidence float64  // probability that a musician would call it so
	Reasons    []Reason // what speaks for it, strongest first
}

// Reason is one sign that an event is what it is called.
type Reason string
