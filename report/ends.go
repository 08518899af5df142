package report

import (
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// EndCertainty is how sure the cadence is that a phrase ends with, or its end if it has none.
func (r *Reading) EndCertainty(p phrasing.Phrase) tonal.Certainty {
	if p.Cadence >= 0 {
		return tonal.CertaintyOf(p.Close)
	}
	return tonal.CertaintyOf(p.Confidence)
}

// ending says how a phrase ends, "" if that is not known: that none of the known closes was
// found is not yet an end without a cadence.
func (r *Reading) ending(p phrasing.Phrase) string {
	switch {
	case p.Cadence >= 0 && p.Cadence < len(r.Harmony.Cadences):
		c := r.Harmony.Cadences[p.Cadence]
		return string(c.Kind) + " cadence " + r.closesIn(c)
	case r.Harmony.Form.Fugue != nil: // some voice nearly always goes on
		return ""
	case p.Open == phrasing.OnDominant:
		return "on the dominant" + r.dominantOf(p.End)
	case p.Open == phrasing.RunsOn:
		return "runs on into m. " + r.PhraseBars(p.End, r.Score.Length()).First
	}
	return ""
}

// dominantOf names the key whose dominant sounds up to a moment, " of A minor", "" if none does.
func (r *Reading) dominantOf(end score.Tick) string {
	c := r.chordAt(end - 1)
	if c == nil {
		return ""
	}
	if c.Numeral.Target != 0 {
		return " of " + c.Numeral.Region(c.Key).Name()
	}
	return " of " + c.Key.Name()
}

// Ended is what is told of a phrase and its end, and how sure its cadence is, if less than
// sure: "half cadence in C major (likely)"; "" if that is not known.
func (p studyPhrase) Ended() string {
	if p.closed && p.Certainty != tonal.Sure.String() {
		return p.Told() + " (" + p.Certainty + ")"
	}
	return p.Told()
}

// Doubted reports whether the cadence of a phrase is unsure.
func (p studyPhrase) Doubted() bool { return p.closed && p.Certainty == tonal.Unsure.String() }
