package tension

import (
	"math"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Release says how an expectation ended.
type Release string

// The releases.
const (
	StillOpen   Release = ""            // the piece ends before it is answered
	Fully       Release = "fully"       // its target in root position
	Partly      Release = "partly"      // its target inverted, or over a foreign bass
	Deceptively Release = "deceptively" // another chord in the target's place
	PassedOn    Release = "passed on"   // its target comes as a dominant of something else
	Abandoned   Release = "abandoned"   // it fades unanswered
)

// Awaited says what opened an expectation.
type Awaited string

// What opens an expectation.
const (
	ByDominant    Awaited = "dominant"
	ByLeadingTone Awaited = "leading-tone chord"
	ByAugmented   Awaited = "augmented sixth"
	ByCadential   Awaited = "cadential six-four"
	ByTone        Awaited = "tone" // a suspension or appoggiatura
)

// Expectation is something the music has promised: a chord after a dominant,
// or a tone after a suspension.
type Expectation struct {
	From, Until score.Tick // until it was let go; the end of the piece if it never was
	Chord       int        // index of the chord that opened it
	By          Awaited
	Applied     bool        // promised to a degree other than the local tonic
	Target      score.Class // the awaited chord's root, or the awaited tone
	Region      tonal.Key   // the key, or passing key, in which it is awaited
	Note        int         // the waiting note for ByTone, otherwise -1
	Release     Release
	Answer      int     // index of the chord that let it go, -1 if none did
	Peak        float64 // its strongest pull, 0 to 100
	Pedal       bool    // a bass on the dominant fed it after the dominant itself had gone
}

// The course of an expectation. Its strength at the start follows Lerdahl and
// Krumhansl's attraction into the awaited triad (4 for V7–I, 2.5 for V–I); the
// rest is ours: they give no course in time, and Farbood (2010, Working memory
// and the perception of hierarchical tonal structures) only that changes of
// harmony are best heard over some ten to twelve seconds.
const (
	leadingScale  = 40.0 // attraction at which 63 of 100 are reached: V7 starts at 10, V at 6 …
	preparedScale = 4.2  // … and at 61 and 45 after their preparation, when a cadence is under way
	appliedFactor = 1.3  // behind an applied dominant the local tonic waits as well
	restingFactor = 0.6  // a half cadence is a point of rest: the dominant is for the moment a goal (Open Music Theory)
	growthCap     = 90.0 // where a delayed dominant tends to
	growthTime    = 24.0 // quarters, weighted by metre, to cover 63 % of the way: 12 seconds at 120 a minute
	pedalTime     = 12.0 // the same when only the bass still holds the dominant
	partKept      = 0.4  // kept by an inverted tonic
	weakKept      = 0.15 // kept by a root-position tonic off the strong beats
	deceptiveKept = 0.6  // kept after a deceptive turn
	deceptiveJolt = 12.0 // the surprise of it, on top
	asideKept     = 0.75 // kept when the music turns aside
	fadeTime      = 6.0  // quarters in which what is kept falls to 37 %
	lostBelow     = 5.0  // below this an expectation is abandoned
	strongBeat    = 0.4  // score.Weight of a beat
)

// dominant is what a chord promises.
type dominant struct {
	by      Awaited
	target  tonal.Key // the key whose tonic triad is awaited; for an augmented sixth, its dominant triad
	region  tonal.Key
	applied bool
	leading float64
}

// promises says what a chord makes one expect; ok is false if nothing.
func promises(c *tonal.Chord) (d dominant, ok bool) {
	n := c.Numeral
	d.region = n.Region(c.Key)
	d.applied = n.Target != 0
	d.target = d.region
	switch {
	case n.Degree == 0:
		return d, false
	case n.Cadential:
		d.by = ByCadential
		d.leading = leadingInto(d.region, tonal.DominantSeventh.Tones(d.region.Degree(5)), d.region)
		return d, true
	case n.Quality.AugmentedSixth():
		d.by = ByAugmented
		d.target = tonal.Key{Tonic: d.region.Degree(5)}
	case n.Degree == 5 && n.Alter == 0 && hasMajorThird(n.Quality):
		d.by = ByDominant
	case leadingToneChord(n, d.region):
		d.by = ByLeadingTone
	default:
		return d, false
	}
	d.leading = leadingInto(d.region, c.Tones, d.target)
	return d, true
}

// leadingInto is how strongly tones of a region lead into the tonic triad of the target.
func leadingInto(region tonal.Key, tones []score.Class, target tonal.Key) float64 {
	scale, _ := tonal.RegionScale(region, tones)
	return leading(tones, tonicTriad(target), scale)
}

func hasMajorThird(q tonal.Quality) bool {
	return q == tonal.Major || q == tonal.DominantSeventh || q == tonal.Augmented || q == tonal.Suspended || q == tonal.AugmentedMajorSeventh
}

func leadingToneChord(n tonal.Numeral, region tonal.Key) bool {
	raised := 0
	if region.Minor {
		raised = 1
	}
	diminished := n.Quality == tonal.Diminished || n.Quality == tonal.HalfDiminished || n.Quality == tonal.DiminishedSeventh
	return n.Degree == 7 && n.Alter == raised && diminished
}

// prepares reports whether the chord leads to the dominant of the key: the
// subdominant side, or a dominant of the dominant.
func prepares(c *tonal.Chord, k tonal.Key) bool {
	n := c.Numeral
	if c.Key != k {
		return false
	}
	if n.Cadential || n.Quality.AugmentedSixth() || n.Target == 5 {
		return true
	}
	return n.Target == 0 && (n.Degree == 2 || n.Degree == 4)
}

// open is an expectation still heard.
type open struct {
	index  int     // into Course.Expectations
	now    float64 // its strength, 0 to 100
	fading bool    // answered in part or turned away from
	target tonal.Key
}

// pulls follows the expectations through a piece.
type pulls struct {
	a         *Course
	resting   map[int]bool // chords that end a phrase with a half cadence
	open      []open
	jolt      float64
	dominates bool  // the chord that sounds is a dominant
	tones     []int // expectations of waiting tones, by index
}

func newPulls(a *Course) pulls {
	p := pulls{a: a, resting: map[int]bool{}}
	for _, i := range a.Resting {
		p.resting[i] = true
	}
	return p
}

// enter takes in the next chord: it answers what is open, then opens what the
// chord promises itself. weight is the metric weight of its start, bass the
// pitch class sounding lowest.
func (p *pulls) enter(i int, weight float64, bass int) {
	d, isDominant := promises(&p.a.Chords[i])
	p.dominates = isDominant
	strength := 0.0
	if isDominant {
		strength = p.opening(i, d)
	}
	goesOn := false
	kept := p.open[:0]
	for _, o := range p.open {
		reply := p.answer(o, i, d, isDominant, weight, bass)
		if reply.release == PassedOn {
			strength = max(strength, o.now*asideKept)
		}
		if reply.release != StillOpen {
			p.close(o, i, reply.release)
		}
		switch {
		case reply.goesOn && isDominant:
			o.now, o.fading, goesOn = max(o.now, strength), false, true
		case !reply.goesOn:
			o.now, o.fading = o.now*reply.kept, true
		}
		if o.now > 0 {
			kept = append(kept, o)
		}
	}
	p.open = kept
	if isDominant && !goesOn {
		p.begin(i, d, strength)
	}
}

// opening is the strength with which a dominant starts.
func (p *pulls) opening(i int, d dominant) float64 {
	scale := leadingScale
	if i > 0 && prepares(&p.a.Chords[i-1], d.region) {
		scale = preparedScale
	}
	strength := 100 * (1 - math.Exp(-d.leading/scale))
	if d.applied {
		strength *= appliedFactor
	}
	if p.resting[i] {
		strength *= restingFactor
	}
	return min(strength, growthCap)
}

// reply is what a chord does to an open expectation.
type reply struct {
	release Release // StillOpen if it does not end it
	kept    float64 // the share of its strength that stays
	goesOn  bool    // nothing is answered: it goes on growing
}

func (p *pulls) answer(o open, i int, d dominant, isDominant bool, weight float64, bass int) reply {
	c := &p.a.Chords[i]
	goal := o.target.Tonic.PC()
	arrives := c.Root.PC() == goal && !c.Numeral.Cadential
	switch {
	case p.a.Expectations[o.index].Release != StillOpen:
		return reply{kept: partKept} // the echo of one already answered
	case isDominant && d.target.Tonic.PC() == goal:
		return reply{goesOn: true}
	case !isDominant && bass == tonal.Mod(goal+7, 12) && c.Bass.PC() != bass:
		return reply{goesOn: true} // a pedal: the bass has not moved
	case arrives && isDominant, c.Numeral.Cadential && goal == d.region.Degree(5).PC():
		return reply{release: PassedOn}
	case arrives && c.Inversion > 0:
		return reply{release: Partly, kept: partKept}
	case arrives && weight < strongBeat:
		return reply{release: Fully, kept: weakKept}
	case arrives:
		return reply{release: Fully}
	case deceives(o, c):
		p.jolt = deceptiveJolt
		return reply{release: Deceptively, kept: deceptiveKept}
	}
	return reply{kept: asideKept}
}

// deceives reports whether the chord stands in the target's place: the sixth
// degree of either mode, or the fourth in its first inversion.
func deceives(o open, c *tonal.Chord) bool {
	if o.fading {
		return false
	}
	above := tonal.Mod(c.Root.PC()-o.target.Tonic.PC(), 12)
	sixth := above == 9 && !o.target.Minor || above == 8
	return sixth && c.Inversion == 0 || above == 5 && c.Inversion == 1
}

func (p *pulls) begin(i int, d dominant, strength float64) {
	c := &p.a.Chords[i]
	p.a.Expectations = append(p.a.Expectations, Expectation{
		From: c.Start, Until: c.Start, Chord: i, By: d.by, Applied: d.applied,
		Target: d.target.Tonic, Region: d.region, Note: -1, Answer: -1, Peak: strength,
	})
	p.open = append(p.open, open{index: len(p.a.Expectations) - 1, now: min(strength, growthCap), target: d.target})
}

func (p *pulls) close(o open, chord int, r Release) {
	e := &p.a.Expectations[o.index]
	e.Release, e.Until, e.Answer = r, p.a.Chords[chord].Start, chord
}

// pass lets time go by: quarters long, starting on a beat of the given metric
// weight, over a bass of the given pitch class (-1 in silence).
func (p *pulls) pass(quarters, weight float64, bass int, until score.Tick) {
	p.jolt *= math.Exp(-quarters / 2)
	kept := p.open[:0]
	for _, o := range p.open {
		e := &p.a.Expectations[o.index]
		if o.fading {
			o.now *= math.Exp(-quarters / fadeTime)
		} else {
			time := growthTime
			if bass == tonal.Mod(o.target.Tonic.PC()+7, 12) && !p.dominates {
				time, e.Pedal = pedalTime, true
			}
			o.now += (growthCap - o.now) * (1 - math.Exp(-quarters*(0.5+weight)/time))
		}
		if o.now < lostBelow {
			if e.Release == StillOpen {
				e.Release, e.Until = Abandoned, until
			}
			continue
		}
		e.Peak = max(e.Peak, o.now)
		kept = append(kept, o)
	}
	p.open = kept
}

// now is the pull of everything open, 0 to 100: each takes its share of what
// the others leave.
func (p *pulls) now(at score.Tick) float64 {
	rest := 1.0
	kept := p.tones[:0]
	for _, i := range p.tones {
		if e := &p.a.Expectations[i]; at < e.Until {
			kept = append(kept, i)
			if e.From <= at {
				rest *= 1 - e.Peak/100
			}
		}
	}
	p.tones = kept
	for _, o := range p.open {
		rest *= 1 - o.now/100
	}
	return min(100*(1-rest)+p.jolt, 100)
}

// wait opens the small expectation of a suspension or appoggiatura: its
// strength is the tone's attraction to its resolution.
func (p *pulls) wait(f Foreign, chord int, r *rater) {
	if !f.Kind.opensExpectation() || f.Next < 0 {
		return
	}
	c := &p.a.Chords[chord]
	from, to := r.s.Notes[f.Note].Pitch.Class(), r.s.Notes[f.Next].Pitch.Class()
	scale, _ := tonal.RegionScale(c.Key, c.Tones)
	alpha := attraction(from, to, c.Tones, scale)
	at := max(c.Start, r.s.Notes[f.Note].Onset)
	p.a.Expectations = append(p.a.Expectations, Expectation{
		From: at, Until: r.s.Notes[f.Next].Onset, Chord: chord, By: ByTone, Target: to, Region: c.Key,
		Note: f.Note, Release: Fully, Answer: chord, Peak: 100 * (1 - math.Exp(-alpha/leadingScale)),
	})
	p.tones = append(p.tones, len(p.a.Expectations)-1)
}
