package verdict

import (
	"math"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Kind is a verdict on a stretch or a moment.
type Kind string

// The verdicts.
const (
	Supports     Kind = "supports"      // loudness moves with the tension
	WorksAgainst Kind = "works against" // it moves the other way, or an accent falls on the release
	Unshaped     Kind = "unshaped"      // the harmony moves, nothing is printed for it
	Independent  Kind = "independent"   // the page moves, the harmony is still
	Calm         Kind = "calm"          // neither
)

// Aspect is what a verdict looks at.
type Aspect string

// The aspects.
const (
	OverSpan   Aspect = "span"     // a stretch in which tension builds, holds or releases
	AtAccent   Aspect = "accent"   // an accent on a dissonance or on its resolution
	AtPeak     Aspect = "peak"     // a phrase's loudest against its most tense place
	AtTaper    Aspect = "taper"    // the end of a phrase
	AtContrast Aspect = "contrast" // echo, subito, withheld climax
)

// Way is the direction of a movement.
type Way int

// The ways.
const (
	Down  Way = -1
	Still Way = 0
	Up    Way = 1
)

// PageMove is what the page does over a stretch or a taper: what is printed, and
// its size in steps.
type PageMove struct {
	page.Move
	Change float64 // in steps, 0 unless a slope is printed
	Way    Way
	Swell  float64 // how far it goes away and comes back, in steps; negative if it sinks
}

// Verdict is what page and harmony do to each other. It is all data: who tells
// it makes the sentence.
type Verdict struct {
	Start, End  score.Tick
	Aspect      Aspect
	Kind        Kind
	Harmony     HarmonyMove       // of a span
	Page        PageMove          // of a span and a taper
	Accent      *page.Accent      // of an accent, else nil
	Contrast    *page.Contrast    // of a contrast, else nil
	Cadence     *phrasing.Cadence // of a taper, else nil
	Tense       score.Tick        // of a peak: where the phrase is most tense
	Loud        score.Tick        // of a peak: where it is loudest; Tense if it is about as loud there
	SixFour     bool              // a cadential six-four sounds under the accent or at the span's end
	Tension     float64           // change of tension over the stretch, -100 to 100
	Level       float64           // change of printed level, in steps
	From        float64           // the printed level that it starts from
	Swells      bool              // the page goes away and comes back inside the stretch, by Page.Swell
	Size        float64           // 0 to 1, from both movements
	Probability float64           // of a stretch: the model's, 0 to 1, before it is held against labelled rows
	Confidence  float64           // of a stretch: how often such a verdict is right, 0 to 1, seen from the careful side; of its weakest ground
	Certainty   tonal.Certainty   // of a stretch: Confidence in words
	Grounds     []Ground          // of a stretch: what its certainty comes from
}

// Thresholds of the verdicts; our own choice, common practice gives no numbers.
const (
	peakMove    = 1.0  // steps from which another place is the phrase's loudest: a mark, not a nuance
	fullTension = 50.0 // the change that counts as full size
	fullLevel   = 3.0  // p to f
	accentMove  = 10.0 // a dissonance that lets go by this much after an accent
)

// Tolerance is how far a printed change may stand from the harmony's and still
// meet it: one beat of the measure at t (a dotted quarter in 6/8), on either side. It counts once: where
// two stretches meet, it belongs to the one whose harmony it goes with.
func Tolerance(s *score.Score, t score.Tick) score.Tick {
	return s.BeatAt(t)
}

// Judge lays the printed levels over the harmony's tension. Verdicts are in
// order of time. Without moments of tension there are none.
func Judge(s *score.Score, a *harmony.Analysis, p *page.Page) []Verdict {
	if a == nil || len(a.Moments) == 0 || len(s.Measures) == 0 {
		return nil
	}
	j := newJudge(s, a, p)
	for _, st := range j.stretches() {
		j.out = append(j.out, j.alike(st))
	}
	j.accents()
	for _, ph := range j.phrases() {
		j.peak(ph)
		j.taper(ph)
	}
	j.contrasts()
	sort.SliceStable(j.out, func(x, y int) bool { return j.out[x].Start < j.out[y].Start })
	return j.out
}

func newJudge(s *score.Score, a *harmony.Analysis, p *page.Page) *judge {
	m, _ := direction() // the table is part of the program: a test reads it
	j := &judge{s: s, a: a, p: p, model: m, beats: beatTension(s, a), prints: page.Fingerprints(s), alikeTo: map[uint64][]int{}}
	for k, print := range j.prints {
		j.alikeTo[print] = append(j.alikeTo[print], k)
	}
	return j
}

type judge struct {
	s      *score.Score
	a      *harmony.Analysis
	p      *page.Page
	model  *Model
	beats  []beat
	prints []uint64 // of the measures; page.Fingerprints
	out    []Verdict

	alikeTo map[uint64][]int // measures by their print, in order
}

// beat is the mean tension of one beat.
type beat struct {
	at, end score.Tick
	tension float64
	silent  bool
}

// beatTension averages the moments' tension over each beat.
func beatTension(s *score.Score, a *harmony.Analysis) []beat {
	var out []beat
	for _, m := range s.Measures {
		at := append(m.Every(m.Beat(s.Division)), m.End())
		for i := 1; i < len(at); i++ {
			out = append(out, beat{at: at[i-1], end: at[i]})
		}
	}
	i := 0
	for k := range out {
		b := &out[k]
		for i < len(a.Moments) && a.Moments[i].End <= b.at {
			i++
		}
		b.tension, b.silent = meanTension(a.Moments[i:], b.at, b.end)
	}
	for k := range out {
		if out[k].silent && k > 0 {
			out[k].tension = out[k-1].tension
		}
	}
	return out
}

func meanTension(ms []tension.Moment, from, to score.Tick) (float64, bool) {
	sum, weight := 0.0, 0.0
	for _, m := range ms {
		if m.Start >= to {
			break
		}
		w := float64(min(m.End, to) - max(m.Start, from))
		if m.Chord >= 0 && w > 0 {
			sum, weight = sum+w*m.Tension.Total, weight+w
		}
	}
	if weight == 0 {
		return 0, true
	}
	return sum / weight, false
}

// phrases are the analysis's, or the whole piece as one.
func (j *judge) phrases() []phrasing.Phrase {
	if len(j.a.Phrases) > 0 {
		return j.a.Phrases
	}
	return []phrasing.Phrase{{Start: 0, End: j.s.Length(), Cadence: -1}}
}

func (j *judge) beatAt(t score.Tick) int {
	i := sort.Search(len(j.beats), func(i int) bool { return j.beats[i].at > t }) - 1
	return min(max(i, 0), len(j.beats)-1)
}

// size is 0 to 1 from both movements; a movement of zero gives the other half the weight.
func size(tension, level float64) float64 {
	t := min(math.Abs(tension)/fullTension, 1)
	l := min(math.Abs(level)/fullLevel, 1)
	return math.Round(100*(t+l)/2) / 100
}
