package phrasing

import (
	"math"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// heardAs is the formula that ends on a chord of a chorale, with its signs.
func heardAs(t *testing.T, chords, soprano string, i int, change ...func(*score.Score, []tonal.Chord)) (*piece, *surface, formula, Signs) {
	t.Helper()
	s, list := written.Chorale{Chords: chords, Soprano: soprano}.Write(t, tonal.Key{})
	for _, c := range change {
		c(s, list)
	}
	a, v := &piece{Chords: list}, newSurface(s, 0, DefaultWeights())
	f := a.formulaAt(v, i)
	return a, v, f, a.harmonySigns(v, f)
}

// The signs of harmony and metre as the doc of each states them: common practice, no source.
func TestHarmonySigns(t *testing.T) {
	for _, x := range []struct {
		name, chords, soprano string
		i                     int
		sign                  Sign
		want                  float64
	}{
		{"on the downbeat", "I:2 V7:2 I:4", "3 2 1", 2, Downbeat, 1},
		{"in mid-measure", "I:1 V7:1 I:2 I:4", "3 2 1 1", 2, Downbeat, 0},
		{"in mid-measure", "I:1 V7:1 I:2 I:4", "3 2 1 1", 2, MidMeasure, 1},
		{"on the downbeat", "I:2 V7:2 I:4", "3 2 1", 2, MidMeasure, 0},
		{"twice as long as the dominant", "I:2 V7:2 I:4", "3 2 1", 2, Outlasts, 1},
		{"as long", "I:2 V7:2 I:2 IV:2", "3 2 1 1", 2, Outlasts, 0},
		{"half as long", "I:2 V7:2 I:1 IV:3", "3 2 1 1", 2, Outlasts, -1},
		{"in the first of four measures", "V7:2 I:2 I:4", "2 1 1", 1, FirstMeasure, 1},
		{"in the second", "I:2 V7:2 I:4", "3 2 1", 2, FirstMeasure, 0},
		{"in the fourth", "I:8 V7:4 I:4", "3 2 1", 2, FourthMeasure, 1},
		{"in the third", "I:4 V7:4 I:4", "3 2 1", 2, FourthMeasure, 0},
		{"in the fifth: a first again", "I:8 IV:4 V7:4 I:4", "3 1 2 1", 3, FirstMeasure, 1},
		{"both roots in the bass", "I:2 V7:2 I:4", "3 2 1", 2, Roots, 1},
		{"the dominant inverted", "I:2 V65:2 I:4", "3 2 1", 2, Roots, 0},
		{"the tonic inverted", "I:2 V7:2 I6:4", "3 2 1", 2, Roots, 0},
		{"the tonic inverted", "I:2 V7:2 I6:4", "3 2 1", 2, TonicInverted, 1},
		{"the tonic in root position", "I:2 V7:2 I:4", "3 2 1", 2, TonicInverted, 0},
		{"with a predominant", "I ii6 V7:2 I:4", "3 2 2 1", 3, Prepared, 1},
		{"with a predominant in root position", "I ii6 V7:2 I:4", "3 2 2 1", 3, Grounded, 1},
		{"with a predominant, inverted", "I ii6 V65:2 I:4", "3 2 2 1", 3, Grounded, 0},
		{"without one", "I:2 V7:2 I:4", "3 2 1", 2, Prepared, 0},
		{"by the dominant's dominant", "I V7/V V7:2 I:4", "3 1 2 1", 3, Prepared, 1},
		{"by another applied dominant", "I V7/IV V7:2 I:4", "3 1 2 1", 3, Prepared, 0},
		{"the tonic on top", "I:2 V7:2 I:4", "3 2 1", 2, OnTop, 1},
		{"the third on top", "I:2 V7:2 I:4", "3 2 3", 2, OnTop, 0},
		{"a six-four before", "I IV Cad64 V7 I:4", "3 4 3 2 1", 4, SixFour, 1},
		{"none before", "I IV ii6 V7 I:4", "3 4 4 2 1", 4, SixFour, 0},
		{"on the downbeat with a six-four", "I IV Cad64 V7 I:4", "3 4 3 2 1", 4, SixFourWeak, 0},
		{"on a weaker beat with a six-four", "Cad64 V7 I:2 I:4", "3 2 1 1", 2, SixFourWeak, 1},
		{"half: by the dominant's dominant", "I:2 V7/V:2 V:4", "1 1 7", 2, Applied, 1},
		{"half: by a predominant", "I:2 IV:2 V:4", "1 1 7", 2, Applied, 0},
		{"half: a triad", "I:2 IV:2 V:4", "1 1 7", 2, SeventhChord, 0},
		{"half: with a seventh", "I:2 IV:2 V7:4", "1 1 4", 2, SeventhChord, 1},
		{"half: its seventh at once", "I:2 IV:2 V7:4", "1 1 4", 2, SeventhAtOnce, 1},
		{"half: a seventh later", "I:2 IV:2 V:2 V7:2", "1 1 7 4", 2, LeadsOn, 1},
		{"half: no seventh later", "I:2 IV:2 V:2 V6:2", "1 1 7 2", 2, LeadsOn, 0},
		{"half: a tone of it on top", "I:2 IV:2 V:4", "1 1 7", 2, OnTop, 1},
		{"half: another tone on top", "I:2 IV:2 V:4", "1 1 1", 2, OnTop, 0},
		{"half: a seventh on top", "I:2 IV:2 V7:4", "1 1 4", 2, OnTop, 0},
		{"deceptive: the bass steps up", "I IV V7:2 vi:4", "3 1 7 1", 3, BassUp, 1},
		{"evaded: it does not", "I ii6 V7:2 I6:4", "3 2 2 5", 3, BassUp, 0},
		{"evaded: the tonic inverted", "I ii6 V7:2 I6:4", "3 2 2 5", 3, TonicInverted, 1},
		{"deceptive: no tonic", "I IV V7:2 vi:4", "3 1 7 1", 3, TonicInverted, 0},
		{"deceptive: the tonic on top", "I IV V7:2 vi:4", "3 1 7 1", 3, OnTop, 1},
		{"deceptive: the third on top", "I IV V7:2 vi:4", "3 1 7 3", 3, OnTop, 0},
		{"the tonic closes", "I:2 V7:2 I:4", "3 2 1", 2, Always, 1},
	} {
		_, _, f, got := heardAs(t, x.chords, x.soprano, x.i)
		if f.kind == "" || math.Abs(got[x.sign]-x.want) > 1e-9 {
			t.Errorf("%s (%s): %q, %s is %v, want %v", x.name, x.chords, f.kind, x.sign, got[x.sign], x.want)
		}
	}
	for s := range signCount {
		if s.String() == "" {
			t.Errorf("sign %d has no name", s)
		}
	}
}

// The surety of a key counts from 0.8 on; a dominant or tonic much longer than the other
// counts as eight times at most.
func TestSignsOfLength(t *testing.T) {
	_, _, _, got := heardAs(t, "I:2 V7:2 I:4", "3 2 1", 2, func(_ *score.Score, c []tonal.Chord) { c[2].KeyConfidence = 0.9 })
	if math.Abs(got[KeySure]-0.1) > 1e-9 {
		t.Errorf("a key sure to 0.9 tells %v", got[KeySure])
	}
	for d, want := range map[score.Tick]float64{32: 2, 64: 3, 128: 3} {
		_, _, _, got := heardAs(t, "I:2 V7:2 I:4", "3 2 1", 2, func(_ *score.Score, c []tonal.Chord) { c[2].End = c[2].Start + d })
		if math.Abs(got[Outlasts]-want) > 1e-9 {
			t.Errorf("%d after a dominant of 8: outlasts it by %v octaves, want %v", d, got[Outlasts], want)
		}
	}
}

// What the pause after a formula and its place in the phrase tell.
func TestPauseSigns(t *testing.T) {
	s, chords := written.Chorale{Chords: "I:8 I:4 IV:2 V7:2 I:4 IV:4 V7:4 I:4 I:4 IV:4 I:4", Soprano: "3 3 1 2 1 1 2 1 1 1 1"}.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
	at := func(bar int) score.Tick { return score.Tick(16 * (bar - 1)) }
	tells := func(chord int, p Phrase, r rest) Signs {
		e := ending{formula: formula{turn: turn{i: chord, p: chord - 1}, kind: PerfectAuthentic}, rest: r, at: chords[chord].End}
		a.pauseSigns(v, &e, p)
		return e.signs
	}
	for _, c := range []struct {
		name  string
		chord int
		p     Phrase
		sign  Sign
		want  float64
	}{
		{"in the fourth measure of its phrase", 4, Phrase{Start: at(2), End: at(6)}, FillsPhrase, 1},
		{"in the third", 4, Phrase{Start: at(3), End: at(6)}, FillsPhrase, 0},
		{"in the eighth", 7, Phrase{Start: at(1), End: at(12)}, FillsPhrase, 1},
		{"in the second", 4, Phrase{Start: at(4), End: at(6)}, EarlyPhrase, 1},
		{"in the third", 4, Phrase{Start: at(3), End: at(6)}, EarlyPhrase, 0},
		{"the phrase ends with its chord", 4, Phrase{Start: at(1), End: chords[4].End}, EndsPhrase, 1},
		{"the phrase ends inside its chord", 4, Phrase{Start: at(1), End: chords[4].Start + 1}, EndsPhrase, 1},
		{"the phrase ends before its chord", 4, Phrase{Start: at(1), End: chords[4].Start}, EndsPhrase, 0},
		{"the phrase goes on", 4, Phrase{Start: at(1), End: chords[4].End + 1}, EndsPhrase, 0},
		{"the music goes on", 4, Phrase{}, Final, 0},
		{"the music ends", 10, Phrase{}, Final, 1},
	} {
		if got := tells(c.chord, c.p, rest{})[c.sign]; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %s is %v", c.name, c.sign, got)
		}
	}
	got := tells(4, Phrase{}, rest{lead: 1.5, all: 0.4, stop: 0.5, slur: true, bar: true, fermata: true})
	for sign, want := range map[Sign]float64{LeadRests: 1, AllRest: 0.5, SlurEnds: 1, BarAfter: 1, Fermata: 1} {
		if math.Abs(got[sign]-want) > 1e-9 {
			t.Errorf("a pause of all: %s is %v, want %v", sign, got[sign], want)
		}
	}
	for sign, x := range tells(4, Phrase{End: 999}, rest{}) {
		if s := Sign(sign); s >= LeadRests && s != EarlyPhrase && s != FillsPhrase && x > 0 {
			t.Errorf("no pause: %s is %v", s, x)
		}
	}
	v.parallels = map[score.Tick]bool{chords[4].End: true}
	if tells(4, Phrase{}, rest{})[ReturnsAfter] < 1 || tells(5, Phrase{}, rest{})[ReturnsAfter] > 0 {
		t.Error("what comes back after a close is not told")
	}
}

