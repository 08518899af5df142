package phrasing

import (
	"math"

	"hairpin/harmony/tonal"
)

// Open says how a phrase ends that no cadence closes.
type Open string

// The open ends. A phrase may have none: then nothing is known of its end.
const (
	OnDominant Open = "on the dominant" // the last chord asks for a tonic
	OnTonic    Open = "on the tonic"    // the last chord is a tonic in root position, but nothing closes on it
	RunsOn     Open = "runs on"         // the music goes on without a pause
)

// tellEnds says of each phrase how likely it ends with its cadence, or how it ends without one.
func (a *piece) tellEnds(v *surface) {
	for i := range a.Phrases {
		if p := &a.Phrases[i]; p.Cadence >= 0 {
			p.Close = a.closes(v, *p)
		} else if v.fugue == nil { // its parts are told, and some voice always goes on
			p.Open, p.OpenKey = a.open(v, *p)
		}
	}
}

// The weights of what tells how likely a phrase ends with its cadence and the cadence is of
// its kind, in log-odds, fitted on 519 phrase ends of 28 movements of Mozart's sonatas
// (Hentschel, Neuwirth & Rohrmeier 2021, The Annotated Mozart Sonatas; CC BY-NC-SA 4.0, title
// and licence from memory) and, at the same weight, 178 of 24 other pieces judged by ear for
// this program: songs, dances, quartets, fugues and sonatas. closeAlways is a tenth lower than
// fitted, to be safe; closeInner is chosen.
const (
	closeAlways     = 1.1
	closeSigns      = 0.46 // times the log-odds of its signs
	closeImperfect  = -0.73
	closeHalf       = -0.81
	closePlagal     = -1.4 // chosen, without a fermata: none is marked in the sonatas
	closeUnprepared = -1.15
	closeSeventh    = -0.49
	closeInner      = -1.0 // another authentic close stands inside the phrase
)

// keyOfEnd is the probability of a key from which it is told that a phrase ends on its dominant
// or its tonic: a choice of ours.
const keyOfEnd = 0.7

// mostLogOdds is what the signs may say at most: a probability of 0.98.
const mostLogOdds = 3.9

// closes is the probability that a phrase ends with its cadence.
func (a *piece) closes(v *surface, p Phrase) float64 {
	c := a.Cadences[p.Cadence]
	x := math.Log(c.Confidence / math.Max(1-c.Confidence, 1e-9))
	x = closeAlways + closeSigns*math.Max(-mostLogOdds, math.Min(mostLogOdds, x)) + c.doubt
	switch {
	case c.Kind == ImperfectAuthentic:
		x += closeImperfect
	case c.Kind.IsHalf():
		x += closeHalf
	}
	for _, d := range a.Cadences {
		if d.Kind.Authentic() && d.At > p.Start && v.barsFrom(p.Start, d.At) >= 1 && v.barsFrom(d.At, c.At) >= 1 {
			return logistic(x + closeInner)
		}
	}
	return logistic(x)
}

// doubt is what speaks most against a formula, in log-odds, see [ending.doubts].
func (e ending) doubt() float64 {
	switch {
	case e.kind == PerfectAuthentic && e.signs[Prepared] == 0 && !e.sixFour:
		return closeUnprepared
	case e.isHalf() && e.signs[SeventhAtOnce] > 0:
		return closeSeventh
	case e.kind == Plagal && !e.rest.fermata:
		return closePlagal
	}
	return 0
}

// open says how a phrase without a cadence ends, and in which key. Common practice, no source.
func (a *piece) open(v *surface, p Phrase) (Open, tonal.Key) {
	last := a.before(p.End)
	if len(a.Chords) == 0 || a.Chords[last].End < p.End-v.beat {
		return "", tonal.Key{}
	}
	if c := a.Chords[last]; last > 0 && c.End > p.End && p.End-c.Start < v.beat && a.Chords[last-1].Start > p.Start {
		last-- // what leads on is not what it ends with
	}
	c := a.Chords[last]
	runs, long := p.End < v.end && v.runsOn(p.End), p.End-c.Start
	k, asks := asksFor(c)
	known := c.KeyConfidence >= keyOfEnd
	switch m := v.s.Measures[v.s.MeasureAt(c.Start)]; {
	case known && asks && (long >= m.Length || !runs && long >= v.beat):
		return OnDominant, k
	case runs:
		return RunsOn, tonal.Key{}
	case known && isTonic(c.Numeral) && c.Inversion == 0 && long >= v.beat:
		return OnTonic, c.Key
	}
	return "", tonal.Key{}
}

// asksFor is the key whose dominant a chord is, that of its music or that of another chord;
// false if it is none.
func asksFor(c tonal.Chord) (tonal.Key, bool) {
	n := c.Numeral
	if n.Target != 0 {
		return n.Region(c.Key), n.Degree == 5 || n.Degree == 7
	}
	return c.Key, isDominant(n, c.Key)
}
