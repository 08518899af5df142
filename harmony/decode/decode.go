// Package decode finds the best joint reading of chord, local key and change
// points in a row of slices.
//
// Start at [Model.Decode]. The model is a semi-Markov one: a reading is a row
// of segments, each with a label (a Roman numeral in a key) and an inversion.
// Its score is a sum of weights, one for each observed fact ("the third of a
// minor triad sounds", "V7 goes to I", "the change falls on a downbeat"), so
// every decision can be taken apart into its reasons. The weights are fitted by
// a structured perceptron with a margin (see train.go) on expert analyses.
//
// The segmental model follows Sarawagi & Cohen, Semi-Markov conditional random
// fields for information extraction (2004); the averaged perceptron Collins,
// Discriminative training methods for hidden Markov models (2002); cost-augmented
// decoding Taskar, Guestrin & Koller, Max-margin Markov networks (2004); the step
// sizes Duchi, Hazan & Singer, Adaptive subgradient methods (2011).
//
// # Conventions
//
// The package knows nothing of notation: pitch classes are places on the line
// of fifths (C 0, G 1, F -1), times are beats of the metre, keys are numbered
// 0–11 for the major keys on C, C# … B and 12–23 for the minor ones.
package decode

// Note is a sounding pitched note.
type Note struct {
	Fifths     int     // place on the line of fifths
	MIDI       float64 // height
	Start, End int     // first slice, and the slice after its last
	Approach   Step    // from the note before it in its voice
	Departure  Step    // to the note after it in its voice
	From, To   int     // those neighbours, on the line of fifths; unset where Alone
	Accented   bool    // it stands in a stronger place than the note it goes to
}

// Step says how a note is joined to its neighbour in the same voice.
type Step int

// The ways two neighbours in a voice are joined.
const (
	Alone Step = iota // a rest, or no neighbour
	Same
	Stepwise
	Leap
	steps
)

// Metric is the metric place of a moment.
type Metric int

// Metric places, strongest first.
const (
	Downbeat Metric = iota
	HalfBar
	Beat
	HalfBeat
	QuarterBeat
	Between
	metrics
)

// Slice is the time between two neighbouring onsets or releases.
type Slice struct {
	Beats     float64 // its length in beats of the metre
	Quarters  float64 // its length in quarter notes
	Metric    Metric
	Change    bool  // a chord may change here: something new is struck
	Phrase    bool  // a fermata, a general rest, a double bar or a repeat stands before it
	Section   bool  // a double bar or a repeat stands before it: no chord sounds on over it
	Notes     []int // indices into Piece.Notes, lowest first
	Signature int   // printed key signature in force, sharps positive
}

// Piece is what the decoder sees of a score.
type Piece struct {
	Slices    []Slice
	Notes     []Note
	Signature bool // use the printed signature as evidence
	HomeGiven bool // Home is the home key, stated by the user
	Home      int
}

// Label is a chord as a degree of a key: what a Roman numeral says, without its inversion.
type Label struct {
	Text    string // root-position numeral, for people and tables
	Minor   bool   // it belongs to minor keys
	Root    int    // fifths above the tonic
	Tones   []int  // fifths above the root, root first
	Quality int    // small number naming the kind of chord, under MaxQuality
	Family  int    // group of qualities for facts too rare to count one by one, under MaxFamily
	Cadence bool   // a cadential six-four: only in second inversion
}

// MaxQuality bounds Label.Quality, MaxFamily bounds Label.Family.
const (
	MaxQuality = 16
	MaxFamily  = 6
)

// Segment is a stretch of slices under one label.
type Segment struct {
	Start, End int // slices, End exclusive
	Key        int // 0–11 major, 12–23 minor
	Tonic      int // the key's tonic as spelled, on the line of fifths
	Label      int // index into Model.Labels
	Inversion  int
	Doubt      Doubt // how nearly it was read otherwise
}
