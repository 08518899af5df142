package take

import (
	"fmt"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/performance"
	"hairpin/performance/follow"
	"hairpin/report"
	"hairpin/score"
)

// readingOf is a reading of six measures of 4/4 in quarters of four ticks, whose page reads
// the segments; measures 2 to 5 are shown.
func readingOf(segments ...page.Segment) *report.Reading {
	s := &score.Score{Division: 4}
	for i := range 6 {
		s.Measures = append(s.Measures, score.Measure{Number: string(rune('1' + i)), Start: score.Tick(16 * i), Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4})
	}
	s.Parts = []score.Part{{ID: "P1", Staves: 1}, {ID: "P2", Staves: 1}}
	return &report.Reading{Score: s, Harmony: &harmony.Analysis{}, Page: &page.Page{Whole: page.Curve{Segments: segments}}, From: 16, To: 80}
}

// same compares what is told as it is written, numbers with three decimals.
func same(a, b any) bool { return fmt.Sprint(a) == fmt.Sprint(b) }

func level(from, to score.Tick, x float64) page.Segment {
	return page.Segment{Start: from, End: to, From: x, To: x}
}

// A printed level that changes at once by a step or more inside what is shown is judged; a
// smaller change, a slope's end that meets its mark, and the edges are not. Our own bound.
func TestStepsOfThePage(t *testing.T) {
	for _, c := range []struct {
		name     string
		segments []page.Segment
		want     []performance.Step
	}{
		{"up a step", []page.Segment{level(0, 32, 3), level(32, 96, 4)}, []performance.Step{{At: 32, Up: true}}},
		{"down a step", []page.Segment{level(0, 32, 4), level(32, 96, 3)}, []performance.Step{{At: 32}}},
		{"less", []page.Segment{level(0, 32, 3), level(32, 96, 3.9)}, nil},
		{"where the shown begins", []page.Segment{level(0, 16, 3), level(16, 96, 6)}, nil},
		{"where it ends", []page.Segment{level(0, 80, 3), level(80, 96, 6)}, nil},
		{"just inside", []page.Segment{level(0, 17, 3), level(17, 79, 6), level(79, 96, 3)}, []performance.Step{{At: 17, Up: true}, {At: 79}}},
		{"a slope to its mark", []page.Segment{{Start: 0, End: 32, From: 3, To: 6}, level(32, 96, 6)}, nil},
	} {
		got := steps(readingOf(c.segments...))
		if len(got) != len(c.want) {
			t.Errorf("%s: %+v", c.name, got)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
			}
		}
	}
}

// What is told of the beats, passes and places lost of a take: quarters from the start, passes
// from one, three decimals, and loudness only where it is known. Beats outside of the shown
// measures are left out.
func TestWhatWasPlayed(t *testing.T) {
	r := readingOf(level(0, 96, 3))
	r.Harmony.Moments = []tension.Moment{{Start: 16, End: 20, Tension: tonal.Tension{Total: 40}}, {Start: 20, End: 32, Tension: tonal.Tension{Total: 70}}}
	k := teller{r, &performance.Playing{
		Runs:  []follow.Run{{Points: []follow.Point{{At: 16, Time: 1}, {At: 24, Time: 2}, {At: 30, Time: 3.00049}}}},
		Lost:  []performance.Lost{{From: 4, To: 5, Pause: true}, {From: 6, To: 7}},
		Beats: []performance.Beat{{At: 15}, {At: 16, Run: 1, Time: 1, Tempo: 60, Loud: true, Level: 2.0004, Relative: -1}, {At: 20, Time: 2}, {At: 79}, {At: 80}},
	}}
	p := k.passes()
	if len(p) != 1 || !same(p[0], Pass{Onset: 4, End: 7.5, Measures: "2", Time: 1, TimeEnd: 3}) {
		t.Errorf("passes %+v", p)
	}
	if l := k.lost(); len(l) != 2 || !same(l[0], Lost{4, 5, true}) || !same(l[1], Lost{6, 7, false}) {
		t.Errorf("lost %+v", l)
	}
	b := k.beats()
	if len(b) != 3 {
		t.Fatalf("beats %+v", b)
	}
	if x := b[0]; x.Level == nil || !same([]any{x.Onset, x.Measure, x.Beat, x.Pass, x.Time, x.Tempo, *x.Level, *x.Relative, x.Tension, x.Printed}, []any{4, "2", 1, 2, 1, 60, 2, -1, 40, 3}) {
		t.Errorf("first beat %+v", x)
	}
	if x := b[1]; x.Level != nil || !same([]any{x.Beat, x.Pass, x.Tension}, []any{2, 1, 70}) {
		t.Errorf("second beat %+v", x)
	}
	if !same([]any{b[2].Onset, b[2].Tension}, []any{19.75, 0}) {
		t.Errorf("last beat %+v", b[2])
	}
	empty := teller{r, &performance.Playing{}}
	if empty.passes() == nil || empty.lost() == nil || empty.beats() == nil || empty.hairpins() == nil || empty.hands() == nil {
		t.Error("an empty list is written as null")
	}
}

