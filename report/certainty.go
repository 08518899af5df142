package report

import "hairpin/harmony"

// certaintyOf says how sure a home key, a phrase's end or a cadence is. It is
// not the scale of chords ([harmony.CertaintyOf]): the home key's confidence is
// a share of weights and no probability, and those of ends and cadences are
// fitted odds that were not measured word by word. The bounds are chosen by us,
// the same as the comparison takes for phrases.
func certaintyOf(confidence float64) harmony.Certainty {
	switch {
	case confidence >= 0.75:
		return harmony.Sure
	case confidence >= 0.45:
		return harmony.Likely
	}
	return harmony.Unsure
}

// homeCertainty is how sure the home key is.
func (r *Reading) homeCertainty() harmony.Certainty { return certaintyOf(r.Harmony.HomeConfidence) }

// endCertainty is the lesser of how sure the phrase's end is and its cadence.
func (r *Reading) endCertainty(p harmony.Phrase) harmony.Certainty {
	sure := p.Confidence
	if p.Cadence >= 0 && p.Cadence < len(r.Harmony.Cadences) {
		sure = min(sure, r.Harmony.Cadences[p.Cadence].Confidence)
	}
	return certaintyOf(sure)
}