// Measures are counted from where a phrase starts; a start in the second half of a measure,
// or a pickup, is an upbeat to the next. Groups of four count from the last
// double bar, from a beat after it on.
func TestCountOfMeasures(t *testing.T) {
	s := bars44(12)
	v := placed(s, nil)
	for _, c := range []struct{ from, to, want score.Tick }{
		{0, 0, 0}, {0, 15, 0}, {0, 16, 1}, {0, 64, 4}, {7, 64, 4}, {8, 64, 3}, {12, 64, 3}, {16, 64, 3}, {64, 0, 0},
	} {
		if got := v.barsFrom(c.from, c.to); got != int(c.want) {
			t.Errorf("from %d to %d: %d measures, want %d", c.from, c.to, got, c.want)
		}
	}
	v.bars = []score.Tick{32, 96}
	for at, want := range map[score.Tick]int{0: 0, 16: 1, 32: 2, 35: 2, 36: 0, 80: 3, 95: 3, 96: 0, 99: 0, 144: 3, 160: 0} {
		if got := v.fourth(at); got != want {
			t.Errorf("measure at %d is number %d of four, want %d", at, got, want)
		}
	}
	s.Measures[0].Pickup = true
	if got := placed(s, nil).barsFrom(0, 64); got != 3 {
		t.Errorf("after a pickup: %d measures", got)
	}
}

