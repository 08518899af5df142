package report

import "hairpin/dynamics"

// proposal says how a stretch may be shaped inside the printed marks.
func (r *Reading) proposal(v dynamics.Verdict) string { return "" }
