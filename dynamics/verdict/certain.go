package verdict

import (
	"fmt"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
)

// Source is what a certainty comes from.
type Source string

// The sources.
const (
	FromPage   Source = "page"   // how the movement stands on the page
	FromChords Source = "chords" // whether the chords at both ends are heard rightly
	FromMargin Source = "margin" // how far the change lies from the threshold, and how long the way is
)

// Ground is one reason for a certainty. A verdict is as sure as its weakest.
type Ground struct {
	Source    Source
	Certainty tonal.Certainty
	Reason    string // why it is less than sure; "" if it is sure
}

// weakest is the least certainty of the grounds.
func weakest(grounds []Ground) tonal.Certainty {
	out := tonal.Sure
	for _, g := range grounds {
		out = min(out, g.Certainty)
	}
	return out
}

// Doubt is the weakest ground of a verdict; the zero Ground if it has none.
func (v Verdict) Doubt() Ground {
	var out Ground
	for i, g := range v.Grounds {
		if i == 0 || g.Certainty < out.Certainty {
			out = g
		}
	}
	return out
}

// grounds are the three grounds of a verdict on a stretch.
func (j *judge) grounds(v Verdict) []Ground {
	return []Ground{pageGround(v), chordGround(v), marginGround(v)}
}

func pageGround(v Verdict) Ground {
	g := Ground{FromPage, v.Page.Certainty, v.Page.Reason}
	if v.Page.Kind == page.Terraced {
		g.Certainty = tonal.Unsure
	}
	return g
}

// chordGround says whether the second-best reading of the chords at both ends
// would change the verdict.
func chordGround(v Verdict) Ground {
	g := Ground{Source: FromChords, Certainty: tonal.Sure}
	for _, c := range [...]*tonal.Chord{v.Harmony.Starts, v.Harmony.Onto} {
		if c == nil {
			return Ground{FromChords, tonal.Unsure, "no chord sounds at an end of it"}
		}
		if doubt := doubtOf(c); doubt < g.Certainty {
			g.Certainty, g.Reason = doubt, fmt.Sprintf("%s may be another chord", c.Name())
			if c.Rival != "" {
				g.Reason = fmt.Sprintf("%s may be %s", c.Name(), c.Rival)
			}
		}
	}
	if v.Kind == Supports && g.Certainty == tonal.Unsure {
		g.Certainty = tonal.Likely // the slope on the page is a second witness
	}
	return g
}

// Confidences of a chord, as probabilities, from which it is taken as heard:
// our own choice on the labelled rows.
const (
	heardSurely = 0.8
	heardLikely = 0.5
)

// doubtOf is how sure a chord's function is. A second-best reading that does
// the same in the key does no harm.
func doubtOf(c *tonal.Chord) tonal.Certainty {
	same := rivalFunction(c) == functionOf(c)
	switch {
	case c.Confidence >= heardSurely, c.Certainty == tonal.Sure && c.Confidence == 0, same && c.Confidence >= heardLikely:
		return tonal.Sure
	case c.Confidence >= heardLikely, same:
		return tonal.Likely
	}
	return tonal.Unsure
}

// Numbers of chords over which a comparison of both ends holds good; our own
// choice on the labelled rows.
const (
	fewChords  = 4
	someChords = 9
)

// marginGround says how clear the comparison is.
func marginGround(v Verdict) Ground {
	g := Ground{Source: FromMargin}
	switch v.Kind {
	case Supports:
		g.Certainty, g.Reason = supportMargin(v)
	case WorksAgainst:
		g.Certainty, g.Reason = againstMargin(v.Harmony)
	case Unshaped:
		g.Certainty, g.Reason = unshapedMargin(v.Harmony)
	case Independent:
		g.Certainty, g.Reason = independentMargin(v.Harmony)
	default:
		g.Certainty, g.Reason = calmMargin(v.Harmony)
	}
	return g
}

const (
	manyChords  = "many chords lie between its ends"
	smallChange = "the tension at both ends is not far apart"
)

func supportMargin(v Verdict) (tonal.Certainty, string) {
	h := v.Harmony
	switch {
	case v.Page.Kind == page.Dips:
		return tonal.Unsure, "the page turns downward and comes back"
	case v.Swells && h.Way == Up && h.To >= h.peak:
		return tonal.Unsure, "the tension rises on after the swell"
	case v.Swells:
		return tonal.Likely, "the peak of a swell is the player's choice"
	case h.Chords > someChords:
		return tonal.Likely, manyChords
	case h.margin < 2 && !h.Waits:
		return tonal.Likely, smallChange
	}
	return tonal.Sure, ""
}

func againstMargin(h HarmonyMove) (tonal.Certainty, string) {
	switch {
	case h.Waits && h.Chords <= fewChords:
		return tonal.Likely, "the dominant may be let go where the stretch ends"
	case h.Chords > 2:
		return tonal.Unsure, "the printed slope speaks for another hearing of the chords between"
	case h.margin < 2:
		return tonal.Unsure, smallChange
	case h.late:
		return tonal.Unsure, "the second chord comes late in it"
	}
	return tonal.Likely, "the printed slope speaks for another hearing of the chords"
}

func unshapedMargin(h HarmonyMove) (tonal.Certainty, string) {
	switch {
	case h.margin < 2:
		return tonal.Unsure, smallChange
	case h.Chords > someChords, h.Chords > fewChords && !(h.rests() && functionOf(h.Onto) == dominant):
		return tonal.Unsure, manyChords
	case h.Chords > 2:
		return tonal.Likely, "other chords lie between its ends"
	}
	return tonal.Sure, ""
}

// rests reports whether a stretch begins in its tonic.
func (m HarmonyMove) rests() bool { return m.Starts != nil && functionOf(m.Starts) == tonic }

func independentMargin(h HarmonyMove) (tonal.Certainty, string) {
	switch {
	case h.rests() && h.Chords == 1:
		return tonal.Sure, ""
	case h.rests() && h.Chords == 2:
		return tonal.Likely, "the second chord leaves the first"
	}
	return tonal.Unsure, "chords change below, though both ends are about as tense"
}

func calmMargin(h HarmonyMove) (tonal.Certainty, string) {
	switch {
	case h.rests() && h.Chords == 1:
		return tonal.Sure, ""
	case h.rests() && h.Chords <= someChords, h.Waits && h.Chords <= 2:
		return tonal.Likely, "chords change on the way"
	}
	return tonal.Unsure, "chords change on the way, though both ends are about as tense"
}
