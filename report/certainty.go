package report

import "hairpin/harmony/tonal"

// HomeCertainty is how sure the home key is.
func (r *Reading) HomeCertainty() tonal.Certainty { return tonal.CertaintyOf(r.Harmony.HomeConfidence) }
