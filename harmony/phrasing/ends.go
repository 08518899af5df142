package phrasing

import (
	"math"

	"hairpin/harmony/tonal"
)

// Open says how a phrase ends that no cadence closes.
type Open string

// The open ends. A phrase may have none: then nothing is known of its end.
const (
	OnDominant Open = "on the dominant" // the last chord asks for a tonic that the phrase does not have
	RunsOn     Open = "runs on"         // the music goes on without a pause
)

// tellEnds says of each phrase how likely it ends with its cadence, or how it ends without one.
func (a *piece) tellEnds(v *surface) {
	for i := range a.Phrases {
		if p := &a.Phrases[i]; p.Cadence >= 0 {
			p.Close = a.closes(v, *p)
		} else {
			p.Open = a.open(v, *p)
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
	closeUnprepared = -1.15
	closeSeventh    = -0.49
	closeInner      = -1.0 // another authentic close stands inside the phrase
)

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
	}
	return 0
}

// open says how a phrase without a cadence ends. Common practice, no source.
func (a *piece) open(v *surface, p Phrase) Open {
	last := a.before(p.End)
	if len(a.Chords) == 0 || a.Chords[last].End < p.End-v.beat {
		return ""
	}
	c := a.Chords[last]
	runs := p.End < v.end && v.runsOn(p.End)
	if m := v.s.Measures[v.s.MeasureAt(c.Start)]; asks(c) && (p.End-c.Start >= m.Length || !runs && p.End-c.Start >= v.beat) {
		return OnDominant
	}
	if runs {
		return RunsOn
	}
	return ""
}

// asks reports whether a chord is a dominant, of its key or of another chord.
func asks(c tonal.Chord) bool {
	n := c.Numeral
	return isDominant(n, c.Key) || n.Target != 0 && (n.Degree == 5 || n.Degree == 7)
}
