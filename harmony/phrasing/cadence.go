package phrasing

import (
	"math"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// CadenceKind names a cadence.
type CadenceKind string

// The cadences.
const (
	PerfectAuthentic   CadenceKind = "perfect authentic"
	ImperfectAuthentic CadenceKind = "imperfect authentic"
	Half               CadenceKind = "half"
	Phrygian           CadenceKind = "Phrygian half"
	Deceptive          CadenceKind = "deceptive"
	Evaded             CadenceKind = "evaded"
	Plagal             CadenceKind = "plagal"
)

// Authentic reports whether the dominant reaches its tonic.
func (k CadenceKind) Authentic() bool { return k == PerfectAuthentic || k == ImperfectAuthentic }

// IsHalf reports whether the cadence rests on the dominant.
func (k CadenceKind) IsHalf() bool { return k == Half || k == Phrygian }

// Cadence is a point of rest, or one withheld.
type Cadence struct {
	At         score.Tick // onset of its last chord
	Chord      int        // index of its last chord in Analysis.Chords
	Kind       CadenceKind
	Key        tonal.Key
	Confidence float64
	Why        string

	doubt float64 // see [ending.doubt]
}

// Phrase is a stretch between two points of rest.
type Phrase struct {
	Start, End score.Tick
	Cadence    int // index into Analysis.Cadences, -1 if it ends without one
	Confidence float64
	Why        string // what marks its end: "cadence, rest, long note"
	Weak       bool   // it ends without a cadence, but with a formula of one

	Close float64 // probability that it ends with its cadence, of that kind; 0 without
	Open  Open    // how it ends without a cadence, "" if that is not known
}

// leastCadence is the confidence under which a formula is not called a cadence. A
// choice: at this value nearly as many are found as analysts marked in the sonatas
// that the weights are fitted to, and those under a half are called unsure.
const leastCadence = 0.35

// leastWithheld is the same for deceptive and evaded cadences: a choice, made so that few
// are lost. By works left out, more than half of those listed are not marked.
const leastWithheld = 0.2

// leastAtEnd is the same where a phrase ends: to say that it ends without a cadence
// claims as much. A choice.
const leastAtEnd = 0.25

// leastTurned is the same where a dominant seventh goes up a semitone to the sixth degree
// of minor: the turn is heard wherever it stands (common practice, no source). A choice.
const leastTurned = 0.05

// least is the confidence from which a formula is told. Where a phrase ends on a
// dominant or on the tonic after one, that is its cadence, however unsure: only a
// phrase that ends otherwise has none (common practice, no source).
func (c candidate) least() float64 {
	switch k := c.cadence.Kind; {
	case c.ends && c.plain:
		return 0
	case c.turned:
		return leastTurned
	case k == Deceptive || k == Evaded:
		return leastWithheld
	case c.ends:
		return leastAtEnd
	}
	return leastCadence
}

// ending is a closing formula on its way to be a cadence.
type ending struct {
	formula
	at   score.Tick // where the pause after its last chord is strongest
	odds float64    // log-odds that it closes, by harmony and metre alone
	rest rest       // the pause at that moment

	signs Signs // if weighed by signs
}

// endings lists the closing formulas of the piece in order. The formulas are those
// of Gotham et al., Open Music Theory (2nd ed., 2021), "Introduction to Harmony,
// Cadences, and Phrase Endings":
//
//	authentic  V(7) to I; perfect with both in root position and the tonic on top,
//	           otherwise imperfect (here also inverted chords and vii° to I)
//	half       a phrase comes to rest on V; Phrygian when iv6 leads there in minor
//	deceptive  V(7) to vi or another substitute where I is awaited
//	evaded     V(7), prepared as for a close, to I6 or elsewhere
//	plagal     IV to I
func (a *piece) endings(v *surface) []ending {
	var out []ending
	for i := range a.Chords {
		f := a.formulaAt(v, i)
		if f.kind == "" || v.fugue != nil && !a.arriveTogether(v, f) {
			continue
		}
		e := ending{formula: f}
		if e.rest, e.at = v.bestRest(a.Chords[i].Start, a.extent(i)); f.weighed() {
			e.signs = a.harmonySigns(v, f)
			e.odds = e.signs.sum(v.w.closingWeights(f.kind), 0, LeadRests)
		} else {
			e.odds = f.weight + a.arrival(v, f)
		}
		out = append(out, e)
	}
	a.rivals(v, out)
	a.again(v, out)
	return out
}

// rivals weighs each half cadence against the authentic one that the tonic right
// after its dominant would make.
func (a *piece) rivals(v *surface, list []ending) {
	for k := range list {
		e := &list[k]
		if !e.isHalf() {
			continue
		}
		for _, next := range list[k+1:] {
			if next.i > e.i && !next.isHalf() {
				if next.weighed() && a.Chords[next.i].Start <= a.extent(e.i) {
					e.signs[Rival] = math.Max(0, next.odds)
					e.odds += e.signs[Rival] * v.w.Half[Rival]
				}
				break
			}
		}
	}
}

// again marks the closes withheld that are tried again: a perfect authentic one in
// the same key follows within four measures.
func (a *piece) again(v *surface, list []ending) {
	for k := range list {
		e := &list[k]
		if !e.isWithheld() {
			continue
		}
		for _, next := range list[k+1:] {
			if v.barsFrom(a.Chords[e.i].Start, a.Chords[next.i].Start) > 4 {
				break
			}
			if next.kind == PerfectAuthentic && next.key == e.key && next.odds > -2 {
				e.signs[Again] = 1
				e.odds += v.w.Withheld[Again]
				break
			}
		}
	}
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// formula is a closing progression without regard to where it stands.
type formula struct {
	turn
	kind   CadenceKind
	weight float64 // log-odds that it closes before any evidence of arrival, if not weighed by signs
	note   string  // what sets the formula apart, if anything

	sixFour bool // a cadential six-four leads to its dominant
}

// turn is the step from one chord to another, both read in one key.
type turn struct {
	key      tonal.Key
	from, to tonal.Numeral
	p, i     int // indices of the chords
}

func (t turn) String() string { return t.from.Format(t.key) + " to " + t.to.Format(t.key) }

// formulaAt recognises the closing formula that ends on chord i; kind is "" if
// there is none. An applied dominant that finds its tonic closes in that
// passing key.
func (a *piece) formulaAt(v *surface, i int) formula {
	if f := a.withheld(v, i); f.kind != "" {
		return f
	}
	c := a.Chords[i]
	p := a.previous(i)
	if p < 0 || c.Numeral.Degree == 0 || c.Numeral.Target != 0 {
		return formula{}
	}
	p = a.leansFrom(v, p, i)
	if f := a.inOldKey(v, p, i); f.kind != "" {
		return f
	}
	from, ok := readIn(a.Chords[p], c.Key)
	if !ok {
		return formula{}
	}
	t := turn{c.Key, from, c.Numeral, p, i}
	if f := a.match(v, t); f.kind != "" || from.Target == 0 {
		f.sixFour = a.sixFour(v, i)
		return f
	}
	if isFive(c.Numeral) { // a dominant reached by its own dominant closes nothing in its key
		return formula{}
	}
	region := from.Region(c.Key)
	to, ok := tonal.NameChord(c.Tones, c.Bass, region)
	if !ok {
		return formula{}
	}
	from.Target, from.TargetAlter, from.TargetMinor = 0, 0, false
	f := a.match(v, turn{region, from, to, p, i})
	if f.kind != PerfectAuthentic && f.kind != ImperfectAuthentic {
		return formula{}
	}
	return f
}

// leansFrom is the dominant in root position before p, if p is a chord of its tones that
// leans over the bass on a stronger beat than that of chord i, to which it resolves: an
// appoggiatura of a whole chord (common practice, no source); otherwise p.
func (a *piece) leansFrom(v *surface, p, i int) int {
	c, k := a.Chords[p], a.Chords[i].Key
	n, ok := readIn(c, k)
	if !ok || !isDominant(n, k) || n.Degree == 5 && n.Inversion == 0 || c.Duration() > longestLean*v.beat || v.s.Weight(c.Start) <= v.s.Weight(a.Chords[i].Start) {
		return p
	}
	q := p - 1
	if q < 0 || a.Chords[q].End != c.Start {
		return p
	}
	if n, ok := readIn(a.Chords[q], k); !ok || !isFive(n) || n.Inversion != 0 {
		return p
	}
	return q
}

// match finds the formula a turn makes in its key.
func (a *piece) match(v *surface, t turn) formula {
	f := formula{turn: t}
	switch {
	case isTonic(t.to) && isDominant(t.from, t.key):
		return a.authentic(v, f)
	case isTonic(t.to) && isFour(t.from) && t.from.Inversion < 2 && t.to.Inversion == 0:
		f.kind, f.weight = Plagal, -4
	case isFive(t.to):
		return a.half(f)
	}
	return f
}

func (a *piece) authentic(v *surface, f formula) formula {
	since, inverted := a.tonicSince(f.turn)
	if since && !inverted {
		return formula{}
	}
	f.kind = ImperfectAuthentic
	if f.from.Degree == 5 && (a.bassFalls(v, f.turn) || a.bassSoundsOn(v, f.turn)) {
		f.from.Inversion = 0
	}
	if !f.roots() && v.lone(a.Chords[f.i].Start, a.extent(f.i)) {
		return formula{}
	}
	if inverted && f.to.Inversion == 0 {
		f.to.Inversion = 1
	}
	switch {
	case !f.roots():
		f.note = f.inverted()
	case v.comesToTop(a.Chords[f.i].Start, a.extent(f.i), f.key.Tonic, a.Chords[f.i].Tones):
		f.kind, f.note = PerfectAuthentic, "tonic on top"
	default:
		f.note = a.onTop(v, f.i)
	}
	return f
}

// inverted says what keeps an authentic formula from having both roots in the bass.
func (f formula) inverted() string {
	switch {
	case f.from.Degree == 7:
		return "a leading-tone chord for the dominant"
	case f.from.Inversion != 0:
		return "the dominant inverted"
	}
	return "the tonic inverted"
}

// onTop names the tone of chord i that the leading line has.
func (a *piece) onTop(v *surface, i int) string {
	c := a.Chords[i]
	if n, ok := v.topAt(c.Start); ok && len(c.Tones) > 2 {
		switch v.s.Notes[n].Pitch.Class().PC() {
		case c.Tones[1].PC():
			return "third on top"
		case c.Tones[2].PC():
			return "fifth on top"
		}
	}
	return "tonic not on top"
}

func (a *piece) half(f formula) formula {
	if f.to.Inversion != 0 || a.resumes(f.i) {
		return formula{}
	}
	f.kind = Half
	if f.key.Minor && isFour(f.from) && f.from.Inversion == 1 && a.Chords[f.p].Bass == a.Chords[f.i].Root-5 {
		f.kind, f.note = Phrygian, "bass down a semitone"
	}
	return f
}

// resumes reports whether chord i takes up again the dominant in root position that
// sounds before it, with at most six-fours and changes of position between: the
// music has come to rest there already.
func (a *piece) resumes(i int) bool {
	for p := i - 1; p >= 0 && a.Chords[p].End == a.Chords[p+1].Start; p-- {
		switch c := a.Chords[p]; {
		case c.Root == a.Chords[i].Root && c.Key == a.Chords[i].Key && !c.Numeral.Cadential:
			if c.Inversion == 0 {
				return true
			}
		case !isSixFour(c.Numeral):
			return false
		}
	}
	return false
}

// gainsSeventh reports whether the dominant at i goes on as a dominant seventh.
func (a *piece) gainsSeventh(i int) bool {
	for j := i; !a.Chords[i].Quality.Seventh() && a.sameHarmony(i, j+1); j++ {
		if a.Chords[j+1].Quality.Seventh() {
			return true
		}
	}
	return false
}

// isSixFour reports whether the chord is a tonic six-four, cadential or not.
func isSixFour(n tonal.Numeral) bool {
	return n.Cadential || n.Degree == 1 && n.Inversion == 2 && n.Target == 0
}

// previous is the chord before i, without a six-four before a dominant or a change of
// inversion of the same harmony, -1 if i is the first.
func (a *piece) previous(i int) int {
	for p := i - 1; p >= 0; p-- {
		if a.Chords[p].End < a.Chords[p+1].Start { // silence between
			return -1
		}
		if a.sameHarmony(p, i) || isSixFour(a.Chords[p].Numeral) && isFive(a.Chords[i].Numeral) {
			continue
		}
		return p
	}
	return -1
}

// sameHarmony reports whether two chords share root and key: a change of
// position, or a seventh added, is no new harmony.
func (a *piece) sameHarmony(i, j int) bool {
	if i < 0 || j >= len(a.Chords) {
		return false
	}
	x, y := a.Chords[i], a.Chords[j]
	return x.Root == y.Root && x.Key == y.Key && x.Numeral.Cadential == y.Numeral.Cadential
}

// readIn is the chord's numeral in a key: its own if it stands there, otherwise
// read anew, so that the V of the old key can close in the new one.
func readIn(c tonal.Chord, k tonal.Key) (tonal.Numeral, bool) {
	if c.Key == k {
		return c.Numeral, c.Numeral.Degree != 0
	}
	return tonal.NameChord(c.Tones, c.Bass, k)
}

// isTonic reports whether the chord is the tonic, not over its fifth; a major seventh above its
// root is a tone that leans on it.
func isTonic(n tonal.Numeral) bool {
	if n.Quality == tonal.MajorSeventh && n.Inversion == 0 {
		n.Quality = tonal.Major
	}
	return n.Degree == 1 && n.Alter == 0 && n.Target == 0 && !n.Cadential && !n.Quality.Seventh() && n.Inversion < 2
}

func isFour(n tonal.Numeral) bool { return n.Degree == 4 && n.Alter == 0 && n.Target == 0 }

func isFive(n tonal.Numeral) bool {
	return n.Degree == 5 && n.Alter == 0 && n.Target == 0 && (n.Quality == tonal.Major || n.Quality == tonal.DominantSeventh)
}

// isDominant reports whether the chord holds the leading tone of the key and works as its dominant.
func isDominant(n tonal.Numeral, k tonal.Key) bool {
	if n.Target != 0 {
		return false
	}
	leading := 0
	if k.Minor {
		leading = 1
	}
	return isFive(n) || n.Degree == 5 && n.Quality == tonal.Augmented || n.Degree == 7 && n.Alter == leading &&
		(n.Quality == tonal.Diminished || n.Quality == tonal.HalfDiminished || n.Quality == tonal.DiminishedSeventh)
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
func (a *piece) arrival(v *surface, f formula) float64 {
	c := a.Chords[f.i]
	x := 1.2 * (v.s.Weight(c.Start) - 0.5)
	if a.extent(f.i)-c.Start < a.Chords[f.p].Duration()/2 {
		x--
	}
	if v.parallels[c.Start] { // a passage that comes back starts here: more a beginning than an end
		x -= 1.5
	}
	return x
}

// sixFour reports whether a cadential six-four decorates the dominant that chord
// i is, or the one before it.
func (a *piece) sixFour(v *surface, i int) bool {
	if !isFive(a.Chords[i].Numeral) {
		i--
	}
	for p := i; p > 0 && isFive(a.Chords[p].Numeral); p-- {
		c := a.Chords[p-1]
		if c.Numeral.Cadential || isSixFour(c.Numeral) && a.Chords[p].Inversion == 0 && c.Key == a.Chords[p].Key && v.s.Weight(c.Start) > v.s.Weight(a.Chords[p].Start) {
			return true
		}
	}
	return false
}

// turnsHome reports whether chord k is the dominant triad of chord i gone on with, read as
// the tonic of the key that follows: what comes to rest is the dominant of the old key.
// Common practice, no source.
func (a *piece) turnsHome(i, k int) bool {
	x, y := a.Chords[i], a.Chords[k]
	return isFive(x.Numeral) && x.Key != y.Key && x.Root == y.Root && y.Key.Tonic == y.Root && isTonic(y.Numeral) && y.Inversion == 0
}

// extent is where the harmony of chord i ends, changes of position included.
func (a *piece) extent(i int) score.Tick {
	j := i
	for k := i + 1; k < len(a.Chords) && a.Chords[k].Start == a.Chords[k-1].End; k++ {
		if a.sameHarmony(i, k) || a.turnsHome(i, k) {
			j = k
		} else if !isFive(a.Chords[i].Numeral) || !isSixFour(a.Chords[k].Numeral) {
			break
		}
	}
	return a.Chords[j].End
}
