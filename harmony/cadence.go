package harmony

import (
	"math"
	"strings"

	"hairpin/score"
)

// leastCadence is the confidence under which a formula is not called a cadence.
const leastCadence = 0.5

// ending is a closing formula on its way to be a cadence.
type ending struct {
	formula
	at   score.Tick // where the pause after its last chord is strongest
	odds float64    // log-odds that it closes, by harmony and metre alone
	rest rest       // the pause at that moment
}

// endings lists the closing formulas of the piece in order. The formulas are those
// of Gotham et al., Open Music Theory (2nd ed., 2021), "Introduction to Harmony,
// Cadences, and Phrase Endings":
//
//	authentic  V(7) to I; perfect with both in root position and the tonic on top,
//	           otherwise imperfect (here also inverted chords and vii° to I)
//	half       a phrase comes to rest on V; Phrygian when iv6 leads there in minor
//	deceptive  V(7) to vi or another substitute where I is awaited
//	plagal     IV to I
func (a *Analysis) endings(v *surface) []ending {
	var out []ending
	for i := range a.Chords {
		f := a.formulaAt(v, i)
		if f.kind == "" {
			continue
		}
		e := ending{formula: f, odds: f.weight + a.arrival(v, f)}
		e.rest, e.at = v.bestRest(a.Chords[i].Start, a.extent(i))
		out = append(out, e)
	}
	return out
}

// settle decides which formulas are cadences. A formula alone is none: its
// last chord must arrive, at the end of a phrase or with a pause of its own, and
// must not start the next phrase; a half or plagal cadence is one only where a
// phrase ends. Each phrase keeps one cadence at its end, the surest.
func (a *Analysis) settle(v *surface, list []ending, phrases []Phrase) []Cadence {
	var out []Cadence
	j := 0
	for _, e := range list {
		start := a.Chords[e.i].Start
		for j < len(phrases)-1 && phrases[j].End <= start {
			j++
		}
		p := &phrases[j]
		ends := p.End > start && p.End <= a.extent(e.i)
		if ends {
			e.rest = v.restAt(p.End)
		}
		if start == p.Start && j > 0 || !ends && e.onlyAtEnd() {
			continue
		}
		c := Cadence{
			At: start, Chord: e.i, Kind: e.kind, Key: e.key,
			Confidence: logistic(e.odds + v.w.strength(e.rest) + phraseEnd(ends)), Why: e.why(ends),
		}
		switch {
		case c.Confidence < leastCadence || ends && p.Cadence >= 0 && out[p.Cadence].Confidence >= c.Confidence:
		case ends && p.Cadence >= 0:
			out[p.Cadence] = c
		default:
			if ends {
				p.Cadence = len(out)
			}
			out = append(out, c)
		}
	}
	return out
}

// onlyAtEnd reports whether the formula closes nothing but a phrase.
func (e ending) onlyAtEnd() bool { return e.kind == Half || e.kind == Phrygian || e.kind == Plagal }

// phraseEnd is what standing at the end of a phrase adds to a cadence's log-odds.
func phraseEnd(ends bool) float64 {
	if ends {
		return 1.5
	}
	return -1
}

