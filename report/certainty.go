package report

import (
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
)

// HomeCertainty is how sure the home key is.
func (r *Reading) HomeCertainty() tonal.Certainty { return tonal.CertaintyOf(r.Harmony.HomeConfidence) }

// EndCertainty is the lesser of how sure the phrase's end is and its cadence.
func (r *Reading) EndCertainty(p phrasing.Phrase) tonal.Certainty {
	sure := p.Confidence
	if p.Cadence >= 0 && p.Cadence < len(r.Harmony.Cadences) {
		sure = min(sure, r.Harmony.Cadences[p.Cadence].Confidence)
	}
	return tonal.CertaintyOf(sure)
}
