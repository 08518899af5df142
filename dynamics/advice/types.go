package advice

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Span is a stretch of the piece, End excluded.
type Span struct{ Start, End score.Tick }

// Lack is why a phrase is said to go nowhere.
type Lack string

// The lacks.
const (
	Falls Lack = "falls from its first note"       // it is loudest there, and the page fades
	Turns Lack = "goes to nothing after its start" // what is likeliest is its start, or the page falls from there and grows again
	Rests Lack = "comes to rest"                   // the end of the piece, where the page never grows
	Short Lack = "too short to go anywhere"        // shortPhrase measures or less
	Vague Lack = "no place stands out"             // players are no oftener loudest there than elsewhere
)

// Goal is where a phrase is going: the moment that its players make loudest.
type Goal struct {
	Phrase     int // index into Analysis.Phrases; 0 also where none was heard and the piece is one phrase
	Start, End score.Tick
	At         score.Tick
	Confidence float64 // that players are loudest there, within a beat or a tenth of the phrase
	Certainty  tonal.Certainty
	// What harmony, melodic line and page say for the place against the mean of
	// the phrase, in the units of the model: positive speaks for it.
	Harmony, Line, Page float64
	Mark                string     // the loudest mark of the piece, if the goal stands in its reach: "ff"; else ""
	Rival               score.Tick // the second-best place, outside the first one's tolerance; At if there is none
	Lack                Lack       // why it is not told; "" if it is
}

// Told reports whether the phrase is said to go there.
func (g Goal) Told() bool { return g.Lack == "" }

// Climax is the loudest place of a section, or of the piece.
type Climax struct {
	Start, End score.Tick // of the section
	At         score.Tick
	Mark       string  // as that of the goal
	Phrase     int     // index into the goals: the phrase whose goal it is
	Level      float64 // proposed there, in steps
	Confidence float64
	Certainty  tonal.Certainty // that of the goal; unsure where another place is about as loud
}

// Kind is what a piece of advice asks for.
type Kind string

// The kinds of advice.
const (
	Grow     Kind = "grow"      // from Start towards At
	Ease     Kind = "ease"      // from At to End
	Lean     Kind = "lean"      // on a dissonance At, and release
	Taper    Kind = "taper"     // at the end of a phrase
	TakeTime Kind = "take time" // before the end of a phrase
)

// Cause is what speaks for a piece of advice.
type Cause string

// The causes.
const (
	ByHarmony Cause = "harmony"
	ByLine    Cause = "melodic line"
	ByTexture Cause = "texture"
	ByMetre   Cause = "metre"
	ByPhrase  Cause = "phrase"
	ByPage    Cause = "print"
)

// Advice is one thing to do at one place, with how often recorded players do so.
type Advice struct {
	Kind       Kind
	Start, End score.Tick
	At         score.Tick // the moment it is about: the goal, the dissonance, the last beat
	Phrase     int        // index into the goals
	Share      float64    // of comparable places in recorded performances: players do so
	Baseline   float64    // the same move at random places of the same pieces
	N          int        // how many comparable places
	Certainty  tonal.Certainty
	Cause      Cause
	Against    bool  // it goes against the harmony, whose tension moves the other way
	Reason     Cause // why it does, if it is against the harmony; else ""
}

// Hairpin is a growth or an easing of a proposal, for a stretch where the page
// prints none.
type Hairpin struct {
	Start, End score.Tick
	From, To   float64 // levels
	Certainty  tonal.Certainty
	Cause      Cause
	Against    bool // it goes against the harmony
	Reason     Cause
}

// Grows reports whether the hairpin is a crescendo.
func (h Hairpin) Grows() bool { return h.To > h.From }

// Turn is a level that a proposal names and the moment it is reached.
type Turn struct {
	At      score.Tick
	Level   float64
	Printed bool // the print asks for it; else start, goal or end
}

// Proposal is a phrase's shape as a player can take it in: a level to start
// from, growth to the goal, easing after it.
type Proposal struct {
	Phrase           int // index into the goals
	Start, Goal, End score.Tick
	From, Peak, To   float64   // levels at the three: the printed ones but for a shade, Peak near it
	Turns            []Turn    // from From over all turns, those of the print among them, to To: two neighbours never of one mark
	Wish             float64   // Peak before it is held inside the range of the page's marks
	Hairpins         []Hairpin // in order, at most two
}

// Plan is what this package finds in a score.
type Plan struct {
	Goals     []Goal     // one a phrase, in order
	Advice    []Advice   // in order of Start
	Proposals []Proposal // one a phrase, in order
	Loudest   *Loudest   // nil where nothing sounds
	Summit    *Summit    // nil where nothing sounds
}
