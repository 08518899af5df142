package verdict

import (
	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
)

// Source is what a certainty comes from.
type Source string

// The sources.
const (
	FromPage   Source = "page"   // how the movement stands on the page
	FromChords Source = "chords" // whether a chord at an end is heard rightly
	FromMargin Source = "margin" // whether the harmony may also be heard to do something else
)

// Reason is why a ground is less than sure.
type Reason string

// The reasons, besides those of the page.
const (
	NoChord      Reason = "no chord"      // none sounds at an end
	OtherChord   Reason = "other chord"   // Ground.Chord may be its rival
	OtherHearing Reason = "other hearing" // Ground.Deed is about as likely
	FreePeak     Reason = "free peak"     // where a swell is fullest is the player's choice
	Terraces     Reason = "terraces"      // sudden changes are neither growth nor decline: they bear no verdict
)

// Ground is one reason for a certainty. A verdict is as sure as its weakest.
type Ground struct {
	Source     Source
	Confidence float64 // 0 to 1
	Certainty  tonal.Certainty
	Reason     Reason       // why it is less than sure; "" if it is sure or the page's own Doubt says it
	Page       page.Doubt   // of FromPage; "" if it is sure
	Chord      *tonal.Chord // of OtherChord
	Deed       Deed         // of OtherHearing: what else it may do
}

// leastOf is the least confidence of the grounds.
func leastOf(grounds []Ground) float64 {
	out := 1.0
	for _, g := range grounds {
		out = min(out, g.Confidence)
	}
	return out
}

// Doubt is the weakest ground of a verdict; the zero Ground if it has none.
func (v Verdict) Doubt() Ground {
	var out Ground
	for i, g := range v.Grounds {
		if i == 0 || g.Confidence < out.Confidence {
			out = g
		}
	}
	return out
}

// grounds are those of a verdict on a stretch: the page's movement, and what the
// harmony does.
func (j *judge) grounds(v Verdict) []Ground {
	return []Ground{pageGround(v), j.harmonyGround(v)}
}

// Confidences of a movement of the page: agreement with readers on the labelled
// rows, seen from the careful side (testdata/README.md).
const (
	pageSure   = 0.95
	pageLikely = 0.8
	pageUnsure = 0.5
)

func pageGround(v Verdict) Ground {
	g := Ground{Source: FromPage, Certainty: v.Page.Certainty, Page: v.Page.Doubt}
	g.Confidence = [...]float64{tonal.Unsure: pageUnsure, tonal.Likely: pageLikely, tonal.Sure: pageSure}[g.Certainty]
	return g
}

// chordDoubted is as much as is told where a chord at an end may be another:
// likely, however clear the rest; our own choice on the careful side.
const chordDoubted = 0.8

// harmonyGround says how often a verdict of such a probability is right, and
// what it fails by: a chord at an end, or another hearing of the whole.
func (j *judge) harmonyGround(v Verdict) Ground {
	if v.Page.Kind == page.Terraced { // however sure the page is that they are sudden
		return Ground{Source: FromMargin, Confidence: terraceApart, Certainty: tonal.CertaintyOf(terraceApart), Reason: Terraces}
	}
	g := Ground{Source: FromMargin, Confidence: j.model.told(v.Kind, v.Probability)}
	h := v.Harmony
	c := doubted(h.Starts, h.Onto)
	if c != nil {
		g.Confidence = min(g.Confidence, chordDoubted)
	}
	if g.Certainty = tonal.CertaintyOf(g.Confidence); g.Certainty == tonal.Sure {
		return g
	}
	switch {
	case h.Starts == nil:
		g.Source, g.Reason = FromChords, NoChord
	case v.Swells:
		g.Reason = FreePeak
	case c != nil:
		g.Source, g.Reason, g.Chord = FromChords, OtherChord, c
	default:
		g.Reason, g.Deed = OtherHearing, v.Kind.otherwise(v)
	}
	return g
}

// doubted is the one of two chords whose function is less sure; nil if both are sure.
func doubted(a, b *tonal.Chord) *tonal.Chord {
	var out *tonal.Chord
	least := tonal.Sure
	for _, c := range [...]*tonal.Chord{a, b} {
		if c != nil && doubtOf(c) < least {
			least, out = doubtOf(c), c
		}
	}
	return out
}

// otherwise is the likeliest deed that would give another verdict.
func (k Kind) otherwise(v Verdict) Deed {
	best := Deed(-1)
	for d := Builds; d < deeds; d++ {
		var only Chances
		only[d] = 1
		if other, _, _ := kindOf(v.Page.Kind, HarmonyMove{Chances: only, Chords: v.Harmony.Chords, spread: v.Harmony.spread}); other != k && (best < 0 || v.Harmony.Chances[d] > v.Harmony.Chances[best]) {
			best = d
		}
	}
	return max(best, 0)
}

// Confidences of a chord and of its key, as probabilities, from which its function
// is taken as heard. Our own choice: with both ends above the first two, 93 of
// 100 stretches that are otherwise clear have the same verdict under an
// analyst's chords, and 80 of 100 below (testdata/README.md).
const (
	heardSurely = 0.85
	keySurely   = 0.8
	heardLikely = 0.75
	rivalLikely = 0.6 // where the second-best reading does the same in the key
)

// doubtOf is how sure a chord's function is. A second-best reading that does
// the same in the key does less harm.
func doubtOf(c *tonal.Chord) tonal.Certainty {
	same := rivalFunction(c) == functionOf(c)
	switch {
	case c.Given, c.Confidence >= heardSurely && c.KeyConfidence >= keySurely:
		return tonal.Sure
	case c.Confidence >= heardLikely, same && c.Confidence >= rivalLikely:
		return tonal.Likely
	}
	return tonal.Unsure
}
