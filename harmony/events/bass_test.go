package events

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The bass walks by steps of the scale or chromatic semitones, up or down; it does not by a
// third, by an augmented second, on the same key, or to the same key spelled otherwise.
// Common practice, no source.
func TestMoveOfTheBass(t *testing.T) {
	for pair, want := range map[string]int{
		"c3 d3": 1, "d3 c3": -1, "c3 db3": 1, "c3 c#3": 1, "c#3 c3": -1, "e3 f3": 1, "c3 e3": 0, "c3 d#3": 0, "c3 c3": 0, "c#3 db3": 0, "f3 eb3": -1, "b2 c3": 1, "c3 b2": -1, "b3 cb4": 0,
	} {
		s, a := sheet(t, "4/4", "C: I:4", pair)
		if got := newFinder(s, a).move(0, 1); got != want {
			t.Errorf("%s: %d, want %d", pair, got, want)
		}
	}
}

// A walk is steady if no note lasts over twice the shortest; the last may.
func TestSteadyWalk(t *testing.T) {
	walk := func(lengths ...score.Tick) (out []footing) {
		at := score.Tick(0)
		for _, n := range lengths {
			out, at = append(out, footing{start: at, end: at + n}), at+n
		}
		return out
	}
	for _, c := range []struct {
		lengths []score.Tick
		want    bool
	}{{[]score.Tick{12, 24, 12, 12}, true}, {[]score.Tick{12, 25, 12, 12}, false}, {[]score.Tick{12, 12, 12, 99}, true}, {[]score.Tick{25, 12, 12, 12}, false}, {[]score.Tick{12, 12, 25, 12}, false}, {[]score.Tick{24, 12, 12, 6}, true}} {
		if got := steady(walk(c.lengths...)); got != c.want {
			t.Errorf("%v: %v", c.lengths, got)
		}
	}
}

// The lament comes down from the tonic of a minor key to its dominant (Rosand, The Descending
// Tetrachord, 1979, from memory).
func TestLament(t *testing.T) {
	for _, c := range []struct {
		tones string
		step  int
		minor bool
		want  bool
	}{
		{"C Bb Ab G", -1, true, true}, {"C B Bb A Ab G", -1, true, true}, {"C Bb Ab G", -1, false, false}, {"G Ab Bb C", 1, true, false}, {"C Bb Ab", -1, true, false}, {"D C Bb Ab G F", -1, true, true}, {"G F Eb D C", -1, true, false},
	} {
		e := Event{Step: c.step, Key: tonal.Key{Minor: c.minor}}
		for _, name := range strings.Fields(c.tones) {
			x, _ := score.ParseClass(name)
			e.Tones = append(e.Tones, x)
		}
		if got := lament(&e); got != c.want {
			t.Errorf("%s, minor %v: %v", c.tones, c.minor, got)
		}
	}
}

// Bass notes beat by beat: the lowest that sounds in each, one as long as it stays; none in
// silence.
func TestFootings(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:8", "c3:2 d3 e3:0.5 c3:0.5 r:1 c3:3", "g3:4 g3:4")
	var got []string
	for _, x := range newFinder(s, a).bass {
		got = append(got, s.Notes[x.note].Pitch.String()+string(rune('0'+x.start/quarter))+string(rune('0'+x.end/quarter)))
	}
	if want := []string{"C302", "D323", "C334", "G345", "C358"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// A pedal lasts two measures, on the first or fifth degree, with a foreign chord and two
// changes above; it is surer with every foreign chord up to three, and is told from its first
// downbeat if it begins in the second half of a measure. Our own bounds.
func TestPedalBounds(t *testing.T) {
	for _, c := range []struct {
		name, chords, bass string
		degree             int // 0: none
		at                 string
		sure               float64
	}{
		{"two measures", "C: V:4 IV:2 V:2 I:4", "g2:8 c3:4", 5, "1:1", 0.7}, {"less", "C: V:4 IV:2 V:1 I:5", "g2:7 c3:5", 0, "", 0}, {"one change", "C: V:4 IV:4 I:4", "g2:8 c3:4", 0, "", 0},
		{"nothing foreign", "C: I:4 IV:2 I:2 V:4", "c3:8 g2:4", 0, "", 0}, {"the tonic", "C: I:4 V:2 I:2 V:4", "c3:8 g2:4", 1, "1:1", 0.7}, {"the third degree", "C: I:4 ii:2 I:2 V:4", "e3:8 g2:4", 0, "", 0},
		{"two foreign chords", "C: V:4 IV:2 vi:2 I:4", "g2:8 c3:4", 5, "1:1", 0.8}, {"four", "C: V:2 IV:2 vi:2 IV:1 ii:1 I:4", "g2:8 c3:4", 5, "1:1", 0.9},
	} {
		s, a := sheet(t, "4/4", c.chords, "r:12", c.bass)
		if e, ok := newFinder(s, a).pedal(newFinder(s, a).bass[:1]); ok != (c.degree > 0) || ok && (e.Degree != c.degree || s.At(e.Start).String() != c.at || math.Abs(e.Confidence-c.sure) > 1e-9) {
			t.Errorf("%s: %v %+v", c.name, ok, e)
		}
	}
}

// How much of an event there is to hear: fuller from a size on, never over one. Our own scale.
func TestSizesOfEvents(t *testing.T) {
	s, _ := sheet(t, "4/4", "C: I:96", "c5:96")
	const bar = 4 * quarter
	for _, c := range []struct {
		e    Event
		want float64
	}{
		{Event{Kind: Sequence, End: 4 * bar}, 0.7}, {Event{Kind: Sequence, End: 8 * bar}, 1}, {Event{Kind: Pedal, End: 24 * bar}, 1}, {Event{Kind: FarKey, End: 8 * bar}, 0.85}, {Event{Kind: FarKey, End: 16 * bar}, 1},
		{Event{Kind: Borrowed, End: 2 * quarter}, 0.8}, {Event{Kind: Neapolitan, End: 4 * quarter}, 1}, {Event{Kind: AugmentedSixth, End: 9 * quarter}, 1}, {Event{Kind: Quickening, End: 9}, 0.5}, {Event{Kind: Hemiola, End: 9}, 0.8},
		{Event{Kind: BassLine, Notes: make([]int, 5)}, 0.6}, {Event{Kind: BassLine, Notes: make([]int, 5), Chromatic: true}, 0.8}, {Event{Kind: BassLine, Notes: make([]int, 5), Lament: true}, 0.9}, {Event{Kind: BassLine, Notes: make([]int, 9), Lament: true, Chromatic: true}, 1},
	} {
		if got := size(s, &c.e); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s to %d, %d notes: %.3f, want %.3f", c.e.Kind, c.e.End, len(c.e.Notes), got, c.want)
		}
	}
}

// Rarity is the surprise in tenths of bits of a kind that comes so often in the piece, with
// fifty measures of the corpus beside it: Shannon's measure, −log2 p.
func TestRarityInBits(t *testing.T) {
	for _, c := range []struct{ times, measures, rate, want float64 }{{0, 50, 0.5, 0.2}, {25, 50, 0.5, 0.1}, {50, 50, 1, 0}, {0, 50, 0, 1}, {0, 0, 0.25, 0.2}, {1, 14, 0, 0.6}} {
		if got := rarity(c.times, c.measures, c.rate); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v in %v measures, %v a measure: %.3f, want %.3f", c.times, c.measures, c.rate, got, c.want)
		}
	}
	for n, want := range []float64{1, 0.75, 0.5625} {
		if got := discount(float64(n)); math.Abs(got-want) > 1e-9 {
			t.Errorf("told %d times: %v, want %v", n, got, want)
		}
	}
}

