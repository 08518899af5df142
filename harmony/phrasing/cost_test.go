package phrasing

import (
	"math"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// Phrases of four and eight whole measures cost nothing, of two and of other numbers their
// own, split measures most, in measured music those of the nearest number and their own:
// common practice, no source. A length twice or half the usual
// costs the same, and four times four times that.
func TestLengthsCost(t *testing.T) {
	w := Weights{Broken: 5, Two: 2, Odd: 1, Length: 3, Open: 7}
	for bars, want := range map[float64]float64{1: 1, 2: 2, 3: 1, 4: 0, 5: 1, 7: 1, 8: 0, 9: 1, 16: 1, 4.005: 0, 4.02: 5, 3.98: 5, 2.5: 5} {
		if got := w.measureCost(bars); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v measures cost %v, want %v", bars, got, want)
		}
	}
	w.Bars = true // an upbeat more or less
	for bars, want := range map[float64]float64{2: 2, 1.75: 2, 3: 1, 4: 0, 3.75: 5, 8.25: 5, 4.5: 6, 9.25: 6} {
		if got := w.measureCost(bars); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v measures with upbeats cost %v, want %v", bars, got, want)
		}
	}
	for ratio, want := range map[float64]float64{1: 0, 2: 3, 0.5: 3, 4: 12, 0.25: 12, 0: 108} { // no shorter than 1/64
		if got := w.lengthCost(ratio); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v times the usual length costs %v, want %v", ratio, got, want)
		}
	}
	for _, c := range []struct {
		name string
		b    boundary
		bars float64
		want float64
	}{
		{"two open", boundary{}, 2, 7}, {"up to two and a half", boundary{}, 2.5, 7}, {"more", boundary{}, 2.6, 0},
		{"just clear", boundary{closing: clearClose, from: 1}, 2, 0}, {"unclear", boundary{closing: clearClose - 0.01, from: 1}, 2, 7},
		{"its close begins the phrase", boundary{closing: 1, from: 0}, 2, 7},
	} {
		if got := w.openCost(&c.b, 0, c.bars); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	b := boundary{gain: 1, closing: 0.5, from: 10}
	w.Cadence = 4
	for start, want := range map[score.Tick]float64{9: 3, 10: 1, 11: 1} {
		if got := w.odds(&b, start); math.Abs(got-want) > 1e-9 {
			t.Errorf("a phrase from %d: odds %v, want %v", start, got, want)
		}
	}
}

// The best cut takes the marks it can get at the least cost; usual lengths are four and
// eight measures, or 8, 12 and 16 beats.
func TestBestCut(t *testing.T) {
	w := Weights{Bars: true, Broken: 3, Odd: 2, Two: 2, Length: 1}
	list := []boundary{{at: 0}}
	for m := 1; m <= 12; m++ {
		list = append(list, boundary{at: score.Tick(16 * m), gain: -0.5})
	}
	list[4].gain, list[9].gain = 1, 1.5 // eight measures would do for the second
	v := placed(bars44(12), nil)
	ends, gain := w.bestCut(list, v.places(list), 4)
	if len(ends) != 3 || ends[0] != 4 || ends[1] != 8 || ends[2] != 12 || math.Abs(gain-(1-0.5-0.5)) > 1e-9 {
		t.Errorf("cut at %v for %.2f, want 4, 8 and 12", ends, gain)
	}
	list[9].gain = 7 // now nothing holds against it
	if ends, _ := w.bestCut(list, v.places(list), 4); len(ends) < 3 || ends[1] != 9 {
		t.Errorf("cut at %v, want one at 9", ends)
	}
	if got := (Weights{}).usualLengths(); len(got) != 3 || math.Abs(got[0]-8)+math.Abs(got[1]-12)+math.Abs(got[2]-16) > 1e-9 {
		t.Errorf("beats %v", got)
	}
	if got := w.usualLengths(); len(got) != 2 || math.Abs(got[0]-4)+math.Abs(got[1]-8) > 1e-9 {
		t.Errorf("measures %v", got)
	}
}

