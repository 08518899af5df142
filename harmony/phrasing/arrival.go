package phrasing

import (
	"slices"

	"hairpin/score"
)

// longestLean is how many beats a leaning tone over the last chord may take until its
// resolution is heard as the chord's own top: a choice of ours.
const longestLean = 2

// comesToTop reports whether the leading line has the tone at a moment, or leans on
// it: from tones foreign to the chord, by step, it comes there before the end of the
// harmony. tones are the chord's.
func (v *surface) comesToTop(at, end score.Tick, tone score.Class, tones []score.Class) bool {
	n, ok := v.topAt(at)
	if !ok {
		return false
	}
	if v.s.Notes[n].Pitch.Class().PC() == tone.PC() || v.runsTo(at, end, tone) {
		return true
	}
	if v.lead < 0 || slices.Contains(tones, v.s.Notes[n].Pitch.Class()) {
		return false
	}
	l := v.lines[v.lead]
	p := l.before(at + 1)
	if p < 0 || l.events[p].top != n {
		return false
	}
	for ; p+1 < len(l.events) && l.events[p+1].onset < min(end, at+longestLean*v.beat+1); p++ {
		from, to := v.s.Notes[l.events[p].top].Pitch, v.s.Notes[l.events[p+1].top].Pitch
		if step := to.MIDI() - from.MIDI(); to.Class().PC() == tone.PC() {
			return step >= -2 && step <= 2
		}
		if slices.Contains(tones, v.s.Notes[l.events[p+1].top].Pitch.Class()) {
			return false // it comes to rest on another tone
		}
	}
	return false
}

// runsTo reports whether the leading line, in the middle of a run, comes to rest on the
// tone within a beat: a run has no tone that lasts half a beat. Common practice, no source.
func (v *surface) runsTo(at, end score.Tick, tone score.Class) bool {
	if v.lead < 0 {
		return false
	}
	l := v.lines[v.lead]
	p := l.before(at + 1)
	for ; p >= 0 && p+1 < len(l.events) && l.events[p+1].onset < min(end, at+v.beat); p++ {
		if 2*(l.events[p+1].onset-l.events[p].onset) >= v.beat {
			return false
		}
	}
	return p >= 0 && l.events[p].onset > at && 2*(l.events[p].end-l.events[p].onset) >= v.beat && v.s.Notes[l.events[p].top].Pitch.Class().PC() == tone.PC()
}

// arrives is when the bass reaches the root of an authentic formula's last chord: its
// start, or a stronger beat before it if the bass has struck the tonic there and
// holds it, while the voices above still lean on it with the dominant. Appoggiaturas of
// a whole chord are common practice, no source.
func (a *piece) arrives(v *surface, f formula) score.Tick {
	c, before := a.Chords[f.i], a.Chords[f.p]
	if !f.kind.Authentic() || !f.roots() || f.i == 0 || a.Chords[f.i-1].End != c.Start {
		return c.Start
	}
	low, ok := v.lowestAt(c.Start - 1)
	if !ok {
		return c.Start
	}
	n := v.s.Notes[low]
	strong := v.s.Weight(n.Onset) > v.s.Weight(c.Start)
	if n.Pitch.Class() == c.Root && strong && n.Onset > before.Start && n.Onset >= c.Start-longestLean*v.beat {
		return n.Onset
	}
	return c.Start
}

// lowestAt is the lowest note that sounds at t.
func (v *surface) lowestAt(t score.Tick) (int, bool) {
	best, found := 0, false
	for i := v.firstSounding(t); i < len(v.s.Notes) && v.s.Notes[i].Onset <= t; i++ {
		n := v.s.Notes[i]
		if n.Pitched() && n.End() > t && (!found || n.Pitch.MIDI() < v.s.Notes[best].Pitch.MIDI()) {
			best, found = i, true
		}
	}
	return best, found
}

// lone reports whether in music of several lines never more than one note sounds at a time
// from one moment to another, or to the end of its measure: a single line is no chord to
// close on, unless a dominant in root position leads there, or it stops there, on more than
// that note. Common practice, no source.
func (v *surface) lone(from, to score.Tick) bool {
	if len(v.lines) < 2 {
		return false
	}
	stops := to >= v.end || v.restAt(to).fermata
	count, last, to := 0, from, min(to, v.s.Measures[v.s.MeasureAt(from)].End())
	for i := v.firstSounding(from); i < len(v.s.Notes) && v.s.Notes[i].Onset < to; i++ {
		n := v.s.Notes[i]
		if !n.Pitched() || n.End() <= from {
			continue
		}
		if n.Onset < last || count > 0 && n.Onset <= from {
			return false
		}
		count, last = count+1, n.End()
	}
	return count == 1 || count > 1 && !stops
}

// firstSounding is the index of the first note that starts at most two measures before t.
func (v *surface) firstSounding(t score.Tick) int {
	return v.s.FirstNote(v.s.Measures[max(v.s.MeasureAt(t)-2, 0)].Start)
}
