package tension

import (
	"math"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The total is a weighted sum of the three parts, cut off at 100. The weights
// were chosen so that the total orders the 48 chords that listeners rated for
// Bigand, E., Parncutt, R., & Lerdahl, F. (1996), Perception of musical tension
// in short chord sequences, Perception & Psychophysics 58(1), 125–141, and
// keeps the orderings of textbook cadences (bigand_test.go, cadences_test.go):
//
//   - distance weighs most: in the ratings it is the strongest single cause;
//   - pull next: it lifts a cadence's dominant above the chords before it;
//   - dissonance least: among plain triads and sevenths it hardly moves the
//     ratings, and its scale must leave room for clusters.
const (
	shareDissonance = 0.25
	shareDistance   = 0.70
	sharePull       = 0.45
)

// The distance part, in points of 100. Two published measures of how far a
// chord lies from its tonic share the work, for each orders the ratings better
// with the other: Lerdahl's chord distance, and how stable the chord's tones
// are in the key by Krumhansl and Kessler's (1982) probe-tone ratings.
const (
	chordPoints    = 60.0 // Lerdahl's distance δ, at most
	chordScale     = 5.0  // δ at which 63 % of them are reached: listeners tell near chords apart, far ones hardly
	inversionStep  = 2    // the third or fifth in the bass, in steps of δ: Lerdahl (2001), surface tension rule
	unstablePoints = 7.5  // per unit of mean probe-tone rating below the tonic triad's
	unclearPoints  = 60.0 // per unit of root ambiguity beyond the tonic triad's: minor triads and sevenths stand less firmly
	unclearMost    = 0.3  // what a minor seventh has beyond a major triad; more is not heard as farther
	keyPoints      = 24.0 // the local key from the home key, at most
	keyScale       = 14.0 // the regional distance at which 63 % of them are reached
)

// motionPoints is what a chord change adds to the dissonance for each semitone
// its voices move on average. Bigand, Parncutt and Lerdahl name this horizontal
// motion as a cause of its own; it is rated with the dissonance because it, too,
// belongs to the sounding surface. It fades within a beat, and is left out where
// fewer than three voices move at once: a broken chord has no voices to follow.
const (
	motionPoints = 5.0
	motionMost   = 7 // semitones of one voice, more is register
	motionFade   = 1.0
	motionVoices = 3
)

// waitingPoints is what a fully charged non-chord tone on the beat adds to the
// dissonance beyond its clash.
const waitingPoints = 20.0

// rater rates one score. It remembers what it has rated; everything it holds
// is thrown away afterwards.
type rater struct {
	a        *Course
	s        *score.Score
	meter    *clashMeter
	lines    melodies
	tones    []tonal.Set // chord tones by chord
	reach    map[placing]float64
	pulls    pulls
	ear      keyMemory // the keys that count at this moment
	reread   map[readIn]float64
	names    map[named]tonal.Numeral
	closes   map[int]bool // chords on which a cadence confirms their key
	moved    float64      // mean motion of the voices into the chord, in semitones
	keys     []int
	kinds    map[[2]int]Foreign // by note and chord
	recalled recalled
	rates    bool // it writes into the analysis, it does not only look
}

// placing is a chord against a local tonic: what its distance depends on.
type placing struct {
	minor     bool
	root      int // above the tonic
	quality   tonal.Quality
	numeral   tonal.Numeral
	inversion int
}

func newRater(a *Course, s *score.Score) *rater {
	r := &rater{a: a, s: s, meter: newClashMeter(), lines: linkMelodies(s), reach: map[placing]float64{}, kinds: map[[2]int]Foreign{}, reread: map[readIn]float64{}, names: map[named]tonal.Numeral{}}
	r.tones = make([]tonal.Set, len(a.Chords))
	for i := range a.Chords {
		r.tones[i] = tonal.SetOf(a.Chords[i].Tones)
	}
	return r
}

// advance moves on to the chord that governs the slice.
func (r *rater) advance(chord int, sl *tonal.Slice) int {
	for chord+1 < len(r.a.Chords) && r.a.Chords[chord+1].Start <= sl.Start {
		chord++
		r.a.Chords[chord].Tension = tonal.Tension{}
		if r.ear.enter(r.a.Chords[chord].Key); r.closes[chord] {
			r.ear.confirm()
		}
		r.pulls.enter(chord, r.s.Weight(r.a.Chords[chord].Start), r.bass(sl))
	}
	return chord
}

func (r *rater) moment(i, chord int) Moment {
	sl := &r.a.Slices[i]
	m := Moment{Start: sl.Start, End: sl.End, Chord: chord}
	if chord < 0 {
		m.Tension.Dissonance = r.clash(i, -1)
		m.Tension.Total = r.total(m.Tension)
		return m
	}
	c := &r.a.Chords[chord]
	m.Tension.Distance = r.heard(chord)
	if len(sl.Notes) == 0 || sl.Start >= c.End {
		m.Chord = -1
	} else {
		m.Tension.Dissonance = r.clash(i, chord) + r.waitingTones(i, chord) + r.motion(i, chord)
		m.Tension.Dissonance = min(m.Tension.Dissonance, 100)
	}
	m.Tension.Pull = r.pulls.now(sl.Start)
	m.Tension.Total = r.total(m.Tension)
	if m.Chord >= 0 && m.Tension.Total >= c.Tension.Total {
		c.Tension = m.Tension
	}
	r.ear.pass(r.s.Quarters(sl.End - sl.Start))
	r.pulls.pass(r.s.Quarters(sl.End-sl.Start), r.s.Weight(sl.Start), r.bass(sl), sl.End)
	return m
}

// motion is what the voices' movement into the chord adds in slice i.
func (r *rater) motion(i, chord int) float64 {
	sl, c := &r.a.Slices[i], &r.a.Chords[chord]
	if sl.Start == c.Start {
		r.moved = r.meanMotion(sl)
	}
	return motionPoints * r.moved * math.Exp(-r.s.Quarters(sl.Start-c.Start)/motionFade)
}

// meanMotion is how far the voices that strike the slice have moved, in semitones.
func (r *rater) meanMotion(sl *tonal.Slice) float64 {
	sum, voices := 0, 0
	for _, n := range sl.Notes {
		if r.s.Notes[n].Onset < sl.Start {
			voices++ // held: it moves by nothing
			continue
		}
		if b := r.lines.before[n]; b >= 0 {
			sum += min(gap(r.s, b, n), motionMost)
			voices++
		}
	}
	if voices < motionVoices {
		return 0
	}
	return float64(sum) / float64(voices)
}

func (r *rater) total(t tonal.Tension) float64 {
	w := r.a.Weights
	sum := shareDissonance*w.Dissonance*t.Dissonance + shareDistance*w.Distance*t.Distance + sharePull*w.Pull*t.Pull
	return min(max(sum, 0), 100)
}

// bass is the pitch class of the lowest note, -1 in silence.
func (r *rater) bass(sl *tonal.Slice) int {
	if len(sl.Notes) == 0 {
		return -1
	}
	return r.s.Notes[sl.Notes[0]].Pitch.Class().PC()
}

// finish closes what is still open at the end.
func (r *rater) finish() {
	if len(r.a.Slices) == 0 {
		return
	}
	end := r.a.Slices[len(r.a.Slices)-1].End
	for i := range r.a.Expectations {
		if e := &r.a.Expectations[i]; e.Release == StillOpen {
			e.Until = end
		}
	}
}

// distance is the distance part of a chord: from its local tonic, and from home.
func (r *rater) distance(c *tonal.Chord) float64 {
	key := 1 - math.Exp(-float64(RegionDistance(r.a.Home, c.Key))/keyScale)
	return min(r.fromTonic(c)+keyPoints*key, 100)
}

func (r *rater) fromTonic(c *tonal.Chord) float64 {
	if len(c.Tones) == 0 {
		return 0
	}
	p := placing{c.Key.Minor, tonal.Mod(c.Root.PC()-c.Key.Tonic.PC(), 12), c.Quality, c.Numeral, c.Inversion}
	if v, ok := r.reach[p]; ok {
		return v
	}
	steps := float64(TonicDistance(c).Total())
	if c.Inversion > 0 {
		steps += inversionStep
	}
	v := chordPoints*(1-math.Exp(-steps/chordScale)) + unstablePoints*unstable(c) + unclearPoints*unclear(c)
	r.reach[p] = v
	return v
}

// unstable is by how much the chord's tones are rated below the local tonic
// triad's in the key: mean probe-tone ratings of Krumhansl and Kessler (1982).
func unstable(c *tonal.Chord) float64 {
	if majorTonicInMinor(c) {
		return 0
	}
	profile := tonal.KrumhanslKessler.At(c.Key)
	return max(meanAt(profile, tonicTriad(c.Key))-meanAt(profile, c.Tones), 0)
}

// majorTonicInMinor reports whether the chord is the major tonic with which a
// minor piece may end. Heard as the subdominant's dominant it is none.
func majorTonicInMinor(c *tonal.Chord) bool {
	return c.Key.Minor && c.Quality == tonal.Major && c.Root == c.Key.Tonic && c.Numeral.Target == 0
}

func meanAt(profile [12]float64, tones []score.Class) float64 {
	sum := 0.0
	for _, c := range tones {
		sum += profile[c.PC()]
	}
	return sum / float64(len(tones))
}

// unclear is by how much the chord's root is less clear than the local tonic
// triad's: Parncutt's (1988) ambiguity.
func unclear(c *tonal.Chord) float64 {
	tonic := rootAmbiguity(tonal.SetOf(tonicTriad(c.Key)))
	return min(max(rootAmbiguity(tonal.SetOf(c.Tones))-tonic, 0), unclearMost)
}

// TonicDistance is Lerdahl's distance of a chord from the tonic of its local
// key. An applied chord is heard in the region it is applied to, every other
// one where it lies nearest (the principle of the shortest path, Lerdahl 2001).
// The major tonic triad in a minor key counts as its tonic; a cadential
// six-four as the dominant it decorates; a German or Italian sixth as the
// altered dominant of the dominant, whose root does not sound (common
// practice, no source). The chord must have tones.
func TonicDistance(c *tonal.Chord) Steps {
	tonic := spaceOf(tonicTriad(c.Key), c.Key)
	region := c.Numeral.Region(c.Key)
	switch n := c.Numeral; {
	case n.Cadential:
		return steps(tonic, spaceOf(tonal.Major.Tones(region.Degree(5)), region))
	case majorTonicInMinor(c):
		return Steps{Within: c.Key}
	case n.Quality.AugmentedSixth():
		return augmentedDistance(tonic, c.Tones, region)
	case n.Target != 0:
		if _, holds := tonal.RegionScale(region, c.Tones); holds {
			return steps(tonic, spaceOf(c.Tones, region))
		}
	}
	return shortestPath(tonic, c.Tones)
}

// augmentedDistance counts an augmented sixth from its implied root, the
// second degree, with its own tones added to the region's minor scale.
func augmentedDistance(tonic space, tones []score.Class, region tonal.Key) Steps {
	region.Minor = true
	y := spaceOf([]score.Class{region.Degree(2), tones[0], tones[len(tones)-1]}, region)
	y.levels[3] = tonal.NaturalMinor.Up(region.Tonic.PC()) | tonal.SetOf(tones)
	return steps(tonic, y)
}

// shortestPath is the distance to the chord in the region where it is smallest,
// among those whose scale holds the chord; if none does, in the tonic's own.
func shortestPath(tonic space, tones []score.Class) Steps {
	own := spaceOf(tones, tonic.region)
	own.levels[3] |= tonal.SetOf(tones)
	best := steps(tonic, own)
	_, found := tonal.RegionScale(tonic.region, tones)
	for fifths := score.Class(-6); fifths <= 6; fifths++ {
		for _, minor := range [2]bool{tonic.region.Minor, !tonic.region.Minor} {
			region := tonal.Key{Tonic: tones[0] + fifths, Minor: minor}
			if _, holds := tonal.RegionScale(region, tones); !holds {
				continue
			}
			if s := steps(tonic, spaceOf(tones, region)); !found || s.Total() < best.Total() {
				best, found = s, true
			}
		}
	}
	return best
}

// beat is the length of a beat at a moment, at least a quarter.
func (r *rater) beat(at score.Tick) score.Tick {
	return max(r.s.BeatAt(at), r.s.Division)
}
