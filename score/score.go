// Package score holds a piece of music as it is written: parts, measures,
// notes with spelled pitch, and the marks a player reads.
//
// Start at [Score]. It is plain data; the package musicxml fills it and
// everything after it only reads it.
//
// # Conventions
//
// Time is counted in whole [Tick]s from the start of the first measure as
// written: repeats are not unfolded, a pickup has its true length. One quarter
// note lasts [Score.Division] ticks, so every tuplet of the source is exact.
// Pitches are concert pitches, spelled: transposing instruments are already
// carried to the sounding pitch. Parts, measures and notes are indexed from 0,
// staves and voices are numbered from 1 as musicians do; 0 means "all staves"
// or "not stated". A slice of marks is sorted by time, then part, then staff.
package score

// Tick is a point in time or a duration, in units of 1/Division quarter note.
type Tick int64

// Score is a piece as written.
type Score struct {
	Title    string // work or movement title, "" if none
	Composer string // "" if none
	Division Tick   // ticks in a quarter note, at least 1
	Parts    []Part
	Measures []Measure
	Notes    []Note // sorted by onset, then part, then pitch; ties are merged
	Rests    int    // number of rests written, for reports only

	Keys      []KeyMark
	Times     []TimeMark
	Tempos    []Tempo
	Dynamics  []Dynamic
	Hairpins  []Hairpin
	Dashes    []Dashes
	Words     []Words
	Sounds    []SoundLevel
	Slurs     []Slur
	Pedals    []Span // from where the pedal goes down to where it is let up; a change is both
	Fermatas  []Fermata
	Syllables []Syllable
	Symbols   []ChordSymbol
	Repeats   []Repeat
	Endings   []Ending
	Jumps     []Jump
	DoubleBar []Tick // right edges of measures closed by a double or final bar line

	Warnings []Warning // what was irregular in the source, and how it was read
}

// Part is one instrument or voice.
type Part struct {
	ID         string // the source's identifier
	Name       string
	Staves     int
	Percussion bool // has unpitched notes and no pitched ones
}

// Measure is one measure of the score; all parts share it.
type Measure struct {
	Number   string // as printed: "12", "12a"; "X1" where the source counts a measure apart
	Start    Tick
	Length   Tick // true length: the furthest point any part reaches
	Nominal  Tick // length by the time signature, 0 for senza misura
	Beats    int  // numerator of the time signature in force, sums added up
	BeatUnit int  // denominator of the time signature in force
	Pickup   bool // the first measure, shorter than its time signature, or marked implicit
	Offset   Tick // where in a full measure it begins: past 0 for the rest of a measure that a repeat sign splits
}

// End is where the measure ends.
func (m Measure) End() Tick { return m.Start + m.Length }

// Span is a stretch of a staff: where a mark belongs.
type Span struct {
	Start, End Tick
	Part       int
	Staff      int // 0: all staves of the part
}

// Place is a moment on a staff: where a mark stands.
type Place struct {
	At    Tick // where the mark is read, offset included
	Part  int
	Staff int // 0: all staves of the part
}

// Note is one sounding note; a chain of tied notes is one Note.
type Note struct {
	Onset, Duration Tick // a grace note has duration 0
	Part            int
	Staff           int // at least 1
	Voice           int // at least 1
	Measure         int // index into Score.Measures of the onset
	Pitch           Pitch
	Unpitched       bool // Pitch is then meaningless
	Grace           bool
	Small           bool // in small print
	Cue             bool // in small print that does not sound: it shows what others play
	Hidden          bool // not printed, but in the file
	Chord           bool // written as a further note of the chord before it
	Signs           Sign // of its beginning, and those of tied members that hold for all of it
	Later           []LaterSign
	Velocity        float64 // the file's own percent of forte (MusicXML note/@dynamics), 0 if absent
	Source          []int   // indices of the source's note elements, in document order over the whole file
}

// End is where the note ends.
func (n Note) End() Tick { return n.Onset + n.Duration }

// Pitched reports whether the note has a pitch, takes time and sounds: the notes that make harmony.
func (n Note) Pitched() bool { return !n.Unpitched && !n.Grace && !n.Cue && n.Duration > 0 }

// LaterSign is an accent or the like that is printed on a tied continuation, and stays there.
type LaterSign struct {
	At    Tick
	Signs Sign
}

// Sign is a set of marks on a single note.
type Sign uint32