// How far a moment is from the start, each measure in its own metre.
func TestPlaces(t *testing.T) {
	s := bars44(2)
	s.Measures = append(s.Measures, score.Measure{Start: 32, Length: 12, Nominal: 12, Beats: 6, BeatUnit: 8})
	list := []boundary{{at: 0}, {at: 8}, {at: 16}, {at: 32}, {at: 38}, {at: 44}}
	for i, want := range []spot{{0, 0}, {2, 0.5}, {4, 1}, {8, 2}, {9, 2.5}, {10, 3}} {
		if got := placed(s, nil).places(list)[i]; math.Abs(got.beats-want.beats)+math.Abs(got.bars-want.bars) > 1e-9 {
			t.Errorf("at %d: %+v, want %+v", list[i].at, got, want)
		}
	}
	for length, want := range map[score.Tick]float64{16: 0.0625, 1: 1, 0: 1} { // one tick of a measure without a metre
		if got := (spot{}).add(score.Measure{Length: length}, 1, 4).bars; math.Abs(got-want) > 1e-9 {
			t.Errorf("a tick of %d is %v measures, want %v", length, got, want)
		}
	}
}

// Fermatas at three moments at least, and one every six measures, make a chorale.
func TestChoralesAreHeld(t *testing.T) {
	for _, c := range []struct {
		bars  int
		holds []score.Tick
		want  bool
	}{{18, []score.Tick{16, 32, 48}, true}, {19, []score.Tick{16, 32, 48}, false}, {4, []score.Tick{16, 32}, false}, {4, []score.Tick{16, 16, 32}, false}, {4, nil, false}} {
		s := bars44(c.bars)
		for _, at := range c.holds {
			s.Fermatas = append(s.Fermatas, score.Fermata{Place: score.Place{At: at}})
		}
		if got := !WeightsFor(s).Bars; got != c.want {
			t.Errorf("%d measures, held at %v: a chorale %v", c.bars, c.holds, got)
		}
	}
}

// Candidates without a mark inside measures are dropped; the first, the last, downbeats,
// marks and closes stay.
func TestThin(t *testing.T) {
	v := placed(bars44(3), nil)
	v.w.None = -2
	list := []boundary{{at: 2, gain: -2}, {at: 4, gain: -2}, {at: 5, gain: -1.9}, {at: 6, gain: -1.89}, {at: 7, gain: -2, closing: 0.02}, {at: 8, gain: -2, closing: 0.03}, {at: 16, gain: -2}, {at: 20, gain: -2}}
	var got []string
	for _, b := range v.thin(list) {
		got = append(got, string(rune('a'+b.at)))
	}
	if s := strings.Join(got, ""); s != "cgiqu" { // 2 6 8 16 20
		t.Errorf("kept %v", s)
	}
}

