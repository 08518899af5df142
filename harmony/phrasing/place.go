package phrasing

import (
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// inOldKey is the authentic formula that chord i makes in the key of the dominant before
// it, where that key has lasted and chord i already stands in another: the close is heard
// in the key that it comes from. Common practice, no source.
func (a *piece) inOldKey(v *surface, p, i int) formula {
	old, c := a.Chords[p], a.Chords[i]
	if old.Key == c.Key || old.Key.Tonic != c.Root || !isFive(old.Numeral) || !a.lasts(p) {
		return formula{}
	}
	to, ok := readIn(c, old.Key)
	if !ok {
		return formula{}
	}
	f := a.match(v, turn{old.Key, old.Numeral, to, p, i})
	f.sixFour = f.kind != "" && a.sixFour(v, i)
	return f
}

// lasts reports whether the key of chord i is that of the two chords before it as well.
func (a *piece) lasts(i int) bool {
	return i >= 2 && a.Chords[i-1].Key == a.Chords[i].Key && a.Chords[i-2].Key == a.Chords[i].Key
}

// tonicSince reports whether the tonic has sounded since the dominant of a turn, and
// whether only inverted: a tonic over itself closes nothing, and one that comes to its
// root after the close closes weakly. Common practice, no source.
func (a *piece) tonicSince(t turn) (sounds, inverted bool) {
	inverted = true
	for j := t.p + 1; j < t.i; j++ {
		if a.Chords[j].Root == a.Chords[t.i].Root && !a.Chords[j].Numeral.Cadential {
			sounds = true
			inverted = inverted && a.Chords[j].Inversion > 0
		}
	}
	return sounds, sounds && inverted
}

// bassFalls reports whether the bass reaches the dominant's root by step just before it
// goes to the tonic's, though the chord stood on another tone before: 4–5–1, 6–5–1.
func (a *piece) bassFalls(v *surface, t turn) bool {
	c, d := a.Chords[t.i], a.Chords[t.p]
	now, ok := v.lowestAt(c.Start)
	if !ok || v.s.Notes[now].Pitch.Class() != c.Root {
		return false
	}
	low, ok := v.lowestAt(c.Start - 1)
	if !ok || v.s.Notes[low].Pitch.Class() != d.Root || v.s.Notes[low].Onset <= d.Start {
		return false
	}
	before, ok := v.lowestAt(v.s.Notes[low].Onset - 1)
	if !ok {
		return false
	}
	step := v.s.Notes[low].Pitch.MIDI() - v.s.Notes[before].Pitch.MIDI()
	return step != 0 && step >= -2 && step <= 2
}

// bassSoundsOn reports whether the bass struck the dominant's root earlier in the measure,
// below the fifth or seventh that is lowest now, and the tonic follows in root position: the
// left hand has only left its bass for the chord. Common practice, no source.
func (a *piece) bassSoundsOn(v *surface, t turn) bool {
	d := a.Chords[t.p]
	if t.from.Inversion < 2 || t.to.Inversion != 0 || t.p == 0 || a.Chords[t.p-1].End != d.Start || a.Chords[t.p-1].Bass != d.Root {
		return false
	}
	start := a.Chords[t.p-1].Start
	low, ok := v.lowestAt(start)
	now, sounds := v.lowestAt(d.Start)
	return ok && sounds && v.s.MeasureAt(start) == v.s.MeasureAt(d.Start) && v.s.Notes[now].Pitch.MIDI() > v.s.Notes[low].Pitch.MIDI()
}

// afterClose is where the tonic ends that a formula reaches, after a perfect authentic one the
// other chords over its bass counted with it, if it comes back over that bass within two
// measures: a plagal after-close. Common practice, no source.
func (a *piece) afterClose(v *surface, f formula) score.Tick {
	end := a.extent(f.i)
	if f.kind != PerfectAuthentic {
		return end
	}
	root := a.Chords[f.i].Root
	for k := f.i + 1; k < len(a.Chords) && a.Chords[k].Start == a.Chords[k-1].End && a.Chords[k].Bass == root && v.barsFrom(a.Chords[f.i].Start, a.Chords[k].Start) <= 2; k++ {
		if a.Chords[k].Root == root {
			end = max(end, a.Chords[k].End)
		}
	}
	return end
}

// plain reports whether a formula ends as phrases end: from the
// dominant in root position to the tonic in root position, on the dominant triad, or on
// what stands for the tonic (Caplin, Classical Form, 1998, chapter 2, from memory: a dominant
// inverted, or one that has its seventh from the first, closes nothing), unless all stop
// there. A tune alone has no bass to tell a position by.
func (a *piece) plain(v *surface, e ending) bool {
	held := a.heldAt(v, e)
	switch {
	case e.kind.Authentic():
		return e.roots() || e.to.Inversion == 0 && (held || e.rest.bar) || len(v.lines) < 2
	case e.isHalf():
		return held || e.signs[SeventhAtOnce] == 0
	}
	return e.kind != Plagal
}

// leads reports whether the leading line sounds at a moment.
func (v *surface) leads(t score.Tick) bool {
	if v.lead < 0 {
		return false
	}
	_, ok := v.lines[v.lead].soundingAt(t)
	return ok
}

// heldAt reports whether all stop after a formula: a fermata holds it, or its last chord is
// sung and the words stop.
func (a *piece) heldAt(v *surface, e ending) bool {
	return e.rest.fermata || e.rest.stop > 0 && v.leads(a.Chords[e.i].Start)
}

// opens reports whether an authentic formula is but the opening of the phrase that starts
// at a moment: the tonic, its dominant and the tonic again, in two measures. Common
// practice, no source.
func (a *piece) opens(v *surface, f formula, start score.Tick) bool {
	first := a.before(start + 1)
	return first == f.p-1 && a.Chords[first].Root == f.key.Tonic && v.barsFrom(start, a.Chords[f.i].Start) <= 1
}

// turned reports whether a dominant seventh goes up a semitone to the sixth degree of
// minor in root position, on a beat of weight.
func (a *piece) turned(v *surface, f formula) bool {
	if f.kind != Deceptive {
		return false
	}
	p, c := a.Chords[f.p], a.Chords[f.i]
	return p.Quality == tonal.DominantSeventh && c.Quality == tonal.Major && c.Inversion == 0 && c.Root == f.key.Tonic-4 &&
		v.s.Weight(c.Start) > 0.5 && c.Duration() >= v.beat
}

// inPlace reads a formula as its phrase wants it. At a phrase's end a close to the
// inverted tonic, without a six-four that promises more, is an imperfect one: evaded it is if the phrase goes on (Caplin,
// Classical Form, 1998, chapter 8, from memory). A dominant that its own dominant
// reaches, in a phrase that begins with it and never sounds the tonic, is the tonic
// there (common practice, no source).
func (a *piece) inPlace(v *surface, e ending, start score.Tick, ends bool) ending {
	switch {
	case ends && e.kind == Evaded && !e.sixFour && isTonic(e.to):
		e.kind = ImperfectAuthentic
	case ends && e.isHalf() && e.from.Target == 5 && e.from.Inversion == 0 && a.onlyDominant(e.formula, start):
		region := e.from.Region(e.key)
		from := e.from
		from.Target, from.TargetAlter, from.TargetMinor = 0, 0, false
		to, ok := tonal.NameChord(a.Chords[e.i].Tones, a.Chords[e.i].Bass, region)
		if f := a.match(v, turn{region, from, to, e.p, e.i}); ok && f.kind.Authentic() {
			f.sixFour = e.sixFour
			e.formula = f
			e.signs = a.harmonySigns(v, f)
			e.odds = e.signs.sum(v.w.closingWeights(f.kind), 0, LeadRests)
		}
	}
	return e
}

// onlyDominant reports whether the phrase that starts at a moment begins with the last
// chord of a half cadence and does not sound its tonic.
func (a *piece) onlyDominant(f formula, start score.Tick) bool {
	first := a.before(start + 1)
	if a.Chords[first].Root != a.Chords[f.i].Root || f.i-first < 2 {
		return false
	}
	for _, c := range a.Chords[first:f.i] {
		if c.Root == f.key.Tonic {
			return false
		}
	}
	return true
}

// sounding is the key of a formula in the mode that sounds: the third of its last chord
// if that is the tonic, so that a close in minor with the major third is told in major;
// for others that of the six-four that leads to it, else the third of the tonic chords in the
// phrase up to there, which starts at a moment. Common practice, no source.
func (a *piece) sounding(f formula, start score.Tick) tonal.Key {
	k, c := f.key, a.Chords[f.i]
	if (f.kind.Authentic() || f.kind == Plagal) && c.Root == k.Tonic {
		switch c.Quality {
		case tonal.Major:
			k.Minor = false
		case tonal.Minor:
			k.Minor = true
		}
		return k
	}
	if f.kind == Deceptive && f.to.Inversion == 0 && c.Root == k.Tonic-4 { // the sixth of minor
		k.Minor = true
		return k
	}
	for i := f.i - 1; i >= max(f.i-2, 0); i-- {
		if c := a.Chords[i]; c.Numeral.Cadential && c.Root == k.Tonic && c.Start >= start {
			k.Minor = c.Quality == tonal.Minor
			return k
		}
	}
	var major, minor score.Tick
	for i := f.p; i >= 0 && a.Chords[i].End > start; i-- {
		switch d := a.Chords[i]; {
		case d.Root != k.Tonic || d.Numeral.Target != 0:
		case d.Quality == tonal.Major:
			major += d.Duration()
		case d.Quality == tonal.Minor:
			minor += d.Duration()
		}
	}
	if major != minor {
		k.Minor = minor > major
	}
	return k
}
