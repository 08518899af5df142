package report

import (
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
)

// certaintyOf says how sure a home key, a phrase's end or a cadence is. It is
// not the scale of chords ([tonal.CertaintyOf]): the home key's confidence is
// a share of weights and no probability, and those of ends and cadences are
// fitted odds that were not measured word by word. The bounds are chosen by us,
// the same as the comparison takes for phrases.
func certaintyOf(confidence float64) tonal.Certainty {
	switch {
	case confidence >= 0.75:
		return tonal.Sure
	case confidence >= 0.45:
		return tonal.Likely
	}
	return tonal.Unsure
}

// HomeCertainty is how sure the home key is.
func (r *Reading) HomeCertainty() tonal.Certainty { return certaintyOf(r.Harmony.HomeConfidence) }

// EndCertainty is the lesser of how sure the phrase's end is and its cadence.
func (r *Reading) EndCertainty(p phrasing.Phrase) tonal.Certainty {
	sure := p.Confidence
	if p.Cadence >= 0 && p.Cadence < len(r.Harmony.Cadences) {
		sure = min(sure, r.Harmony.Cadences[p.Cadence].Confidence)
	}
	return certaintyOf(sure)
}
