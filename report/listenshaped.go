package report

// shapedLevels is the proposal inside the printed marks.
func (r *Reading) shapedLevels() levels { return r.printedLevels() }