// A hairpin is told by its way, part and notes where it is shown; another part's is not, if
// one was chosen.
func TestHairpinsTold(t *testing.T) {
	r := readingOf(level(0, 96, 3))
	for _, x := range []struct {
		from, to score.Tick
		kind     score.HairpinKind
		part     int
	}{{16, 32, score.Crescendo, 0}, {32, 48, score.Diminuendo, 1}, {0, 16, score.Crescendo, 0}, {80, 96, score.Crescendo, 0}} {
		r.Score.Hairpins = append(r.Score.Hairpins, score.Hairpin{Span: score.Span{Start: x.from, End: x.to, Part: x.part}, Kind: x.kind})
	}
	k := teller{r, &performance.Playing{Hairpins: []performance.HairpinPlayed{
		{Hairpin: 0, Change: 4, Notes: 9, Verdict: performance.Followed, Clear: true}, {Hairpin: 1, Run: 2, Change: 3, Verdict: performance.Contrary}, {Hairpin: 2}, {Hairpin: 3},
	}}}
	for part, want := range map[int][]Hairpin{
		0: {{Judged{4, 8, "2", 1, 4, "followed", true}, "crescendo", 1, 9}, {Judged{8, 12, "3", 3, 3, "contrary", false}, "diminuendo", 2, 0}},
		1: {{Judged{4, 8, "2", 1, 4, "followed", true}, "crescendo", 1, 9}},
		2: {{Judged{8, 12, "3", 3, 3, "contrary", false}, "diminuendo", 2, 0}},
	} {
		r.Options.Part = part
		got := k.hairpins()
		if len(got) != len(want) {
			t.Errorf("part %d: %+v", part, got)
			continue
		}
		for i := range got {
			if !same(got[i], want[i]) {
				t.Errorf("part %d: %+v, want %+v", part, got[i], want[i])
			}
		}
	}
}

// The hands' levels are left out where they may be the pitch's.
func TestHandsTold(t *testing.T) {
	k := teller{readingOf(level(0, 96, 3)), &performance.Playing{Uneven: []performance.Evenness{
		{From: 16, To: 32, Run: 1, Strokes: 16, Level: 2.5, Late: 12, LevelScatter: 1, LateScatter: 3}, {From: 32, To: 48, Withheld: true, Level: 2.5}, {From: 0, To: 16},
	}}}
	got := k.hands()
	if len(got) != 2 || got[0].Level == nil || got[1].Level != nil || !same([]any{*got[0].Level, got[0].Pass, got[0].Strokes, got[0].Late, got[1].Pass}, []any{2.5, 2, 16, 12, 1}) {
		t.Errorf("%+v", got)
	}
}

// Keys of the piano by their names: middle C is C4, MIDI key 60 (MIDI 1.0; C4 as in
// scientific pitch notation).
func TestKeyNames(t *testing.T) {
	for key, want := range map[int]string{60: "C4", 59: "B3", 61: "C#4", 21: "A0", 108: "C8", 70: "A#4", 72: "C5"} {
		if got := keyName(key); got != want {
			t.Errorf("key %d: %s, want %s", key, got, want)
		}
	}
	for x, want := range map[float64]string{1.23456: "1.235", 0.0004: "0", -0.0004: "0", 2: "2", -1.5: "-1.5", 0.0006: "0.001"} {
		if got := number(x).String(); got != want {
			t.Errorf("%v: %s, want %s", x, got, want)
		}
		if got := rounded(x).String(); got != want {
			t.Errorf("%v rounded: %s, want %s", x, got, want)
		}
	}
}

