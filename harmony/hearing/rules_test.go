package hearing

import (
	"math"
	"testing"

	"hairpin/harmony/decode"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// row are chords of four ticks each, "key roman" for each.
func row(t *testing.T, chords ...heardAs) []tonal.Chord {
	t.Helper()
	var out []tonal.Chord
	for i, x := range chords {
		out = append(out, chordAt(t, score.Tick(4*i), x.key, x.roman))
	}
	return out
}

type heardAs struct {
	key   tonal.Key
	roman string
}

// What a moment of the measure is: the downbeat, the half bar where it is a beat, beats,
// halves (of a dotted beat, thirds) and quarters of a beat. Common practice, no source.
func TestPlaceInTheMeasure(t *testing.T) {
	for _, c := range []struct {
		beats, unit int
		at          score.Tick
		want        decode.Metric
		length      float64 // of six ticks, in beats
	}{
		{4, 4, 0, decode.Downbeat, 0.5}, {4, 4, 24, decode.HalfBar, 0.5}, {4, 4, 12, decode.Beat, 0.5}, {4, 4, 36, decode.Beat, 0.5}, {4, 4, 6, decode.HalfBeat, 0.5}, {4, 4, 3, decode.QuarterBeat, 0.5}, {4, 4, 4, decode.QuarterBeat, 0.5}, {4, 4, 1, decode.Between, 0.5},
		{3, 4, 18, decode.HalfBeat, 0.5}, {3, 4, 24, decode.Beat, 0.5}, {2, 4, 12, decode.HalfBar, 0.5},
		{6, 8, 18, decode.HalfBar, 1 / 3.0}, {6, 8, 6, decode.HalfBeat, 1 / 3.0}, {6, 8, 12, decode.HalfBeat, 1 / 3.0}, {6, 8, 9, decode.HalfBeat, 1 / 3.0}, {6, 8, 3, decode.Between, 1 / 3.0}, {9, 8, 18, decode.Beat, 1 / 3.0},
	} {
		length := score.Tick(48 * c.beats / c.unit)
		s := &score.Score{Division: 12, Measures: []score.Measure{{Length: length, Nominal: length, Beats: c.beats, BeatUnit: c.unit}}}
		got, beats := place(s, c.at, c.at+6)
		if got != c.want || math.Abs(beats-c.length) > 1e-9 {
			t.Errorf("%d/%d, %d: %v and %.3f beats, want %v and %.3f", c.beats, c.unit, c.at, got, beats, c.want, c.length)
		}
	}
	if got, beats := place(&score.Score{Division: 12}, 5, 11); got != decode.Beat || math.Abs(beats-0.5) > 1e-9 {
		t.Errorf("without measures: %v, %.2f", got, beats)
	}
}

// A chord may change where notes are struck and something is new: a pitch class, the bass, a
// downbeat, a phrase.
func TestWhereChordsMayChange(t *testing.T) {
	n := func(fifths ...int) []int { return fifths }
	p := &decode.Piece{Notes: []decode.Note{{Fifths: 0}, {Fifths: 4}, {Fifths: 1}, {Fifths: 12}}} // C E G B#
	var want []bool
	for _, s := range []struct {
		notes   []int
		struck  bool
		metric  decode.Metric
		phrase  bool
		changes bool
	}{
		{n(0, 1), true, decode.Beat, false, true},      // the first
		{n(0, 1), true, decode.Beat, false, false},     // the same again
		{n(0, 1), true, decode.Downbeat, false, true},  // on a downbeat
		{n(0, 1), true, decode.Beat, true, true},       // a phrase starts
		{n(0, 1, 2), true, decode.Beat, false, true},   // a new tone
		{n(0, 1, 2), false, decode.Beat, false, false}, // nothing is struck
		{n(1, 2), true, decode.Beat, false, true},      // another bass
		{n(1), true, decode.Beat, false, false},        // a tone goes
		{nil, false, decode.Beat, false, false},
		{n(1), true, decode.Beat, false, false},    // the same after silence
		{n(0, 1), true, decode.Beat, false, true},  // a tone that was gone
		{n(3, 1), true, decode.Beat, false, false}, // the same key, spelled otherwise
	} {
		p.Slices = append(p.Slices, decode.Slice{Notes: s.notes, Change: s.struck, Metric: s.metric, Phrase: s.phrase})
		want = append(want, s.changes)
	}
	markChanges(p)
	for i, w := range want {
		if p.Slices[i].Change != w {
			t.Errorf("slice %d may change: %v, want %v", i, p.Slices[i].Change, w)
		}
	}
}

// A tone goes on by step up to a whole tone, to itself, or leaps; over more than a quarter of
// rest it stands alone. Of several notes it goes to the nearest.
func TestHowTonesGoOn(t *testing.T) {
	for _, c := range []struct {
		name string
		gap  score.Tick
		next []int // keys above middle C, where the first note is
		want decode.Step
		to   int // fifths
	}{
		{"the same", 0, []int{0}, decode.Same, 0}, {"a semitone", 0, []int{1}, decode.Stepwise, 7}, {"a whole tone", 0, []int{2}, decode.Stepwise, 2}, {"a minor third", 0, []int{3}, decode.Leap, -3},
		{"after a quarter's rest", 4, []int{2}, decode.Stepwise, 2}, {"after more", 5, []int{2}, decode.Alone, 2}, {"to the nearest", 0, []int{4, 2}, decode.Stepwise, 2},
	} {
		s := &score.Score{Division: 4, Notes: []score.Note{{Duration: 4, Pitch: tonal.PitchNear(0, 60)}}}
		for _, k := range c.next {
			f := map[int]score.Class{0: 0, 1: 7, 2: 2, 3: -3, 4: 4}[k]
			s.Notes = append(s.Notes, score.Note{Onset: 4 + c.gap, Duration: 4, Pitch: tonal.PitchNear(f, 60+k)})
		}
		p := Observe(s, tonal.Slices(s, 0), false)
		if d := p.Notes[0]; d.Departure != c.want || d.To != c.to {
			t.Errorf("%s: %v to %d, want %v to %d", c.name, d.Departure, d.To, c.want, c.to)
		}
		for i, d := range p.Notes[1:] {
			if len(c.next) == 1 && (d.Approach != c.want || d.From != 0) {
				t.Errorf("%s: note %d is approached by %v from %d", c.name, i+1, d.Approach, d.From)
			}
		}
	}
}

// The signature in force is that of the first part that has one there; one without a
// standard form is passed over.
func TestSignatureInForce(t *testing.T) {
	s := &score.Score{Division: 1, Keys: []score.KeyMark{{Fifths: 1, Place: score.Place{Part: 1}}, {Fifths: 2, Place: score.Place{Part: 0}}, {Fifths: 3, Place: score.Place{At: 2, Part: 1}}, {Fifths: 4, Place: score.Place{At: 3}, NonStandard: "x"}, {Fifths: 5, Place: score.Place{At: 4}}}}
	p := &decode.Piece{Slices: make([]decode.Slice, 6)}
	var slices []tonal.Slice
	for i := range score.Tick(6) {
		slices = append(slices, tonal.Slice{Start: i, End: i + 1})
	}
	markSignatures(s, slices, p)
	for i, want := range []int{2, 2, 2, 2, 5, 5} {
		if p.Slices[i].Signature != want {
			t.Errorf("at %d: %d, want %d", i, p.Slices[i].Signature, want)
		}
	}
	for _, c := range []struct {
		keys []score.KeyMark
		want int // 99 none
	}{
		{nil, 99}, {[]score.KeyMark{{Fifths: -3}}, -3}, {[]score.KeyMark{{Fifths: -3}, {Fifths: -3}}, -3}, {[]score.KeyMark{{Fifths: -3}, {Fifths: -1}}, 99}, {[]score.KeyMark{{Fifths: -3}, {Place: score.Place{At: 1}, Fifths: 2}}, -3},
		{[]score.KeyMark{{NonStandard: "x", Fifths: 2}}, 99},
	} {
		got := 99
		if sign := OpeningSign(&score.Score{Keys: c.keys}); sign != nil {
			got = *sign
		}
		if got != c.want {
			t.Errorf("%+v: %d, want %d", c.keys, got, c.want)
		}
	}
}

// Phrases begin after silence, a fermata, a double bar or a repeat sign; sections at the last two.
func TestMarkPhrases(t *testing.T) {
	s := &score.Score{Division: 1, DoubleBar: []score.Tick{2}, Repeats: []score.Repeat{{At: 3}}, Notes: []score.Note{{Onset: 3, Duration: 1, Signs: score.FermataSign}}}
	slices := []tonal.Slice{{Start: 0, Notes: []int{0}}, {Start: 1, Notes: []int{0}}, {Start: 2, Notes: []int{0}}, {Start: 3, Notes: []int{0}}, {Start: 4, Notes: []int{0}}, {Start: 5}, {Start: 6, Notes: []int{0}}}
	p := &decode.Piece{Slices: make([]decode.Slice, len(slices))}
	markPhrases(s, slices, p)
	for i, want := range []string{"", "", "phrase section", "phrase section", "phrase", "", "phrase"} {
		got := ""
		if p.Slices[i].Phrase {
			got = "phrase"
		}
		if p.Slices[i].Section {
			got += " section"
		}
		if got != want {
			t.Errorf("slice %d: %q, want %q", i, got, want)
		}
	}
}

// A key's confidence is the mean over the time of its chords; a key lasts until the next.
func TestKeysOfChords(t *testing.T) {
	c, g := tonal.Key{}, tonal.Key{Tonic: 1}
	chords := row(t, heardAs{c, "I"}, heardAs{c, "V"}, heardAs{g, "I"})
	chords[0].KeyConfidence, chords[1].KeyConfidence, chords[2].KeyConfidence = 0.9, 0.3, 0.5
	chords[1].End = 16 // three times as long
	chords[2].Start, chords[2].End = 20, 24
	keys := Keys(chords)
	if len(keys) != 2 || keys[0].End != 20 || keys[1].Start != 20 || math.Abs(keys[0].Confidence-(0.9+3*0.3)/4) > 1e-9 || math.Abs(keys[1].Confidence-0.5) > 1e-9 {
		t.Errorf("%+v", keys)
	}
}

// Home is the key with the largest share of the piece, a half more for the close, a quarter
// for the opening and a half for the signature: the doc of homeOf. Of two as heavy the first.
func TestHomeByItsWeights(t *testing.T) {
	c, g, f := tonal.Key{}, tonal.Key{Tonic: 1}, tonal.Key{Tonic: -1}
	sign := func(n int) *int { return &n }
	for _, x := range []struct {
		name   string
		ticks  []score.Tick // time in the keys C, G and F, in this order
		sign   *int
		want   tonal.Key
		weight float64 // as a share of the most
	}{
		{"the close outweighs a quarter more", []score.Tick{4, 0, 5}, nil, f, (5/9.0 + 0.5) / 1.75}, {"and the opening, if it is as long", []score.Tick{5, 0, 5}, nil, f, 1 / 1.75},
		{"time and opening outweigh the close", []score.Tick{7, 0, 3}, nil, c, (0.7 + 0.25) / 1.75}, {"just not", []score.Tick{6, 0, 4}, nil, f, (0.4 + 0.5) / 1.75},
		{"the signature of the opening", []score.Tick{4, 0, 5}, sign(0), c, (4/9.0 + 0.25 + 0.5) / 2.25}, {"of the close", []score.Tick{7, 0, 3}, sign(-1), f, (0.3 + 1) / 2.25},
		{"of the middle", []score.Tick{1, 8, 1}, sign(1), g, (0.8 + 0.5) / 2.25},
	} {
		var keys []tonal.KeySpan
		length, total := map[tonal.Key]score.Tick{}, score.Tick(0)
		for i, k := range []tonal.Key{c, g, f} {
			if n := x.ticks[i]; n > 0 {
				keys, length[k], total = append(keys, tonal.KeySpan{Start: total, End: total + n, Key: k}), n, total+n
			}
		}
		got, sure := homeOf(keys, length, total, x.sign)
		if got != x.want || math.Abs(sure-homeOdds(x.weight)) > 1e-9 {
			t.Errorf("%s: %s, %.3f; want %s, %.3f", x.name, got.Name(), sure, x.want.Name(), homeOdds(x.weight))
		}
	}
	if _, sure := homeOf(nil, nil, 0, nil); sure > 0 {
		t.Error("no key is home")
	}
	if homeOdds(0.3) >= homeOdds(0.6) || homeOdds(1) < 0.99 || homeOdds(0) > 0.01 {
		t.Error("a heavier home is no surer")
	}
}

// A reader is cautioned where fewer than four moments sound, where one line is alone
// throughout, and where no key rules.
func TestCautionBounds(t *testing.T) {
	sounds := func(counts ...int) (out []tonal.Slice) {
		for i, n := range counts {
			out = append(out, tonal.Slice{Start: score.Tick(i), End: score.Tick(i + 1), Notes: make([]int, n)})
		}
		return out
	}
	for _, c := range []struct {
		name   string
		slices []tonal.Slice
		home   float64
		want   string // its first words
	}{
		{"three", sounds(2, 2, 2), 1, "too few"}, {"four", sounds(2, 2, 2, 2), 1, ""}, {"three and silence", sounds(2, 0, 2, 2), 1, "too few"}, {"one line", sounds(1, 1, 1, 1), 1, "one line"}, {"two at last", sounds(1, 1, 1, 2), 1, ""},
		{"one line and silence", sounds(1, 0, 1, 1, 1), 1, "one line"}, {"no home", sounds(2, 2, 2, 2), noHome - 0.01, "no key"}, {"a home", sounds(2, 2, 2, 2), noHome, ""},
	} {
		got := Caution(c.slices, c.home)
		if (got == "") != (c.want == "") || len(got) < len(c.want) || got[:len(c.want)] != c.want {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// A major triad at the end is the raised tonic if two of three speak for that key: it opened
// the piece, its signature is printed, it ruled longer than the key the chord was heard in.
func TestVotesForHome(t *testing.T) {
	home, sub, other := tonal.Key{Minor: true}, tonal.Key{Tonic: -1, Minor: true}, tonal.Key{Tonic: 3}
	sign, wrong := -3, 0
	for _, c := range []struct {
		name   string
		chords []heardAs
		sign   *int
		want   bool
	}{
		{"opening and signature", []heardAs{{home, "i"}, {sub, "i"}, {sub, "iv"}, {sub, "V"}}, &sign, true}, {"opening alone", []heardAs{{home, "i"}, {sub, "i"}, {sub, "iv"}, {sub, "V"}}, &wrong, false},
		{"opening and rule", []heardAs{{home, "i"}, {home, "V"}, {sub, "i"}, {sub, "V"}}, &wrong, true}, {"as long", []heardAs{{home, "i"}, {sub, "i"}, {sub, "V"}}, &wrong, false},
		{"signature and rule", []heardAs{{other, "I"}, {home, "i"}, {home, "V"}, {sub, "V"}}, &sign, true}, {"signature alone", []heardAs{{other, "I"}, {home, "i"}, {sub, "i"}, {sub, "V"}}, &sign, false},
		{"no signature", []heardAs{{home, "i"}, {sub, "i"}, {sub, "iv"}, {sub, "V"}}, nil, false}, {"inverted", []heardAs{{home, "i"}, {home, "V"}, {home, "i"}, {sub, "V6"}}, &sign, false}, {"with a seventh", []heardAs{{home, "i"}, {home, "V"}, {home, "i"}, {sub, "V7"}}, &sign, false},
		{"another chord", []heardAs{{home, "i"}, {home, "V"}, {home, "i"}, {sub, "VI"}}, &sign, false},
	} {
		chords := row(t, c.chords...)
		endAtHome(chords, c.sign)
		if got := chords[len(chords)-1].Key == home && chords[len(chords)-1].Numeral.Degree == 1; got != c.want {
			t.Errorf("%s: home %v", c.name, got)
		}
	}
	given := row(t, heardAs{home, "i"}, heardAs{home, "V"}, heardAs{home, "i"}, heardAs{sub, "V"})
	given[3].Given = true
	if endAtHome(given, &sign); given[3].Key != sub {
		t.Error("a given chord is read anew")
	}
}

// A minor key whose tonic is heard major twice, for an eighth of the time and never minor, is
// major there, up to the last of them, or to its end if no minor one comes first.
func TestMajorStretches(t *testing.T) {
	k := tonal.Key{Minor: true}
	for _, c := range []struct {
		romans []string
		want   [][2]int
	}{
		{[]string{"I", "V", "I", "V"}, [][2]int{{0, 4}}}, {[]string{"I", "V", "V"}, nil}, {[]string{"i", "V", "I", "V", "I"}, [][2]int{{1, 5}}}, {[]string{"I", "V", "I", "V", "i"}, [][2]int{{0, 3}}}, {[]string{"i", "I", "i", "I"}, nil},
		{[]string{"i", "I", "I", "i", "I", "V", "I", "V"}, [][2]int{{1, 3}, {4, 7}}}, {[]string{"I", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "I"}, [][2]int{{0, 16}}},
		{[]string{"I", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "V", "I"}, nil}, {[]string{"V/iv", "iv", "V/iv", "iv"}, nil},
	} {
		var list []heardAs
		for _, r := range c.romans {
			list = append(list, heardAs{k, r})
		}
		got := majorStretches(row(t, list...))
		if len(got) != len(c.want) {
			t.Errorf("%v: %v, want %v", c.romans, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v: %v, want %v", c.romans, got, c.want)
			}
		}
	}
}

// Chords by their times: which end after a moment, start or end there, and share most time.
func TestChordsByTime(t *testing.T) {
	k := tonal.Key{}
	chords := row(t, heardAs{k, "I"}, heardAs{k, "IV"}, heardAs{k, "V"}) // 0–4–8–12
	chords[2].Start = 9
	for at, want := range map[score.Tick]int{-1: 0, 0: 0, 3: 0, 4: 1, 8: 2, 11: 2, 12: 3} {
		if got := endsAfter(chords, at); got != want {
			t.Errorf("after %d ends chord %d, want %d", at, got, want)
		}
	}
	for at, want := range map[score.Tick][2]bool{0: {true, false}, 4: {true, true}, 8: {false, true}, 9: {true, false}, 12: {false, true}, 5: {}} {
		if got := [2]bool{startsAt(chords, at), endsAt(chords, at)}; got != want {
			t.Errorf("at %d one starts, one ends: %v, want %v", at, got, want)
		}
	}
	if got := clip(chords, 3, 10); len(got) != 3 || got[0].Start != 3 || got[0].End != 4 || got[2].Start != 9 || got[2].End != 10 {
		t.Errorf("clipped: %+v", got)
	}
	if got := clip(chords, 4, 8); len(got) != 1 || got[0].Numeral.Degree != 4 {
		t.Errorf("clipped to one: %+v", got)
	}
	for _, x := range []struct {
		from, to score.Tick
		degree   int
	}{{2, 5, 1}, {3, 6, 4}, {2, 6, 1}, {5, 12, 4}, {7, 12, 5}} {
		if got := nearest(chords, tonal.Chord{Start: x.from, End: x.to}); got.Numeral.Degree != x.degree {
			t.Errorf("%d to %d is nearest to degree %d, want %d", x.from, x.to, got.Numeral.Degree, x.degree)
		}
	}
	chords[0].Confidence, chords[1].Confidence, chords[2].Confidence = 1, 0.5, 0
	if got := sure(chords); math.Abs(got-(4+2)/11.0) > 1e-9 {
		t.Errorf("sure to %.3f", got)
	}
	if sure(nil) > 0 {
		t.Error("nothing is sure")
	}
}

// Runs of measures come again from two on, in the order of time, on whatever tone; they do
// not reach over their own first time, and only the longest is told; silence (-) goes on
// with what stands before it.
func TestRepeatsOfMeasures(t *testing.T) {
	for text, want := range map[string][]repeat{
		"abcab": {{0, 3, 2, 0}}, "abca": nil, "aab": nil, "aaaa": {{0, 2, 2, 0}}, "abcdabcd": {{0, 4, 4, 0}}, "ab-ab-": {{0, 3, 3, 0}}, "abxcab": {{0, 4, 2, 0}}, "xabyab": {{1, 4, 2, 0}},
	} {
		var bars []sounding
		for _, c := range text {
			b := sounding{text: string(c)}
			if c == '-' {
				b.text = ""
			}
			bars = append(bars, b)
		}
		got := repeats(bars)
		if len(got) != len(want) {
			t.Errorf("%s: %v, want %v", text, got, want)
			continue
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s: %v, want %v", text, got, want)
			}
		}
	}
	up := []sounding{{"a", 0}, {"b", 1}, {"x", 0}, {"a", 2}, {"b", 3}, {"a", 2}, {"b", 4}}
	if got := repeats(up); len(got) != 1 || got[0] != (repeat{0, 3, 2, 2}) {
		t.Errorf("two fifths higher: %v", got)
	}
}
