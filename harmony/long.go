package harmony

import (
	"math"

	"hairpin/harmony/longline"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The long line is a weighted sum of the same three causes, heard over phrases and
// sections instead of beats. Each comes from 0 to 100:
//
//   - dissonance: the local one, on average over a measure;
//   - distance: what the chord inherits through the tree, on average over a measure;
//   - pull: the close that the phrase and the section are on their way to.
//
// The shares were chosen so that the long line moves with the loudness of players
// at one to sixteen measures, on the 124 performed pieces that also fit the shaping
// (see dynamics/shaping/shape.tsv); any near them do as well.
const (
	longDissonance = 0.30
	longDistance   = 0.25
	longPull       = 0.45
	phraseShare    = 0.7 // of the pull; the section has the rest
)

const (
	longClash     = 25.0 // mean local dissonance at which 63 of 100 are reached: about that of a dominant seventh
	longSteps     = 8.0  // inherited steps of δ at which 63 of 100 are reached: about a dominant seventh kept for long
	prolongedHalf = 1    // quarters that a chord must govern to inherit half of its distance
)

// growTree hears which harmony each chord belongs to. Phrases and form must be there.
func (a *Analysis) growTree(s *score.Score, c *tension.Course) {
	events := make([]longline.Event, len(a.Chords))
	own, home := c.Far()
	for i, x := range a.Chords {
		events[i] = longline.Event{Start: x.Start, End: x.End, Metre: s.Weight(x.Start), Near: 1 - own[i]/100, Home: 1 - home[i]/100}
	}
	for _, p := range a.Phrases {
		if p.Cadence >= 0 {
			c := a.Cadences[p.Cadence]
			events[c.Chord].Close = c.Confidence
		}
	}
	a.Tree = longline.Grow(events, a.levels())
	longline.Inherit(a.Tree, prolongedHalf*s.Division, func(above, this int) float64 {
		return tension.ChordSteps(a.Chords[above], a.Chords[this])
	})
}

// levels are the groups of the piece: one, two and four measures inside phrases,
// phrases, units, sections.
func (a *Analysis) levels() []longline.Level {
	var phrases, units, sections []score.Tick
	for _, p := range a.Phrases {
		phrases = append(phrases, p.Start)
	}
	for _, u := range a.Form.Units {
		units = append(units, u.Start)
	}
	for _, x := range a.Form.Sections {
		sections = append(sections, x.Start)
	}
	var out []longline.Level
	for _, n := range [...]int{1, 2, 4} {
		out = append(out, longline.Level{Starts: a.barGroups(n), Within: true})
	}
	return append(out, longline.Level{Starts: phrases}, longline.Level{Starts: units}, longline.Level{Starts: sections, Large: true})
}

// barGroups are the starts of groups of n bars, counted anew in every phrase.
func (a *Analysis) barGroups(n int) []score.Tick {
	var out []score.Tick
	for _, x := range a.Form.Ideas {
		out = append(out, x.Start)
		for k := n; k < x.Count; k += n {
			out = append(out, a.Form.Bars[x.Bar+k].Start)
		}
	}
	return out
}

// Where a goal lies and what is kept after it. The measures were chosen on the
// performances: of the chord of arrival, half a measure, one and one and a half
// before it, the middle two agree best with where players are loudest.
const (
	goalBars     = 1.0 // the goal is so many measures before the arrival: the dominant, in most music
	goalShare    = 0.6 // of a phrase without a cadence, to the nearest quarter
	earliestGoal = 0.2 // share of the phrase
	openKept     = 0.3 // after a half cadence the close is still awaited
	withheldKept = 0.5 // after a deceptive one more so
)

// findArcs finds the goals of phrases and sections.
func (a *Analysis) findArcs(s *score.Score) {
	a.PhraseArcs, a.SectionArcs = nil, nil
	for _, p := range a.Phrases {
		a.PhraseArcs = append(a.PhraseArcs, a.arc(s, p.Start, p.End, p.Cadence))
	}
	for _, x := range a.Form.Sections {
		a.SectionArcs = append(a.SectionArcs, a.arc(s, x.Start, x.End, a.Phrases[x.Last].Cadence))
	}
}

// arc is the way to the cadence that ends a stretch, if one does.
func (a *Analysis) arc(s *score.Score, start, end score.Tick, cadence int) longline.Arc {
	length := float64(end - start)
	out := longline.Arc{Start: start, End: end, Arrival: end, Goal: start + s.Division*score.Tick(math.Round(goalShare*length/float64(s.Division))), Why: "no cadence: the usual place"}
	if cadence < 0 {
		return out
	}
	c := a.Cadences[cadence]
	switch c.Kind {
	case phrasing.PerfectAuthentic, phrasing.ImperfectAuthentic, phrasing.Plagal:
		out.Arrival = c.At
	case phrasing.Half, phrasing.Phrygian:
		out.Kept = openKept
	case phrasing.Deceptive, phrasing.Evaded:
		out.Kept = withheldKept
	}
	bar := s.Measures[s.MeasureAt(c.At)]
	goal := c.At - score.Tick(goalBars*float64(max(bar.Nominal, bar.Length)))
	if float64(goal-start) > earliestGoal*length && goal < end {
		out.Goal, out.Sure = goal, c.Confidence
		out.Why = "on the way to the " + string(c.Kind) + " cadence"
	}
	return out
}

// rateLongLine fills the long line of the moments. The moments, phrases and the form
// must be there; without phrases it stays 0.
func (a *Analysis) rateLongLine(s *score.Score, c *tension.Course) {
	if len(a.Phrases) == 0 || len(a.Form.Ideas) == 0 {
		return
	}
	a.growTree(s, c)
	a.findArcs(s)
	clash, steps := newRunning(a.Moments), newRunning(a.Moments)
	for i, m := range a.Moments {
		clash.add(i, m, m.Tension.Dissonance)
		inherited := 0.0
		if m.Chord >= 0 {
			inherited = a.Tree[m.Chord].Inherited
		}
		steps.add(i, m, reached(inherited, longSteps))
	}
	phrase, section := longline.Read(a.PhraseArcs), longline.Read(a.SectionArcs)
	for i := range a.Moments {
		m := &a.Moments[i]
		bar := s.Measures[s.MeasureAt(m.Start)]
		half := max(bar.Nominal, bar.Length, 1) / 2
		from, to := m.Start-half, max(m.Start+half, m.End)
		t := tonal.Tension{Dissonance: reached(clash.mean(from, to), longClash), Distance: steps.mean(from, to)}
		t.Pull = 100 * (phraseShare*phrase.At(m.Start) + (1-phraseShare)*section.At(m.Start))
		w := a.Weights
		t.Total = longDissonance*w.Dissonance*t.Dissonance + longDistance*w.Distance*t.Distance + longPull*w.Pull*t.Pull
		t.Total = min(max(t.Total, 0), 100)
		m.LongLine = t
	}
}

// reached turns a quantity without end into 0 to 100: 63 at scale.
func reached(x, scale float64) float64 { return 100 * (1 - math.Exp(-x/scale)) }

// running is a quantity over the moments, summed up so that any mean is quick.
type running struct {
	at  []score.Tick // starts of the moments, and the end
	sum []float64    // up to each of them
	k   int          // where the last mean started
}

func newRunning(m []tension.Moment) *running {
	return &running{at: make([]score.Tick, len(m)+1), sum: make([]float64, len(m)+1)}
}

func (r *running) add(i int, m tension.Moment, x float64) {
	r.at[i], r.at[i+1] = m.Start, m.End
	r.sum[i+1] = r.sum[i] + x*float64(m.End-m.Start)
}

// mean is the mean from one moment to another, as far as the music goes.
func (r *running) mean(from, to score.Tick) float64 {
	from, to = max(from, r.at[0]), min(to, r.at[len(r.at)-1])
	return (r.upTo(to) - r.upTo(from)) / float64(max(to-from, 1))
}

func (r *running) upTo(t score.Tick) float64 {
	for r.k > 0 && r.at[r.k] > t {
		r.k--
	}
	for r.k+2 < len(r.at) && r.at[r.k+1] <= t {
		r.k++
	}
	length := float64(max(r.at[r.k+1]-r.at[r.k], 1))
	return r.sum[r.k] + (r.sum[r.k+1]-r.sum[r.k])*float64(t-r.at[r.k])/length
}
