package report

import (
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
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
	case p.Open == phrasing.OnDominant, p.Open == phrasing.OnTonic:
		return string(p.Open) + " of " + p.OpenKey.Name()
	case p.Open == phrasing.RunsOn:
		return "runs on into m. " + r.PhraseBars(p.End, r.Score.Length()).First
	}
	return ""
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

// closesIn names the key of a cadence, "in A minor"; where the numerals beside it stay in
// another key, "on A minor, vi of C major". A close withheld is heard from its dominant.
func (r *Reading) closesIn(c phrasing.Cadence) string {
	at := c.At
	if c.Kind == phrasing.Deceptive || c.Kind == phrasing.Evaded {
		at--
	}
	local := r.chordAt(at)
	if local == nil || local.Key.Tonic == c.Key.Tonic || r.entersKey(c) { // a close in the other mode is one in its key
		return "in " + c.Key.Name()
	}
	if degree := degreeOf(c.Key, local.Key); degree != "" {
		return "on " + c.Key.Name() + ", " + degree + " of " + local.Key.Name()
	}
	return "on " + c.Key.Name() + ", inside " + local.Key.Name()
}

// degreeOf is the numeral of a key's tonic triad in another key, "" if it has no plain one.
func degreeOf(k, in tonal.Key) string {
	if n, ok := tonal.NameChord(k.Triad().Tones(k.Tonic), k.Tonic, in); ok && n.Target == 0 {
		return n.Format(in)
	}
	return ""
}