// A move of the harmony is played with it or against it, or flat.
func TestHarmonyWords(t *testing.T) {
	for v, want := range map[performance.Verdict]performance.Verdict{performance.Followed: "with", performance.Contrary: "against", performance.Flat: performance.Flat} {
		if got := harmonyWords(v); got != want {
			t.Errorf("%s: %s, want %s", v, got, want)
		}
	}
	if verdict.Up <= verdict.Still || verdict.Still <= verdict.Down {
		t.Error("the ways are out of order")
	}
}

// What the page asks for where was played: the softest and the loudest.
func TestPrintedRange(t *testing.T) {
	r := readingOf(level(0, 32, 3), level(32, 48, 6), level(48, 96, 8))
	k := teller{r, &performance.Playing{Beats: []performance.Beat{{At: 16}, {At: 32}}}}
	if lo, hi := k.printedRange(); !same([]any{lo, hi}, []any{3, 6}) {
		t.Errorf("%v to %v", lo, hi)
	}
	for _, c := range []struct {
		spread         float64
		level          float64 // of the second half
		marked, warned bool
	}{{pressedSpread - 0.1, 6, true, true}, {pressedSpread, 6, true, false}, {1, 3.9, true, false}, {1, 4, true, true}, {1, 3, false, true}, {0, 6, true, false}} {
		r := readingOf(level(0, 32, 3), level(32, 96, c.level))
		r.Page.Marked = c.marked
		k := teller{r, &performance.Playing{Spread: c.spread, Beats: []performance.Beat{{At: 16}, {At: 40}}}}
		if got := len(k.warnings()) > 0; got != c.warned {
			t.Errorf("%+v: warned %v", c, got)
		}
	}
}

// Two takes differ in a measure by three decibels over each take's own mean, or by 15 % in
// tempo, a difference of logarithms; a measure that one lacks is left out, and numbers that
// come twice are told once.
func TestDifferences(t *testing.T) {
	beat := func(measure string, loud, tempo number) Beat {
		return Beat{Measure: measure, Relative: &loud, Tempo: tempo}
	}
	for _, c := range []struct {
		name          string
		first, second []Beat
		want          int
	}{
		{"three decibels", []Beat{beat("2", 0, 60)}, []Beat{beat("2", 3, 60)}, 1}, {"softer", []Beat{beat("2", 0, 60)}, []Beat{beat("2", -3, 60)}, 1}, {"less", []Beat{beat("2", 0, 60)}, []Beat{beat("2", 2.9, 60)}, 0},
		{"faster", []Beat{beat("2", 0, 100)}, []Beat{beat("2", 0, 117)}, 1}, {"hardly", []Beat{beat("2", 0, 100)}, []Beat{beat("2", 0, 116)}, 0}, {"slower", []Beat{beat("2", 0, 100)}, []Beat{beat("2", 0, 86)}, 1},
		{"another measure", []Beat{beat("2", 0, 60)}, []Beat{beat("3", 9, 60)}, 0}, {"the mean of its beats", []Beat{beat("2", 0, 60), beat("2", 2, 60)}, []Beat{beat("2", 3, 60), beat("2", 5, 60)}, 1},
		{"no tempo", []Beat{beat("2", 0, 60)}, []Beat{beat("2", 9, 0)}, 0}, {"no loudness", []Beat{beat("2", 0, 60)}, []Beat{{Measure: "2", Tempo: 90}}, 0},
		{"two measures", []Beat{beat("2", 0, 60), beat("3", 0, 60)}, []Beat{beat("2", 4, 60), beat("3", 4, 60)}, 2},
	} {
		r := readingOf(level(0, 96, 3))
		r.Score.Measures[2].Number, r.Score.Measures[1].Number = "2", "2" // a measure split by a repeat sign
		r.Score.Measures[3].Number = "3"
		d := Again(r, []Take{{Beats: c.first}, {Beats: c.second}}).Differences()
		if len(d.Rows) != c.want || len(d.Head) != 5 || len(d.Right) != 5 || d.Right[0] || !d.Right[1] || !d.Right[2] {
			t.Errorf("%s: %+v", c.name, d)
		}
	}
	d := Again(readingOf(level(0, 96, 3)), []Take{{Beats: []Beat{beat("2", 0, 60)}}, {Beats: []Beat{beat("2", 3, 66)}}}).Differences()
	if row := d.Rows[0]; row[0] != "2" || row[1] != "+0.0" || row[2] != "60" || row[3] != "+3.0" || row[4] != "66" || d.Head[3] != "dB 2" {
		t.Errorf("%v under %v", row, d.Head)
	}
}