// Each kind of event counts three quarters with every time it has been told; of two as
// telling the one first met.
func TestRankDiscounts(t *testing.T) {
	var got []string
	for _, e := range Rank([]Event{ // pedals count 1, 0.95·0.75, 0.9·0.5625
		{Kind: Pedal, Weight: 1, Reasons: []Reason{"first"}}, {Kind: Pedal, Weight: 0.9, Reasons: []Reason{"fourth"}}, {Kind: Hemiola, Weight: 0.7, Reasons: []Reason{"third"}},
		{Kind: Elision, Weight: 0.5, Reasons: []Reason{"last"}}, {Kind: Pedal, Weight: 0.95, Reasons: []Reason{"second"}}, {Kind: FarKey, Weight: 0.5, Reasons: []Reason{"last of all"}},
	}) {
		got = append(got, string(e.Reasons[0]))
	}
	if want := []string{"first", "second", "third", "fourth", "last", "last of all"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// Chords come faster towards a close if each of its last one or two measures has more, two at
// least and on the mean twice as many as the two or more measures before. Our own bounds.
func TestQuickeningBounds(t *testing.T) {
	for chords, want := range map[string]string{
		"I:4 IV:4 V:2 IV:2 I:4": "3:1", "I:4 V:2 IV:2 I:4": "", "I:4 IV:4 V:4 I:4": "", "I:4 IV:4 V:2 IV:2 V:2 IV:2 I:4": "3:1", "I:2 IV:2 I:2 IV:2 V IV V IV I:4": "3:1", "I:2 IV:2 I:2 IV:2 V IV V:2 I:4": "", "I:4 IV:2 V:2 IV:2 V:2 I:4": "",
	} {
		s, a := blocks(t, "C: "+chords)
		end := a.Chords[len(a.Chords)-1].Start
		a.Cadences = []phrasing.Cadence{{At: end, Chord: len(a.Chords) - 1, Kind: phrasing.PerfectAuthentic}}
		e, ok := newFinder(s, a).quickening(phrasing.Phrase{Start: 0, End: s.Length()}, a.Cadences[0])
		if ok != (want != "") || ok && s.At(e.Start).String() != want {
			t.Errorf("%s: %v %+v, want %q", chords, ok, e, want)
		}
	}
}

// Borrowed are i, ii°, iiø7, bIII, iv and bVI of the parallel minor (Aldwell & Schachter,
// chapter on mixture, from memory).
func TestMixes(t *testing.T) {
	for text, want := range map[string]bool{
		"i": true, "iv": true, "iv7": true, "ii°": true, "iiø7": true, "bIII": true, "bVI": true, "bVI7": false, "I": false, "IV": false, "ii": false, "III": false, "VI": false, "vi": false, "v": false, "bII": false,
	} {
		n, ok := tonal.ParseNumeral(text, tonal.Key{})
		if !ok {
			t.Errorf("%q is no numeral", text)
			continue
		}
		if got := mixes(n); got != want {
			t.Errorf("%s is borrowed: %v", text, got)
		}
	}
}
