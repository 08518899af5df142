// Package dynamics reads the loudness a page asks for, lays it over the
// harmony's tension, and proposes a shaping inside the printed marks.
//
// Start at [Printed] for the page, [Judge] for what page and harmony do to
// each other, [Shape] for the proposal, and [Levels] for all of it in rows.
//
// # Conventions
//
// A level is a number of steps: ppp is 1, pp 2, p 3, mp 4, mf 5, f 6, ff 7,
// fff 8; fractions lie between two marks, 0 is silence (niente), 8.5 and 9 are
// ffff and fffff. Sixteen times the level is the conventional MIDI velocity of
// the mark (16, 33, 49 … 112, 126 in tables of practice). Levels are
// relations within a piece, not decibels: a mark means louder or softer than
// its neighbours (Kosta, Bandtlow & Chew 2014, "Practical implications of
// dynamic markings in the score"). Times are ticks of the score. A certainty
// is a harmony.Certainty. What the page leaves open and this package fills in
// is listed as an [Inference] with its reason.
package dynamics

import (
	"math"

	"hairpin/harmony"
	"hairpin/score"
)

// The levels of the printed marks, in steps.
const (
	Niente = 0.0
	PPP    = 1.0
	PP     = 2.0
	P      = 3.0
	MP     = 4.0
	MF     = 5.0
	F      = 6.0
	FF     = 7.0
	FFF    = 8.0
)

// loudest is the highest level the scale knows: more f than fff add half steps up to here.
const loudest = 9.0

// Mark names a level with the nearest mark: "mf" for 4.8.
func Mark(level float64) string {
	marks := [...]string{"niente", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff"}
	i := int(math.Round(level))
	return marks[min(max(i, 0), len(marks)-1)]
}

// Velocity is a level as MIDI velocity, 1 to 127: sixteen a step, near the
// conventional 16 33 49 64 80 96 112 126 for ppp to fff. Silence is 0.
func Velocity(level float64) int {
	if level <= 0 {
		return 0
	}
	return min(max(int(math.Round(16*level)), 1), 127)
}

// Percent is a level as MusicXML's percent of the default forte, which is
// velocity 90 (W3C Music Notation Community Group 2021, MusicXML 4.0,
// sound/@dynamics).
func Percent(level float64) float64 { return 16 * level * 100 / 90 }

// FromPercent is the level of a MusicXML percentage of the default forte.
func FromPercent(percent float64) float64 { return clampLevel(percent * 90 / 100 / 16) }

func clampLevel(v float64) float64 { return min(max(v, Niente), loudest) }

// Segment is a stretch of a curve: linear from From at Start to To at End.
type Segment struct {
	Start, End score.Tick
	From, To   float64 // levels
	Why        string  // what on the page says so: "p", "crescendo to f"
	Certainty  harmony.Certainty
	Implied    bool // nothing printed there asks for it: the way back from a hairpin, a reprise without marks
}

// Curve is a level over the whole piece.
type Curve struct {
	Part     int       // index into Score.Parts, -1 for the whole
	Staff    int       // 0: all staves of the part
	Segments []Segment // in order, touching, from 0 to the end of the piece
}

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
	Part      int    // -1 for the whole
	What      string // "starts mf", "crescendo aims at f"
	Reason    string
	Certainty harmony.Certainty
}

// Contrast is a sudden change that the page wants: subito, a withheld climax, an echo.
type Contrast struct {
	At       score.Tick
	Part     int
	Kind     ContrastKind
	From, To float64 // levels before and after
	Why      string
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

	reprises []reprise
}

// At is the curve's level at t, just after any sudden change there.
func (c Curve) At(t score.Tick) float64 {
	i := c.find(t)
	if i < 0 {
		return MF
	}
	return c.Segments[i].at(t)
}

// Before is the level just before t.
func (c Curve) Before(t score.Tick) float64 {
	if len(c.Segments) == 0 || t <= c.Segments[0].Start {
		return c.At(t)
	}
	i := c.find(t - 1)
	return c.Segments[i].at(t)
}

func (c Curve) find(t score.Tick) int {
	lo, hi := 0, len(c.Segments)
	for lo < hi {
		if m := (lo + hi) / 2; c.Segments[m].Start <= t {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return max(lo-1, min(0, len(c.Segments)-1))
}

func (g Segment) at(t score.Tick) float64 {
	if t <= g.Start || g.End <= g.Start {
		return g.From
	}
	if t >= g.End {
		return g.To
	}
	return g.From + (g.To-g.From)*float64(t-g.Start)/float64(g.End-g.Start)
}
