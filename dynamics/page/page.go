package page

import (
	"slices"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Accent is a note or chord that the page lifts out of the running level.
type Accent struct {
	At    score.Tick
	Part  int
	Staff int     // 0: all staves
	Size  float64 // steps above the running level, positive
	Sign  string  // "sf", ">", "fp"
	Note  bool    // printed on single notes, not over the staff
}

// Inference is something the page leaves open, and how it was read.
type Inference struct {
	At        score.Tick
	Part      int   // -1 for the whole
	Cause     Cause // how it was read
	Certainty tonal.Certainty
}

// Contrast is a sudden change that the page wants: subito, a withheld climax, an echo.
type Contrast struct {
	At       score.Tick
	Part     int
	Kind     ContrastKind
	From, To float64 // levels before and after
}

// ContrastKind names a contrast.
type ContrastKind string

// The contrasts.
const (
	Subito   ContrastKind = "subito"   // the page says so, or jumps two steps or more
	Withheld ContrastKind = "withheld" // a growing line is cut off by a softer mark
	Echo     ContrastKind = "echo"     // the same music again, softer
)

// Zone is the reach of a printed level mark: until the next one.
type Zone struct {
	Start, End score.Tick
	Text       string // the mark; "" before the first
	Level      float64
}

// Page is what the print asks for.
type Page struct {
	Whole      Curve
	Parts      []Curve // one a part, and one more for each staff that is marked on its own
	Accents    []Accent
	Contrasts  []Contrast
	Zones      []Zone // of the whole
	Inferences []Inference
	Marked     bool // the page prints any level, ramp or word of loudness
	Range      Range

	reprises []reprise
	system   [][]event    // for every part the level marks of the other instruments, in order
	led      []Segment    // what the loudest that sound are told, in order, touching; see [Page.Over]
	levels   []placedMark // the printed level marks, in order
}

// Range is from the softest to the loudest level that is printed: a player's
// range in this piece. The zero Range says that no level is printed.
type Range struct{ Low, High float64 }

// hold keeps the levels that sudden changes leave, guesses where no mark states
// them, inside the printed marks: pp and dim. are not told as ppp.
func (r Range) hold(list []Contrast) {
	for i := range list {
		if r != (Range{}) {
			list[i].From = min(max(list[i].From, r.Low), r.High)
		}
	}
}

// rangeOf is the range of the printed marks.
func rangeOf(zones []Zone) Range {
	var out Range
	for _, z := range zones {
		switch {
		case z.Text == "":
		case out == Range{}:
			out = Range{z.Level, z.Level}
		default:
			out = Range{min(out.Low, z.Level), max(out.High, z.Level)}
		}
	}
	return out
}

// Of is the page as one part's player reads it; part is an index into Score.Parts.
func (p *Page) Of(part int) *Page {
	own := *p
	for _, c := range p.Parts {
		if c.Part == part && c.Staff == 0 {
			own.Whole, own.led = c, c.Segments
		}
	}
	own.levels = slices.DeleteFunc(slices.Clone(p.levels), func(m placedMark) bool { return m.part != part })
	own.Accents = slices.DeleteFunc(slices.Clone(p.Accents), func(a Accent) bool { return a.Part != part })
	own.Contrasts = slices.DeleteFunc(slices.Clone(p.Contrasts), func(c Contrast) bool { return c.Part >= 0 && c.Part != part })
	return &own
}
