package phrasing

import (
	"math"
	"sort"
	"strings"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// settle decides which formulas are cadences. A formula alone is none: signs of
// harmony, metre, pause and phrase must speak for it (see [Signs]), and its last
// chord must not start the next phrase, unless the opening of the piece comes back with
// it; a plagal cadence is one only where a phrase ends. Each phrase keeps one cadence at
// its end, the surest, and inside a phrase a half cadence and the one right after it are
// not both kept.
func (a *piece) settle(v *surface, list []ending, phrases []Phrase) []Cadence {
	var out []Cadence
	linked := -1 // index of the last cadence that a link to the next phrase follows
	for _, e := range a.judged(v, list, phrases) {
		c, p := e.cadence, &phrases[e.phrase]
		if c.Confidence <= 0 || c.Confidence < e.least() {
			p.Weak = p.Weak || e.ends
			continue
		}
		if k := len(out) - 1; e.linked && k >= 0 && out[k].At >= p.Start && a.leadsOn(v, out[k], p.End) {
			continue
		}
		if k := p.Cadence; e.ends && k >= 0 && k == len(out)-1 && linked == k && !e.linked {
			out = out[:k] // what follows is no link, it ends the phrase
			p.Cadence = -1
		}
		if k := p.Cadence; e.elided && k >= 0 && k == len(out)-1 && a.goesOver(v, out[k], e) {
			out[k] = c
			continue
		}
		if k := len(out) - 1; k >= 0 && a.passes(out[k], c) && p.Cadence != k && (e.phrase == 0 || phrases[e.phrase-1].Cadence != k) {
			if out[k].Confidence >= c.Confidence {
				continue
			}
			out = out[:k]
		}
		switch {
		case e.ends && p.Cadence >= 0 && out[p.Cadence].Confidence >= c.Confidence:
		case e.ends && p.Cadence >= 0:
			out[p.Cadence] = c
		default:
			if e.ends {
				p.Cadence = len(out)
			}
			if e.linked {
				linked = len(out)
			}
			out = append(out, c)
		}
	}
	a.codas(v, out, phrases)
	for i := range phrases {
		phrases[i].Weak = phrases[i].Weak && phrases[i].Cadence < 0
	}
	return out
}

// linked reports whether a formula ends on the dominant, or with both roots below, and
// only a link leads on to the next phrase, no longer than its last chord and half a measure.
func (a *piece) linked(v *surface, f formula, end score.Tick) bool {
	start, over := a.Chords[f.i].Start, a.extent(f.i)
	m := v.s.Measures[v.s.MeasureAt(start)]
	return (f.kind.IsHalf() || f.kind.Authentic() && f.roots()) && over < end && end-over <= min(over-start, max(m.Nominal, m.Length)/2)
}

// leadsOn reports whether a sure close stands at most two measures before the end of its
// phrase: what follows leads on.
func (a *piece) leadsOn(v *surface, c Cadence, end score.Tick) bool {
	return c.Kind.Authentic() && c.Confidence >= sureClose && v.barsFrom(c.At, end) <= 2
}

// noPause is what a pause says at least for the end of a phrase, in log-odds: a choice of ours.
const noPause = 0.5

// sureClose is the confidence from which a close is that of its phrase though it leads on:
// a choice of ours.
const sureClose = 0.75

// goesOver reports whether the dominant of a half cadence goes right over, without a pause,
// into the tonic that begins the next phrase: it is that which closes. Common practice, no
// source.
func (a *piece) goesOver(v *surface, half Cadence, next candidate) bool {
	return half.Kind.IsHalf() && next.cadence.At == a.extent(half.Chord) && (next.over && half.Confidence < sureClose || v.runsOn(next.cadence.At))
}

// candidate is a formula that may be a cadence, and the phrase it stands in.
type candidate struct {
	cadence Cadence
	phrase  int
	ends    bool // that phrase ends with it
	plain   bool // it ends on the dominant, on the tonic in root position, or on what stands for it
	turned  bool // see leastTurned
	elided  bool // its last chord begins the next phrase
	linked  bool // a short link leads on to the next phrase
	over    bool // see runsOver
}

// judged says of each formula how likely it closes, repeated music alike.
func (a *piece) judged(v *surface, list []ending, phrases []Phrase) []candidate {
	var out []candidate
	j := 0
	for _, e := range list {
		start := a.Chords[e.i].Start
		for j < len(phrases)-1 && phrases[j].End <= start {
			j++
		}
		k, over := j, false
		if start == phrases[j].Start && j > 0 {
			over = a.runsOver(v, e.formula)
			if k--; v.fugue == nil && (!a.mayElide(v, e.formula) || !over && !v.elides(e.formula, start)) {
				continue
			}
		}
		p := phrases[k]
		if k == j && a.upbeatTonic(v, e.formula, p.End) {
			continue
		}
		ends := k < j || p.End > start && p.End <= a.afterClose(v, e.formula)
		linked := !ends && a.linked(v, e.formula, p.End)
		if ends {
			e.rest = v.restAt(p.End)
		}
		if !ends && e.kind == Plagal {
			continue
		}
		e = a.inPlace(v, e, p.Start, ends)
		out = append(out, candidate{Cadence{
			At: start, Chord: e.i, Kind: e.kind, Key: a.sounding(e.formula, p.Start),
			Confidence: a.confidence(v, e, p), Why: e.why(ends), doubt: e.doubt(),
		}, k, ends || linked, a.plain(v, e), a.turned(v, e.formula), k < j, linked, over})
	}
	v.shareCloses(out)
	return out
}

// upbeatTonic reports whether an authentic formula reaches its tonic only after a pause, with
// the upbeat to what follows the end of its phrase, and that goes on with it: the phrase has
// come to rest on the dominant. Common practice, no source.
func (a *piece) upbeatTonic(v *surface, f formula, end score.Tick) bool {
	start := a.Chords[f.i].Start
	m := v.s.Measures[v.s.MeasureAt(start)]
	return f.kind.Authentic() && start > m.Start && end-start <= m.Length/4 && a.extent(f.i)-end > end-start && v.stops(v.restAt(start))
}

// mayElide reports whether the close of a formula may be the start of the next phrase as
// well: one withheld; with the tonic on top if something prepares the dominant; otherwise
// only if its dominant seventh goes there without a pause. Any other dominant stands as the
// end of its own phrase. Common practice, no source.
func (a *piece) mayElide(v *surface, f formula) bool {
	switch f.kind {
	case PerfectAuthentic:
		return f.sixFour || a.prepared(f)
	case ImperfectAuthentic:
		return f.roots() && a.Chords[f.p].Quality == tonal.DominantSeventh && v.runsOn(a.Chords[f.i].Start)
	}
	return f.isWithheld()
}

// elides reports whether a formula closes with the chord that begins the opening anew.
func (v *surface) elides(f formula, start score.Tick) bool {
	return f.kind.Authentic() && (v.opensAgain(start) || v.startsAlike(start) && v.goesOn(start))
}

// stops reports whether a pause is one for all: a fermata, a double bar, a stop in the
// words, or a rest of the leading line or of half the lines. Common practice, no source.
func (v *surface) stops(r rest) bool {
	return r.fermata || r.bar || r.stop > 0 || r.lead >= 0.5 || r.all >= 0.5
}

// rests reports whether a pause is one for all after which the music begins anew: words, a
// fermata or a double bar make it, or half the lines with a long last note.
func (v *surface) rests(r rest) bool {
	return r.fermata || r.bar || r.stop > 0 || r.all >= 0.5 && (r.lead >= 1 || r.long >= longLast)
}

// longLast is how long a last note must be to rest on, see rest: a choice of ours.
const longLast = 0.8

// runsOver reports whether the dominant that ends a phrase goes right over, without a pause,
// into the tonic on a beat that begins the next one. A dominant with its seventh is no place
// to stop, but one that the tonic answers; a triad is no more if it lasts for a beat to a
// measure, what comes on the next downbeat is not the start of a passage that comes back, and
// its bass leaves the root on the way there, or the leading line holds over, or a cadential
// six-four takes the greater part of its measure; after such a one it may be evaded too.
// Common practice, no source.
func (a *piece) runsOver(v *surface, f formula) bool {
	c, d := a.Chords[f.i], a.Chords[f.p]
	evaded := f.kind == Evaded && f.sixFour
	if !evaded && (!f.kind.Authentic() || !f.roots()) || f.p != f.i-1 || v.s.Weight(c.Start) < 0.5 {
		return false
	}
	if d.Quality == tonal.DominantSeventh && !evaded && v.runsOn(c.Start) {
		return true
	}
	m := v.s.Measures[v.s.MeasureAt(d.Start)]
	low, ok := v.lowestAt(c.Start - 1)
	if !ok || v.s.Weight(c.Start) < 1 || d.Duration() > max(m.Nominal, m.Length) || d.Duration() < v.beat || v.s.Notes[low].End() > c.Start {
		return false
	}
	leaves := v.s.Notes[low].Pitch.Class() != d.Root || v.lead >= 0 && v.heldOver(c.Start) || f.sixFour && 2*d.Duration() <= max(m.Nominal, m.Length)
	return leaves && !v.parallels[c.Start] && !v.startsAlike(c.Start) && !within(v.signs, c.Start, c.Start) && !v.stops(v.restAt(c.Start))
}

// runsOn reports whether the music goes on at a moment without a pause or a new signature.
func (v *surface) runsOn(t score.Tick) bool {
	return !within(v.signs, t, t) && v.w.strength(v.restAt(t)) < noPause
}

// codas gives a phrase without a cadence at its end the last one inside it: any that stands
// in its last two measures; an authentic one that is likely if what follows comes back to its
// tonic, a close and its coda, or if the leading line ends with it and others play on. Common
// practice, no source.
func (a *piece) codas(v *surface, list []Cadence, phrases []Phrase) {
	for i := range phrases {
		p := &phrases[i]
		last := a.before(p.End)
		for k := len(list) - 1; k >= 0 && p.Cadence < 0; k-- {
			c := &list[k]
			if c.At >= p.End {
				continue
			}
			x := a.Chords[last]
			tonic := c.Confidence >= 0.5 && isTonic(x.Numeral) && x.Key.Tonic == c.Key.Tonic
			if c.At > p.Start && (c.Kind.Authentic() && (tonic || !v.leadMoves(c.At+1, p.End)) || v.barsFrom(c.At, p.End) <= 2) {
				p.Cadence = k
			}
			break
		}
	}
}

// before is the last chord that starts before a moment, 0 if there is none.
func (a *piece) before(t score.Tick) int {
	i := sort.Search(len(a.Chords), func(i int) bool { return a.Chords[i].Start >= t })
	return max(i-1, 0)
}

// neverSure caps the log-odds of plagal cadences, which are weighed by hand: none is
// marked in the sonatas.
const neverSure = 0.8

// passes reports whether a half cadence goes right over into an authentic one.
func (a *piece) passes(half, next Cadence) bool {
	return next.Kind.Authentic() && half.Kind.IsHalf() && next.Confidence >= leastCadence && next.At <= a.extent(half.Chord)
}

// confidence is how likely a formula closes; the opening of a phrase closes nothing, unless
// all hold it.
func (a *piece) confidence(v *surface, e ending, p Phrase) float64 {
	if e.kind.Authentic() && !a.heldAt(v, e) && a.opens(v, e.formula, p.Start) {
		return 0
	}
	return logistic(a.finalOdds(v, e, p))
}

// finalOdds are the log-odds that a formula closes, pause and phrase included.
func (a *piece) finalOdds(v *surface, e ending, p Phrase) float64 {
	if !e.weighed() {
		x := e.odds + v.w.strength(e.rest) + phraseEnd(p.End > a.Chords[e.i].Start && p.End <= a.extent(e.i))
		return math.Min(x, neverSure)
	}
	a.pauseSigns(v, &e, p)
	return e.odds + e.signs.sum(v.w.closingWeights(e.kind), LeadRests, signCount)
}

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
	if but := e.doubts(); len(but) > 0 {
		out = append(out, "but "+strings.Join(but, " and "))
	}
	return strings.Join(out, ", ")
}

// doubts names what speaks most against a formula that signs decide about.
func (e ending) doubts() []string {
	var out []string
	for _, d := range []struct {
		is   bool
		word string
	}{
		{e.isHalf() && e.signs[Rival] > 0.5, "the tonic after it closes more strongly"},
		{e.isHalf() && e.signs[SeventhAtOnce] > 0, "its seventh sounds at once"},
		{e.kind == PerfectAuthentic && e.signs[Prepared] == 0 && !e.sixFour, "nothing prepares the dominant"},
		{e.kind == PerfectAuthentic && e.signs[InPassing] > 0, "only in a passing key"},
	} {
		if d.is {
			out = append(out, d.word)
		}
	}
	return out
}
