package report

import (
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
)

// HomeCertainty is how sure the home key is.
func (r *Reading) HomeCertainty() tonal.Certainty { return tonal.CertaintyOf(r.Harmony.HomeConfidence) }

// EndCertainty is the lesser of how sure the phrase's end is and its cadence; that a weak
// formula is none is unsure.
func (r *Reading) EndCertainty(p phrasing.Phrase) tonal.Certainty {
	if p.Weak {
		return tonal.Unsure
	}
	sure := p.Confidence
	if p.Cadence >= 0 && p.Cadence < len(r.Harmony.Cadences) {
		sure = min(sure, r.Harmony.Cadences[p.Cadence].Confidence)
	}
	return tonal.CertaintyOf(sure)
}
