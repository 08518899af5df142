package phrasing

import (
	"strings"

	"hairpin/score"
)

// prints are the moments at which a new tempo or character is printed. Common practice, no
// source.
func (v *surface) prints() map[score.Tick]bool {
	out := map[score.Tick]bool{}
	for _, w := range v.s.Words {
		if !w.Hidden && newCharacter(w.Text) {
			out[v.attackFrom(w.At)] = true
		}
	}
	return out
}

// attackFrom is the first attack of any line from a moment on, at most a beat later; else the moment.
func (v *surface) attackFrom(t score.Tick) score.Tick {
	best := t + v.beat + 1
	for _, l := range v.lines {
		if i := l.before(t) + 1; i < len(l.events) {
			best = min(best, l.events[i].onset)
		}
	}
	if best > t+v.beat {
		return t
	}
	return best
}

// newCharacter reports whether words name a tempo or a way to play that is new, not the
// course of a change.
func newCharacter(text string) bool {
	text = strings.ToLower(text)
	for _, change := range []string{"cresc", "dim", "decresc", "rit", "rall", "accel", "calando", "smorz", "morendo", "ten", "sempre", "poco a poco"} {
		if strings.Contains(text, change) {
			return false
		}
	}
	for _, word := range []string{"tempo", "mosso", "cantabile", "dolce", "espress", "sotto voce", "allegro", "adagio", "andante", "allegretto", "largo", "lento", "presto", "moderato", "vivace", "legato", "leggiero", "teneramente", "grazioso", "bewegt", "langsam", "zeitmaß", "tempo i"} {
		if strings.Contains(text, word) {
			return true
		}
	}
	return false
}

// silent reports whether all lines are silent for a measure before an attack.
func (v *surface) silent(t score.Tick) bool {
	last, struck := v.first, false
	for _, l := range v.lines {
		i := l.before(t)
		if i >= 0 {
			last = max(last, l.events[i].end)
		}
		struck = struck || i+1 < len(l.events) && l.events[i+1].onset == t
	}
	if !struck || last >= t {
		return false
	}
	m := v.s.Measures[v.s.MeasureAt(last)]
	return t-last >= max(m.Nominal, m.Length)
}