// A sign's word: what speaks most against a formula is said.
func TestDoubts(t *testing.T) {
	with := func(s Sign, x float64) Signs {
		out := Signs{Prepared: 1}
		out[s] = x
		return out
	}
	for _, c := range []struct {
		name string
		e    ending
		want string // its first words, "" none
	}{
		{"half, a rival", ending{formula: formula{kind: Half}, signs: with(Rival, 0.6)}, "the tonic after it"},
		{"half, a weak rival", ending{formula: formula{kind: Half}, signs: with(Rival, 0.5)}, ""},
		{"half, a seventh at once", ending{formula: formula{kind: Half}, signs: with(SeventhAtOnce, 1)}, "its seventh"},
		{"perfect, not prepared", ending{formula: formula{kind: PerfectAuthentic}, signs: with(Prepared, 0)}, "nothing prepares"},
		{"with a six-four", ending{formula: formula{kind: PerfectAuthentic, sixFour: true}, signs: with(Prepared, 0)}, ""},
		{"perfect, in passing", ending{formula: formula{kind: PerfectAuthentic}, signs: with(InPassing, 1)}, "only in a passing key"},
		{"imperfect, not prepared", ending{formula: formula{kind: ImperfectAuthentic}, signs: with(Prepared, 0)}, ""},
		{"perfect, prepared", ending{formula: formula{kind: PerfectAuthentic}, signs: with(Prepared, 1)}, ""},
		{"a seventh in an authentic one", ending{formula: formula{kind: PerfectAuthentic}, signs: with(SeventhAtOnce, 1)}, ""},
	} {
		got := c.e.doubts()
		if (c.want == "") != (len(got) == 0) || len(got) > 0 && !strings.HasPrefix(got[0], c.want) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}