func (e ending) why(ends bool) string {
	out := []string{e.turn.String()}
	if e.note != "" {
		out = append(out, e.note)
	}
	if e.sixFour {
		out = append(out, "cadential six-four before")
	}
	out = append(out, e.rest.words()...)
	if ends {
		out = append(out, "end of a phrase")
	}
	return strings.Join(out, ", ")
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// formula is a closing progression without regard to where it stands.
type formula struct {
	turn
	kind   CadenceKind
	weight float64 // log-odds that it closes, before any evidence of arrival
	note   string  // what sets the formula apart, if anything

	sixFour bool // a cadential six-four leads to its dominant
}

// turn is the step from one chord to another, both read in one key.
type turn struct {
	key      Key
	from, to Numeral
	p, i     int // indices of the chords
}

func (t turn) String() string { return t.from.Format(t.key) + " to " + t.to.Format(t.key) }

// formulaAt recognises the closing formula that ends on chord i; kind is "" if
// there is none. An applied dominant that finds its tonic closes in that
// passing key.
func (a *Analysis) formulaAt(v *surface, i int) formula {
	c := a.Chords[i]
	p := a.previous(i)
	if p < 0 || c.Numeral.Degree == 0 || c.Numeral.Target != 0 {
		return formula{}
	}
	from, ok := a.Chords[p].readIn(c.Key)
	if !ok {
		return formula{}
	}
	t := turn{c.Key, from, c.Numeral, p, i}
	if f := a.match(v, t); f.kind != "" || from.Target == 0 {
		f.sixFour = a.sixFour(i)
		return f
	}
	region := from.Region(c.Key)
	to, ok := NameChord(c.Tones, c.Bass, region)
	if !ok {
		return formula{}
	}
	from.Target, from.TargetAlter, from.TargetMinor = 0, 0, false
	f := a.match(v, turn{region, from, to, p, i})
	if f.weight -= 1; f.kind != PerfectAuthentic && f.kind != ImperfectAuthentic {
		return formula{}
	}
	return f
}

// match finds the formula a turn makes in its key.
func (a *Analysis) match(v *surface, t turn) formula {
	f := formula{turn: t}
	switch {
	case isTonic(t.to) && isDominant(t.from, t.key):
		return a.authentic(v, f)
	case isTonic(t.to) && isFour(t.from) && t.from.Inversion < 2 && t.to.Inversion == 0:
		f.kind, f.weight = Plagal, -2.5
	case isFive(t.to):
		return a.half(v, f)
	case isDominant(t.from, t.key) && t.from.Degree == 5 && t.from.Inversion == 0 && substitute(t.to, t.key):
		f.kind, f.weight, f.note = Deceptive, -1.5, "in place of the tonic"
	}
	return f
}

func (a *Analysis) authentic(v *surface, f formula) formula {
	f.kind, f.weight = ImperfectAuthentic, -1
	if f.from.Degree != 5 || f.from.Inversion != 0 || f.to.Inversion != 0 {
		f.weight, f.note = -3.5, "not with both roots in the bass"
		return f
	}
	if f.note = "not the tonic on top"; v.onTop(a.Chords[f.i].Start, f.key.Tonic) {
		f.kind, f.weight, f.note = PerfectAuthentic, -0.3, "tonic on top"
	}
	return f
}

func (a *Analysis) half(v *surface, f formula) formula {
	if f.to.Inversion != 0 || a.leadsOn(v, f.i) {
		return formula{}
	}
	f.kind, f.weight = Half, -2
	if f.key.Minor && isFour(f.from) && f.from.Inversion == 1 && a.Chords[f.p].Bass == a.Chords[f.i].Root-5 {
		f.kind, f.weight, f.note = Phrygian, -1, "bass down a semitone"
	}
	if f.to.Quality.Seventh() {
		f.weight -= 1.5
	}
	return f
}

// leadsOn reports whether the dominant at i is only a stage of a dominant that
// goes on without a pause and gains a seventh.
func (a *Analysis) leadsOn(v *surface, i int) bool {
	return i+1 < len(a.Chords) && a.sameHarmony(i, i+1) &&
		!a.Chords[i].Quality.Seventh() && a.Chords[i+1].Quality.Seventh() &&
		v.w.strength(v.restAt(a.Chords[i].End)) < 1
}

// previous is the chord before i, without a cadential six-four or a change of
// inversion of the same harmony, -1 if i is the first.
func (a *Analysis) previous(i int) int {
	for p := i - 1; p >= 0; p-- {
		if a.Chords[p].End < a.Chords[p+1].Start { // silence between
			return -1
		}
		if a.sameHarmony(p, i) || a.Chords[p].Numeral.Cadential && isFive(a.Chords[i].Numeral) {
			continue
		}
		return p
	}
	return -1
}

// sameHarmony reports whether two chords share root and key: a change of
// position, or a seventh added, is no new harmony.
func (a *Analysis) sameHarmony(i, j int) bool {
	if i < 0 || j >= len(a.Chords) {
		return false
	}
	x, y := a.Chords[i], a.Chords[j]
	return x.Root == y.Root && x.Key == y.Key && x.Numeral.Cadential == y.Numeral.Cadential
}

// readIn is the chord's numeral in a key: its own if it stands there, otherwise
// read anew, so that the V of the old key can close in the new one.
func (c Chord) readIn(k Key) (Numeral, bool) {
	if c.Key == k {
		return c.Numeral, c.Numeral.Degree != 0
	}
	return NameChord(c.Tones, c.Bass, k)
}

func isTonic(n Numeral) bool {
	return n.Degree == 1 && n.Alter == 0 && n.Target == 0 && !n.Cadential && !n.Quality.Seventh() && n.Inversion < 2
}

func isFour(n Numeral) bool { return n.Degree == 4 && n.Alter == 0 && n.Target == 0 }

func isFive(n Numeral) bool {
	return n.Degree == 5 && n.Alter == 0 && n.Target == 0 && (n.Quality == Major || n.Quality == DominantSeventh)
}

// isDominant reports whether the chord holds the leading tone of the key and works as its dominant.
func isDominant(n Numeral, k Key) bool {
	if n.Target != 0 {
		return false
	}
	leading := 0
	if k.Minor {
		leading = 1
	}
	return isFive(n) || n.Degree == 5 && n.Quality == Augmented || n.Degree == 7 && n.Alter == leading &&
		(n.Quality == Diminished || n.Quality == HalfDiminished || n.Quality == DiminishedSeventh)
}

// substitute reports whether the chord can stand where the tonic is awaited:
// vi, bVI, IV6 or an applied chord of the dominant.
func substitute(n Numeral, k Key) bool {
	switch {
	case n.Target != 0:
		return false
	case n.Degree == 6:
		return n.Inversion == 0 && (n.Alter == 0 || n.Alter == -1 && !k.Minor)
	case n.Degree == 4:
		return n.Inversion == 1 && n.Alter == 0
	}
	return false
}

// onTop reports whether the leading line holds the tone at a moment.
func (v *surface) onTop(at score.Tick, tone score.Class) bool {
	n, ok := v.topAt(at)
	return ok && v.s.Notes[n].Pitch.Class().PC() == tone.PC()
}

// topAt is the note of the leading line that sounds at t, or the highest of all if the line is silent.
func (v *surface) topAt(t score.Tick) (int, bool) {
	if v.lead >= 0 {
		if e, ok := v.lines[v.lead].soundingAt(t); ok {
			return e.top, true
		}
	}
	best, found := 0, false
	for _, l := range v.lines {
		e, ok := l.soundingAt(t)
		if ok && (!found || v.s.Notes[e.top].Pitch.MIDI() > v.s.Notes[best].Pitch.MIDI()) {
			best, found = e.top, true
		}
	}
	return best, found
}

// arrival weighs how the last chord of a formula is reached: where it stands in
// the metre, how long it lasts, how the voices get there. Log-odds.
func (a *Analysis) arrival(v *surface, f formula) float64 {
	c := a.Chords[f.i]
	x := 1.2 * (v.s.Weight(c.Start) - 0.5)
	if f.sixFour {
		x += 1.5
	}
	rests := f.kind == Half || f.kind == Phrygian
	if !rests && a.extent(f.i)-c.Start < a.Chords[f.p].Duration()/2 {
		x--
	}
	if f.to.Degree == 1 && v.stepsUp(c) {
		x += 0.3
	}
	if v.parallels[c.Start] { // a passage that comes back starts here: more a beginning than an end
		x -= 1.5
	}
	return x
}

// sixFour reports whether a cadential six-four decorates the dominant that chord
// i is, or the one before it.
func (a *Analysis) sixFour(i int) bool {
	if !isFive(a.Chords[i].Numeral) {
		i--
	}
	for p := i; p > 0 && isFive(a.Chords[p].Numeral); p-- {
		if a.Chords[p-1].Numeral.Cadential {
			return true
		}
	}
	return false
}

// extent is where the harmony of chord i ends, changes of position included.
func (a *Analysis) extent(i int) score.Tick {
	j := i
	for a.sameHarmony(i, j+1) && a.Chords[j+1].Start == a.Chords[j].End {
		j++
	}
	return a.Chords[j].End
}

// stepsUp reports whether a line moves up a semitone to the chord's root as it arrives.
func (v *surface) stepsUp(c Chord) bool {
	for _, l := range v.lines {
		p := l.before(c.Start)
		if p < 0 || p+1 >= len(l.events) || l.events[p+1].onset != c.Start {
			continue
		}
		from, to := v.s.Notes[l.events[p].top].Pitch, v.s.Notes[l.events[p+1].top].Pitch
		if to.Class() == c.Root && from.Class() == c.Root+5 {
			return true
		}
	}
	return false
}
