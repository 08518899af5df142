package phrasing

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// waiting is what the harmony still owes at a moment.
type waiting int

const (
	nothing     waiting = iota
	goesOnwards         // a dominant seventh or the like goes over into what it leads to
	owesFive            // a cadential six-four waits for its dominant
)

// waits says what the harmony before a moment still owes there. A cadential six-four owes
// its dominant. A dominant seventh, an applied dominant, a diminished or an augmented sixth
// chord that lasts beyond the moment, or goes over there into what it leads to, owes that:
// a phrase ends after it. A plain dominant owes nothing: a phrase may rest on it. Common
// practice, no source.
func (a *piece) waits(t score.Tick) waiting {
	i := a.before(t)
	if i < 0 || i >= len(a.Chords) || a.Chords[i].Start >= t {
		return nothing
	}
	c := a.Chords[i]
	if c.Numeral.Cadential {
		return owesFive
	}
	if !leads(c) {
		return nothing
	}
	if c.End > t {
		return goesOnwards
	}
	if i+1 < len(a.Chords) && c.End >= t-1 && leadsTo(c, a.Chords[i+1]) {
		return goesOnwards
	}
	return nothing
}

// leads reports whether a chord cannot be a last one: it leads to another.
func leads(c tonal.Chord) bool {
	return c.Quality == tonal.DominantSeventh || diminished(c) || c.Quality.AugmentedSixth() || c.Numeral.Target != 0 && c.Numeral.Degree == 5
}

// leadsTo reports whether a chord that leads on goes to its end, or only changes its position.
func leadsTo(c, next tonal.Chord) bool {
	switch {
	case next.Root == c.Root:
		return true
	case c.Quality.AugmentedSixth():
		return next.Numeral.Cadential || isFive(next.Numeral)
	case diminished(c):
		return (next.Root.PC()-c.Root.PC()+12)%12 == 1 || next.Numeral.Cadential || leads(next)
	}
	return next.Root == c.Root-1 || diminished(next)
}

// await makes a boundary cost where the harmony still owes something, unless it closes there
// all the same or all pause.
func (a *piece) await(v *surface, list []boundary) {
	for i := range list {
		b := &list[i]
		switch a.waits(b.at) {
		case owesFive:
			b.gain -= v.w.SixFour
		case goesOnwards:
			if !b.rest.fermata {
				b.gain -= v.w.Waiting * (1 - b.closing) * (1 - b.rest.all)
			}
		}
	}
}
