package report

import "hairpin/score"

// Tensest is the moment at which the long line of tension is highest, of those shown:
// the most tense place of the piece as words, contents, strip and poster name it. A single
// harsh chord may lie higher for a moment; over phrases and sections it is no goal.
func (r *Reading) Tensest() (score.Tick, bool) {
	at, top := score.Tick(0), 0.0
	for _, m := range r.Harmony.Moments {
		if r.Shows(m.Start, m.End) && m.LongLine.Total > top+1e-9 {
			at, top = max(m.Start, r.From), m.LongLine.Total
		}
	}
	return at, top > 0
}

// TensestWords names the place.
func (r *Reading) TensestWords(t score.Tick) string {
	return "the long line of tension is highest " + r.at(t)
}
