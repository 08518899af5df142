package phrasing

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// withheld recognises at chord i what takes the place of the tonic after a dominant
// in root position; kind is "" if nothing does. The cadence is deceptive if the bass
// steps up and the chord holds the tonic, so that the leading tone can still rise to
// it: vi, bVI, IV6, or an applied or augmented sixth chord over that bass. It is
// evaded if the dominant is prepared as for a close and goes to I6, or, after a
// cadential six-four, anywhere else: Caplin, Classical Form (1998), chapter 8, and
// Schmalfeldt, "Cadential Processes: The Evaded Cadence and the 'One More Time'
// Technique" (1992), both from memory. A dominant on which the music comes to rest awaits
// nothing at once: what follows begins anew (common practice, no source).
func (a *piece) withheld(v *surface, i int) formula {
	p := a.heldDominant(i)
	if p < 0 {
		return formula{}
	}
	c, k := a.Chords[i], a.Chords[p].Key
	if v.rests(v.restAt(c.Start)) {
		return formula{}
	}
	to, ok := readIn(c, k)
	if !ok {
		to = c.Numeral
	}
	f := formula{turn: turn{k, a.Chords[p].Numeral, to, p, i}}
	f.sixFour = a.sixFour(v, p)
	switch {
	case c.Root.PC() == k.Tonic.PC() && !c.Quality.Seventh() && c.Inversion != 1 || ok && isDominant(to, k):
		return formula{}
	case a.stepsUp(p, i) && holds(c, k.Tonic):
		f.kind, f.note = Deceptive, "the bass steps up in place of the tonic"
	case isTonic(to) && a.prepared(f):
		f.kind, f.note = Evaded, "the tonic not in root position"
	case f.sixFour && !isTonic(to):
		f.kind, f.note = Evaded, "in place of the tonic"
	}
	return f
}

// heldDominant is the dominant in root position that chord i follows, -1 if it
// follows none. A diminished chord that leads the bass on up by semitones is passed over.
func (a *piece) heldDominant(i int) int {
	p := a.previous(i)
	if p < 0 || a.Chords[i].Numeral.Degree == 0 {
		return -1
	}
	if c := a.Chords[p]; p > 0 && c.Bass == a.Chords[p-1].Bass+7 && c.Root == c.Bass && diminished(c) {
		p = a.previous(p)
	}
	if p < 0 || !isFive(a.Chords[p].Numeral) || a.Chords[p].Inversion != 0 || a.sameHarmony(p, i) {
		return -1
	}
	return p
}

// stepsUp reports whether the bass goes up a step of the staff from one chord to another.
func (a *piece) stepsUp(p, i int) bool {
	from, to := a.Chords[p].Bass, a.Chords[i].Bass
	up := (to.PC() - from.PC() + 12) % 12
	return (to.Step()-from.Step()+7)%7 == 1 && (up == 1 || up == 2)
}

func holds(c tonal.Chord, tone score.Class) bool {
	for _, t := range c.Tones {
		if t.PC() == tone.PC() {
			return true
		}
	}
	return false
}

// diminished reports whether the chord is a diminished triad or seventh chord.
func diminished(c tonal.Chord) bool {
	return c.Quality == tonal.Diminished || c.Quality == tonal.DiminishedSeventh || c.Quality == tonal.HalfDiminished
}