// A formula is told from a confidence that hangs on what stands behind it: where a phrase
// ends on it from none on.
func TestLeastConfidence(t *testing.T) {
	for _, c := range []struct {
		name string
		c    candidate
		want float64
	}{
		{"a phrase ends with a plain one", candidate{cadence: Cadence{Kind: Half}, ends: true, plain: true}, 0},
		{"a plain one inside", candidate{cadence: Cadence{Kind: Half}, plain: true}, leastCadence},
		{"a phrase ends with another", candidate{cadence: Cadence{Kind: Half}, ends: true}, leastAtEnd},
		{"the tonic withheld", candidate{cadence: Cadence{Kind: Deceptive}}, leastWithheld}, {"evaded", candidate{cadence: Cadence{Kind: Evaded}, ends: true}, leastWithheld},
		{"turned to minor", candidate{cadence: Cadence{Kind: Deceptive}, turned: true}, leastTurned},
	} {
		if got := c.c.least(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	if !(0 < leastTurned && leastTurned < leastWithheld && leastWithheld < leastAtEnd && leastAtEnd < leastCadence && leastCadence < 0.5) {
		t.Error("the bounds are out of order")
	}
}

// A pause in words, the strongest first, each from its own bound on; marks add their weight.
func TestPauseWords(t *testing.T) {
	for _, c := range []struct {
		r    rest
		want string
	}{
		{rest{}, ""}, {rest{fermata: true, slur: true, bar: true}, "fermata, double bar or repeat, slur ends"},
		{rest{all: 0.61}, "rest"}, {rest{all: 0.6}, ""}, {rest{lead: 0.5}, "rest"}, {rest{lead: 0.49}, ""},
		{rest{long: 0.5}, "long note"}, {rest{long: 0.49}, ""}, {rest{stop: 0.5}, "the words pause"}, {rest{stop: -1}, ""},
	} {
		if got := strings.Join(c.r.words(), ", "); got != c.want {
			t.Errorf("%+v: %q", c.r, got)
		}
	}
	w := Weights{Lead: 1, All: 2, Long: 4, Held: -8, Text: 16, Fermata: 32, Slur: 64, Bar: 128}
	for _, c := range []struct {
		r    rest
		want float64
	}{{rest{}, 0}, {rest{lead: 1}, 1}, {rest{all: 1}, 2}, {rest{long: 1}, 4}, {rest{held: 1}, -8}, {rest{stop: 1}, 16}, {rest{fermata: true}, 32}, {rest{slur: true}, 64}, {rest{bar: true}, 128},
		{rest{lead: 1, all: 1, long: 1, held: 1, stop: 1, fermata: true, slur: true, bar: true}, 239}} {
		if got := w.strength(c.r); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %v, want %v", c.r, got, c.want)
		}
	}
}

// When the music stops for all, and when it begins anew after that: each mark alone does.
func TestStopsAndRests(t *testing.T) {
	v := &surface{}
	for _, c := range []struct {
		r            rest
		stops, rests bool
	}{
		{rest{}, false, false}, {rest{fermata: true}, true, true}, {rest{bar: true}, true, true}, {rest{stop: 0.5}, true, true},
		{rest{lead: 0.5}, true, false}, {rest{lead: 0.4}, false, false}, {rest{all: 0.5}, true, false}, {rest{all: 0.4}, false, false},
		{rest{all: 0.5, lead: 1}, true, true}, {rest{all: 0.5, lead: 0.9}, true, false}, {rest{all: 0.4, lead: 1}, true, false},
		{rest{all: 0.5, long: longLast}, true, true}, {rest{all: 0.5, long: longLast - 0.1}, true, false}, {rest{slur: true, held: 1}, false, false},
	} {
		if v.stops(c.r) != c.stops || v.rests(c.r) != c.rests {
			t.Errorf("%+v: stops %v, rests %v", c.r, v.stops(c.r), v.rests(c.r))
		}
	}
}

// A half cadence passes over into an authentic one that is likely and comes right after; a
// sure close within two measures of the end leads on; a link is no longer than its chord and
// half a measure.
func TestWhatGoesOn(t *testing.T) {
	s, chords := written.Chorale{Chords: "I:4 V:4 I:4 I:4 IV:4", Soprano: "3 2 1 1 1"}.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
	half := Cadence{Kind: Half, Chord: 1, At: 16}
	for _, c := range []struct {
		name       string
		half, next Cadence
		want       bool
	}{
		{"likely", half, Cadence{Kind: PerfectAuthentic, At: 32, Confidence: leastCadence}, true},
		{"unlikely", half, Cadence{Kind: PerfectAuthentic, At: 32, Confidence: leastCadence - 0.01}, false},
		{"later", half, Cadence{Kind: PerfectAuthentic, At: 33, Confidence: 1}, false},
		{"deceptive", half, Cadence{Kind: Deceptive, At: 32, Confidence: 1}, false},
		{"from an authentic one", Cadence{Kind: ImperfectAuthentic, Chord: 1}, Cadence{Kind: PerfectAuthentic, At: 32, Confidence: 1}, false},
	} {
		if got := a.passes(c.half, c.next); got != c.want {
			t.Errorf("passes, %s: %v", c.name, got)
		}
	}
	for _, c := range []struct {
		name string
		c    Cadence
		end  score.Tick
		want bool
	}{
		{"two measures", Cadence{Kind: PerfectAuthentic, At: 32, Confidence: sureClose}, 64, true}, {"three", Cadence{Kind: PerfectAuthentic, At: 32, Confidence: sureClose}, 80, false},
		{"unsure", Cadence{Kind: PerfectAuthentic, At: 32, Confidence: sureClose - 0.01}, 64, false}, {"half", Cadence{Kind: Half, At: 32, Confidence: 1}, 64, false},
	} {
		if got := a.leadsOn(v, c.c, c.end); got != c.want {
			t.Errorf("leads on, %s: %v", c.name, got)
		}
	}
	f := formula{turn: turn{from: tonal.Numeral{Degree: 5}, i: 1}, kind: Half}
	for _, c := range []struct {
		name string
		kind CadenceKind
		end  score.Tick
		want bool
	}{
		{"at once", Half, 32, false}, {"a beat", Half, 36, true}, {"half a measure", Half, 40, true}, {"more", Half, 41, false},
		{"authentic", PerfectAuthentic, 36, true}, {"deceptive", Deceptive, 36, false},
	} {
		f.kind = c.kind
		if got := a.linked(v, f, c.end); got != c.want {
			t.Errorf("linked, %s: %v", c.name, got)
		}
	}
	f.kind, f.to.Inversion = PerfectAuthentic, 1
	if a.linked(v, f, 36) {
		t.Error("linked after an inverted tonic")
	}
}