// The signs a note can carry.
const (
	Accent       Sign = 1 << iota // >
	StrongAccent                  // ^ marcato
	SoftAccent
	Staccato
	Staccatissimo
	Tenuto
	DetachedLegato
	Stress
	Unstress
	Tremolo
	Trill // trills, mordents, turns and other ornaments that repeat or surround the note
	Arpeggio
	FermataSign
	Stopped  // other technical marks that change the sound
	Harmonic // natural or artificial harmonic
	Turn     // with Trill: the note is circled once
	Mordent  // with Trill: once down and back
	Shake    // with Trill: once up and back
)

// Has reports whether every sign of t is in s.
func (s Sign) Has(t Sign) bool { return s&t == t }

// KeyMark is a printed key signature, in the part's own (written) key and at concert pitch.
type KeyMark struct {
	Place
	Fifths      int    // at concert pitch: sharps positive, flats negative
	Written     int    // as printed in the part
	Mode        string // "major", "minor", a church mode, or "" if not stated
	NonStandard string // "F# Bb" for a non-traditional signature; Fifths is then 0
}

// TimeMark is a printed time signature.
type TimeMark struct {
	Place
	Text  string // "3/4", "3+2/8", "2/4 + 3/8", "senza-misura"
	Beats int    // sum of the numerators in units of Unit, 0 for senza misura
	Unit  int
}

// Tempo is a metronome mark or a playback tempo.
type Tempo struct {
	At      Tick
	PerMin  float64 // quarter notes a minute
	Printed bool    // a metronome mark, not only a playback value
}

// Dynamic is a mark such as p or sfz.
type Dynamic struct {
	Place
	Written Tick   // the cursor's position without the mark's offset
	Voice   int    // 0 if not stated
	Mark    string // "p", "sfz", or free text of an other-dynamics element
	OnNote  bool   // stands in a note's notations, not in a direction
	Hidden  bool
}

// HairpinKind says which way a hairpin opens.
type HairpinKind int

// The kinds of hairpin.
const (
	Crescendo HairpinKind = iota
	Diminuendo
)

// Hairpin is a wedge, from where it starts to where it stops.
type Hairpin struct {
	Span
	WrittenStart, WrittenEnd Tick // without offsets
	Kind                     HairpinKind
	Niente                   bool // from or to silence
	Open                     bool // the source never stopped it; End is where it was read to end
	Hidden                   bool
}

// Dashes is the dashed line after words such as cresc.
type Dashes struct {
	Span
	WrittenStart, WrittenEnd Tick // without offsets
	Open                     bool
}

// Words is text of the score's directions.
type Words struct {
	Place
	Written Tick
	Text    string // white space collapsed
	Hidden  bool
}

// SoundLevel is a playback loudness in the source, as percent of the default forte.
type SoundLevel struct {
	Place
	Percent float64
}

// Slur is a slur, ends included in Span.
type Slur struct {
	Span
	Voice int
}

// Fermata is a hold.
type Fermata struct {
	Place
}

// Syllable is what is sung on a note, of the first verse printed under it.
type Syllable struct {
	Place
	Voice int    // at least 1
	Text  string // with its punctuation
	Ends  bool   // the word ends with it
	// Verses is how many lines of text stand under the note, at least 1; Text is of the first.
	Verses int
}

// ChordSymbol is a chord printed above the staff.
type ChordSymbol struct {
	Place
	Root        string // "Eb", at concert pitch; "function:V" or "numeral:4" where no root is given
	WrittenRoot string // as written in the part
	Kind        string // MusicXML kind: "major", "dominant", ...
	Bass        string // "" if none, at concert pitch
	WrittenBass string
	Inversion   int // -1 if not stated
	Degrees     []Degree
	Text        string // the printed text of the kind, "" if none
}

// Degree is an added, altered or omitted tone of a printed chord.
type Degree struct {
	Value int
	Alter float64
	Type  string // "add", "alter", "subtract"
}

// Repeat is a repeat sign at a bar line.
type Repeat struct {
	At      Tick
	Measure int
	Forward bool
	Times   int // how often the passage is played, 0 if not stated
}

// Ending is a first, second … ending.
type Ending struct {
	Start, End  Tick
	First, Last int   // measure indices, both included
	Numbers     []int // passes on which it is played
	Discontinue bool  // open at its right edge
}

// Jump is a D.C., D.S., coda, segno or fine.
type Jump struct {
	At      Tick
	Measure int
	Kind    string // "dacapo", "dalsegno", "segno", "coda", "tocoda", "fine"
	Label   string
}

// Warning is something irregular in the source, and how it was read.
type Warning struct {
	Part    string // part ID, "" for the whole score
	Measure string // printed number, "" if none
	Text    string
}
