package phrasing

import (
	"math"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Sign is one thing that speaks for or against a formula closing.
type Sign int

// The signs: 1 if they hold and 0 if not, unless stated. Those from LeadRests on
// tell of the pause and the phrase, the others of harmony and metre.
const (
	Always         Sign = iota
	Downbeat            // the last chord starts a measure
	MidMeasure          // it starts in the middle of a measure of two or four beats
	Outlasts            // how much longer it lasts than the chord before, at most a measure: octaves, -3 to 3
	FourthMeasure       // it starts in the fourth of four measures, counted from a double bar
	FirstMeasure        // in the first of four
	KeySure             // probability of the key, less 0.8
	PauseBefore         // log-odds of the pause before the last chord
	Returns             // a passage that comes back starts with the last chord
	SixFour             // a cadential six-four leads to the dominant
	SixFourWeak         // a six-four, and the last chord does not start a measure
	Roots               // authentic: dominant and tonic in root position
	Prepared            // authentic, withheld: ii, IV, an augmented sixth or V/V before the dominant
	Grounded            // authentic: both of these
	TonicInverted       // authentic, withheld: the tonic's third is in the bass
	OnTop               // authentic: both roots in the bass, the tonic on top; half: a tone of V on top; withheld: the tonic on top
	InPassing           // authentic: in the key of an applied chord
	Applied             // half: from the dominant of the dominant
	AugmentedSixth      // half: from an augmented sixth
	SeventhAtOnce       // half: the chord's seventh sounds within a beat
	SeventhChord        // half: the chord has a seventh
	LeadsOn             // half: the dominant goes on and gains a seventh
	Rival               // half: log-odds that the tonic after it closes, if above 0
	BassUp              // withheld: the cadence is deceptive
	Again               // withheld: a perfect authentic close follows within four measures
	LeadRests           // silence of the leading line after it, in beats, at most 1
	AllRest             // share of the lines that pause after it
	SlurEnds
	BarAfter     // double bar or repeat sign
	ReturnsAfter // a passage that comes back starts after it
	EndsPhrase
	FillsPhrase // it starts in the fourth or eighth measure of its phrase
	EarlyPhrase // it starts in the first two measures of its phrase
	Fermata     // over the last chord
	Final       // the music ends with it
	signCount
)

// String is the sign's name in this package.
func (s Sign) String() string {
	return [signCount]string{
		"Always", "Downbeat", "MidMeasure", "Outlasts", "FourthMeasure", "FirstMeasure", "KeySure", "PauseBefore",
		"Returns", "SixFour", "SixFourWeak", "Roots", "Prepared", "Grounded", "TonicInverted", "OnTop",
		"InPassing", "Applied", "AugmentedSixth", "SeventhAtOnce", "SeventhChord", "LeadsOn", "Rival", "BassUp", "Again", "LeadRests",
		"AllRest", "SlurEnds", "BarAfter", "ReturnsAfter", "EndsPhrase", "FillsPhrase", "EarlyPhrase", "Fermata",
		"Final",
	}[s]
}

// Signs are the values of all signs, or the log-odds that each adds.
type Signs [signCount]float64

func (s Signs) sum(w Signs, from, to Sign) float64 {
	x := 0.0
	for i := from; i < to; i++ {
		x += s[i] * w[i]
	}
	return x
}

// Closing is a formula with the signs that it closes, for fitting their weights.
type Closing struct {
	At, End score.Tick // of its last chord
	Kind    CadenceKind
	Signs   Signs
}

// Closings lists the formulas weighed by signs, authentic and half, with or
// without a close, as [FindPhrases] with the same arguments sees them.
func Closings(s *score.Score, part int, chords []tonal.Chord, phrases []Phrase, w Weights) []Closing {
	a := &piece{Chords: chords, Phrases: phrases}
	v := newSurface(s, part, w)
	if len(v.lines) == 0 || len(s.Measures) == 0 || len(a.Phrases) == 0 {
		return nil
	}
	list := a.endings(v)
	var out []Closing
	j := 0
	for k := range list {
		e := &list[k]
		for j < len(a.Phrases)-1 && a.Phrases[j].End <= a.Chords[e.i].Start {
			j++
		}
		if e.weighed() {
			a.pauseSigns(v, e, a.Phrases[j])
			out = append(out, Closing{a.Chords[e.i].Start, a.Chords[e.i].End, e.kind, e.signs})
		}
	}
	return out
}

// weighed reports whether signs decide about the formula.
func (f formula) weighed() bool { return f.kind != Plagal }

// isWithheld reports whether the tonic is withheld.
func (f formula) isWithheld() bool { return f.kind == Deceptive || f.kind == Evaded }

// isHalf reports whether the formula ends on the dominant.
func (f formula) isHalf() bool { return f.kind.IsHalf() }

func truth(x bool) float64 {
	if x {
		return 1
	}
	return 0
}

// harmonySigns gathers what harmony and metre say about a formula.
func (a *piece) harmonySigns(v *surface, f formula) Signs {
	c := a.Chords[f.i]
	start := a.arrives(v, f)
	weight, four := v.s.Weight(start), v.fourth(start)
	before := min(a.Chords[f.p].Duration()-(c.Start-start), v.s.Measures[v.s.MeasureAt(start)].Length) // a pedal point tells no more
	length := float64(a.extent(f.i)-start) / float64(max(before, 1))
	s := Signs{
		Always: 1, Downbeat: truth(weight == 1), MidMeasure: truth(weight == 0.6),
		Outlasts:      math.Max(-3, math.Min(3, math.Log2(math.Max(length, 0.1)))),
		FourthMeasure: truth(four == 3), FirstMeasure: truth(four == 0), KeySure: c.KeyConfidence - 0.8,
		PauseBefore: math.Min(v.w.strength(v.restAt(c.Start)), 3), Returns: truth(v.parallels[c.Start]),
		SixFour: truth(f.sixFour), SixFourWeak: truth(f.sixFour && weight < 1),
	}
	switch {
	case f.isHalf():
		a.halfSigns(v, f, &s)
	case f.isWithheld():
		a.withheldSigns(v, f, &s)
	default:
		a.authenticSigns(f, &s)
	}
	return s
}

func (a *piece) authenticSigns(f formula, s *Signs) {
	roots, prepared := truth(f.roots()), truth(a.prepared(f))
	s[Roots], s[Prepared], s[Grounded] = roots, prepared, roots*prepared
	s[TonicInverted] = truth(f.to.Inversion != 0)
	s[OnTop] = truth(f.kind == PerfectAuthentic)
	s[InPassing] = truth(a.Chords[f.i].Key != f.key)
}

func (a *piece) withheldSigns(v *surface, f formula, s *Signs) {
	s[Prepared], s[BassUp] = truth(a.prepared(f)), truth(f.kind == Deceptive)
	s[TonicInverted] = truth(isTonic(f.to))
	s[OnTop] = truth(v.comesToTop(a.Chords[f.i].Start, a.extent(f.i), f.key.Tonic, a.Chords[f.i].Tones))
	s[InPassing] = truth(a.Chords[f.i].Key != f.key)
}

func (a *piece) halfSigns(v *surface, f formula, s *Signs) {
	c := a.Chords[f.i]
	s[Applied] = truth(f.from.Target == 5 && !f.from.Quality.AugmentedSixth())
	s[AugmentedSixth] = truth(f.from.Quality.AugmentedSixth())
	s[SeventhChord] = truth(c.Quality.Seventh())
	s[SeventhAtOnce] = truth(c.Quality.Seventh() && v.attacks(c.Tones[3], c.Start, min(c.Start+v.beat, c.End)))
	s[LeadsOn] = truth(a.gainsSeventh(f.i))
	if n, ok := v.topAt(c.Start); ok {
		for _, tone := range c.Tones[:3] {
			if v.s.Notes[n].Pitch.Class().PC() == tone.PC() {
				s[OnTop] = 1
			}
		}
	}
}

// pauseSigns adds what the pause after a formula and its phrase say.
func (a *piece) pauseSigns(v *surface, e *ending, p Phrase) {
	start, end := a.Chords[e.i].Start, a.afterClose(v, e.formula)
	r := e.rest
	bars := v.barsFrom(p.Start, start)
	s := &e.signs
	s[LeadRests], s[AllRest] = math.Min(r.lead, 1), math.Max(r.all, r.stop) // what accompanies a singer goes on
	s[SlurEnds], s[BarAfter], s[Fermata] = truth(r.slur), truth(r.bar), truth(r.fermata)
	s[ReturnsAfter] = truth(v.parallels[e.at] || v.parallels[end])
	s[EndsPhrase] = truth(p.End > start && p.End <= end)
	s[FillsPhrase], s[EarlyPhrase] = truth(bars == 3 || bars == 7), truth(bars <= 1)
	s[Final] = truth(end >= v.end)
}

// roots reports whether an authentic formula has both roots in the bass.
func (f formula) roots() bool {
	return f.from.Degree == 5 && f.from.Inversion == 0 && f.to.Inversion == 0
}

// prepared reports whether a predominant stands before the dominant of an
// authentic formula, a six-four between them not counted.
func (a *piece) prepared(f formula) bool {
	p := a.previous(f.p)
	if p < 0 {
		return false
	}
	n, ok := readIn(a.Chords[p], f.key)
	return ok && (n.Target == 5 || n.Target == 0 && (n.Degree == 2 || n.Degree == 4) || n.Quality.AugmentedSixth())
}

// attacks reports whether a pitch class is struck between two moments.
func (v *surface) attacks(tone score.Class, from, to score.Tick) bool {
	notes := v.s.Notes
	for i := sort.Search(len(notes), func(i int) bool { return notes[i].Onset >= from }); i < len(notes) && notes[i].Onset < to; i++ {
		if notes[i].Pitched() && notes[i].Pitch.Class() == tone {
			return true
		}
	}
	return false
}

// fourth is the place of a moment's measure in groups of four, 0 to 3, counted
// from the last double bar or repeat sign before it, or from the start.
func (v *surface) fourth(t score.Tick) int {
	from := v.first
	if i := sort.Search(len(v.bars), func(i int) bool { return v.bars[i] > t-v.beat }) - 1; i >= 0 {
		from = v.bars[i]
	}
	return v.barsFrom(from, t) % 4
}

// barsFrom counts the measures completed from one moment to another, those that
// are split counted once. A start in the second half of a measure is an upbeat.
func (v *surface) barsFrom(from, to score.Tick) int {
	i := v.s.MeasureAt(from)
	m := v.s.Measures[i]
	start := v.passed[i]
	if whole := max(m.Nominal, m.Length); from > m.Start && 2*(m.End()-from) <= whole || m.Pickup {
		start = v.passed[i+1]
	}
	j := v.s.MeasureAt(to)
	part := float64(to-v.s.Measures[j].Start) / float64(max(v.s.Measures[j].Nominal, v.s.Measures[j].Length, 1))
	return max(0, int(math.Floor(v.passed[j]+part-start+0.01)))
}

// sonataAuthentic, sonataHalf and sonataWithheld are fitted by tools/fit/phrases on the cadences
// marked in 30 movements of ten of Mozart's sonatas (Hentschel, Neuwirth & Rohrmeier
// 2021, The Annotated Mozart Sonatas; CC BY-NC-SA 4.0, title and licence from
// memory), of which nothing is kept but these numbers. Fermata and Final are set
// by hand: the sonatas cannot tell.
func sonataAuthentic() Signs {
	return Signs{
		Always: -5.5, Downbeat: 0.6, MidMeasure: 0.2, Outlasts: 0.5, FourthMeasure: 0.6, FirstMeasure: -0.5,
		PauseBefore: -0.3, Returns: 0.5, SixFour: 1.3, SixFourWeak: -0.2, Roots: 0.8, Prepared: 0.8, Grounded: 1.3,
		TonicInverted: -0.6, OnTop: 1.5, InPassing: -0.5, LeadRests: 0.3, AllRest: 0.7, BarAfter: -0.2,
		ReturnsAfter: 0.2, EndsPhrase: 0.4, FillsPhrase: 0.4, EarlyPhrase: -0.8, Fermata: 5, Final: 4,
	}
}

func sonataHalf() Signs {
	return Signs{
		Always: -2.8, Downbeat: 0.5, MidMeasure: -0.1, Outlasts: 0.2, FourthMeasure: 0.4, FirstMeasure: -0.4,
		KeySure: 0.6, PauseBefore: -0.3, Returns: -0.1, SixFour: 0.3, SixFourWeak: 1.2, OnTop: 0.3, Applied: 0.6,
		AugmentedSixth: 1.2, SeventhAtOnce: -0.9, SeventhChord: -0.6, LeadsOn: -0.6, Rival: -1.1, LeadRests: 0.1,
		AllRest: 0.9, SlurEnds: -0.1, BarAfter: -0.2, ReturnsAfter: 0.5, EndsPhrase: 0.7, FillsPhrase: 0.5,
		EarlyPhrase: -0.3, Fermata: 5, Final: 4,
	}
}

func sonataWithheld() Signs {
	return Signs{
		Always: -3.6, Downbeat: 0.5, MidMeasure: -0.6, Outlasts: 0.5, FourthMeasure: -0.2, FirstMeasure: 0.1,
		KeySure: 0.1, PauseBefore: 0.2, Returns: 0.5, SixFour: 0.9, SixFourWeak: 0.1, Prepared: 0.5,
		TonicInverted: -0.3, OnTop: 0.1, InPassing: -0.1, BassUp: 0.3, Again: 0.6, LeadRests: -0.1, AllRest: -0.2,
		SlurEnds: -0.1, ReturnsAfter: -0.2, EndsPhrase: 0.5, FillsPhrase: 0.4, EarlyPhrase: 0.1, Fermata: 4, Final: 3,
	}
}

// choraleAuthentic, choraleHalf and choraleWithheld are set by hand: no kinds of cadence are marked
// in the chorales.
func choraleAuthentic() Signs {
	return Signs{
		Always: -4.1, Downbeat: 0.8, MidMeasure: 0.3, Outlasts: 0.3, Returns: -1.5, SixFour: 1.5, Roots: 2.5, OnTop: 0.7,
		InPassing: -1, LeadRests: 0.3, AllRest: 1, SlurEnds: 0.8, BarAfter: 3, EndsPhrase: 2.5, Fermata: 5, Final: 3,
	}
}

func choraleWithheld() Signs {
	return Signs{
		Always: -3.5, Downbeat: 0.8, SixFour: 1.5, Prepared: 1.5, BassUp: 1, InPassing: -1,
		LeadRests: 0.3, AllRest: 1, SlurEnds: 0.8, EndsPhrase: 1.5, Fermata: 4, Final: 3,
	}
}

func choraleHalf() Signs {
	return Signs{
		Always: -2.7, Downbeat: 0.8, MidMeasure: 0.3, Returns: -1.5, SixFour: 1.5, SeventhChord: -1.5, LeadsOn: -3,
		LeadRests: 0.3, AllRest: 1, SlurEnds: 0.8, BarAfter: 3, EndsPhrase: 2.5, Fermata: 5, Final: 3,
	}
}
