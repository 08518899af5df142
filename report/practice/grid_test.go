package practice

import (
	"fmt"
	"strings"
	"testing"

	"hairpin/harmony/reduction"
	"hairpin/score"
)

// Chord changes inside runs and tuplets move to the nearest sixteenth, the later of two as
// near; sixteenths, triplet eighths and bar lines stay. A quarter has 24 ticks here.
func TestToGrid(t *testing.T) {
	s := &score.Score{Division: 24, Measures: []score.Measure{{Length: 50, Nominal: 50}, {Start: 50, Length: 96, Nominal: 96}}}
	for at, want := range map[score.Tick]score.Tick{0: 0, 6: 6, 8: 8, 16: 16, 5: 6, 2: 0, 3: 6, 9: 12, 10: 12, 47: 48, 49: 48, 50: 50, 51: 50, 53: 56, 58: 58, 145: 146, 146: 146} {
		if got := toGrid(s, at); got != want {
			t.Errorf("%d goes to %d, want %d", at, got, want)
		}
	}
	for division, want := range map[score.Tick]score.Tick{2: 3, 5: 5} { // no sixteenths: eighths, or quarters
		s := &score.Score{Division: division, Measures: []score.Measure{{Length: 20, Nominal: 20}}}
		if got := toGrid(s, 3); got != want {
			t.Errorf("with %d to a quarter 3 goes to %d, want %d", division, got, want)
		}
	}
	if got := toGrid(&score.Score{Division: 24, Measures: []score.Measure{{Length: 49, Nominal: 96}}}, 49); got != 49 {
		t.Errorf("the end of a short last measure goes to %d", got)
	}
	got := onGrid(s, []reduction.Block{{Start: 0, End: 5}, {Start: 1, End: 2}, {Start: 6, End: 9}})
	if len(got) != 2 || got[0].End != 6 || got[1].Start != 6 || got[1].End != 12 {
		t.Errorf("blocks %+v", got)
	}
}

// A chord is struck again at double bars, repeat signs and endings inside it, not at its edges.
func TestRestruckAtSeams(t *testing.T) {
	s := &score.Score{DoubleBar: []score.Tick{10}, Repeats: []score.Repeat{{At: 20}, {At: 20}}, Endings: []score.Ending{{Start: 30, End: 40}}}
	for _, c := range []struct {
		from, to score.Tick
		want     string
	}{{0, 10, "0-10"}, {0, 11, "0-10 10-11"}, {10, 20, "10-20"}, {9, 21, "9-10 10-20 20-21"}, {25, 45, "25-30 30-40 40-45"}, {41, 50, "41-50"}} {
		var got []string
		for _, b := range restruck(s, []reduction.Block{{Start: c.from, End: c.to}}) {
			got = append(got, fmt.Sprintf("%d-%d", b.Start, b.End))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%d to %d: %v, want %s", c.from, c.to, got, c.want)
		}
	}
}

// A level that holds already is not printed again, unless a hairpin has moved it since;
// accents always are.
func TestLevelsPrintedOnce(t *testing.T) {
	for _, c := range []struct {
		marks   string // one a tick apart, a dot for none
		hairpin [2]score.Tick
		want    string
	}{
		{"p p f f p", [2]score.Tick{}, "p0 f2 p4"}, {"p sf p sf", [2]score.Tick{}, "p0 sf1 sf3"}, {"p . . p", [2]score.Tick{1, 2}, "p0 p3"}, {"p . . p", [2]score.Tick{3, 5}, "p0"}, {"p . . p", [2]score.Tick{-2, 0}, "p0"}, {"p . . p", [2]score.Tick{-2, 1}, "p0 p3"}, {"p . . p", [2]score.Tick{2, 5}, "p0 p3"},
	} {
		s := &score.Score{}
		if c.hairpin != [2]score.Tick{} {
			s.Hairpins = []score.Hairpin{{Span: score.Span{Start: c.hairpin[0], End: c.hairpin[1]}}}
		}
		for i, m := range strings.Fields(c.marks) {
			if m != "." {
				s.Dynamics = append(s.Dynamics, score.Dynamic{Place: score.Place{At: score.Tick(i)}, Mark: m})
			}
		}
		var got []string
		for _, d := range withoutRepeated(s) {
			got = append(got, fmt.Sprintf("%s%d", d.Mark, d.At))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s, a hairpin over %v: %v, want %s", c.marks, c.hairpin, got, c.want)
		}
	}
}

// eighthOf is a plain note of a kind and length, at a time.
func eighthOf(at, length int, kind string, more ...*element) timed {
	n := el("note", number("duration", length), leaf("type", kind))
	n.list = append(n.list, more...)
	return timed{at: at, until: at + length, list: []*element{n}}
}

// Pairs of eighths or sixteenths on their common beat become long and short, or short and
// long, three to one; tied, dotted and tripled ones, rests and unlike ones stay. Common
// practice, no source.
func TestUnequalPairs(t *testing.T) {
	for _, c := range []struct {
		name      string
		list      []timed
		longFirst bool
		want      string // durations and types
		changed   int
	}{
		{"two eighths", []timed{eighthOf(0, 4, "eighth"), eighthOf(4, 4, "eighth")}, true, "6 eighth. 2 16th", 1}, {"short first", []timed{eighthOf(0, 4, "eighth"), eighthOf(4, 4, "eighth")}, false, "2 16th 6 eighth.", 1},
		{"two sixteenths", []timed{eighthOf(8, 4, "16th"), eighthOf(12, 4, "16th")}, true, "6 16th. 2 32nd", 1}, {"off their beat", []timed{eighthOf(4, 4, "eighth"), eighthOf(8, 4, "eighth")}, true, "4 eighth 4 eighth", 0},
		{"three, of which two are a pair", []timed{eighthOf(0, 4, "eighth"), eighthOf(4, 4, "eighth"), eighthOf(8, 4, "eighth")}, true, "6 eighth. 2 16th 4 eighth", 1}, {"four", []timed{eighthOf(0, 4, "eighth"), eighthOf(4, 4, "eighth"), eighthOf(8, 4, "eighth"), eighthOf(12, 4, "eighth")}, true, "6 eighth. 2 16th 6 eighth. 2 16th", 2},
		{"unlike", []timed{eighthOf(0, 4, "eighth"), eighthOf(4, 2, "16th")}, true, "4 eighth 2 16th", 0}, {"quarters", []timed{eighthOf(0, 8, "quarter"), eighthOf(8, 8, "quarter")}, true, "8 quarter 8 quarter", 0}, {"with a gap", []timed{eighthOf(0, 4, "eighth"), eighthOf(5, 4, "eighth")}, true, "4 eighth 4 eighth", 0},
		{"one tied", []timed{eighthOf(0, 4, "eighth"), eighthOf(4, 4, "eighth", el("tie"))}, true, "4 eighth 4 eighth", 0}, {"a rest", []timed{eighthOf(0, 4, "eighth", el("rest")), eighthOf(4, 4, "eighth")}, true, "4 eighth 4 eighth", 0}, {"tripled", []timed{eighthOf(0, 4, "eighth", el("time-modification")), eighthOf(4, 4, "eighth", el("time-modification"))}, true, "4 eighth 4 eighth", 0},
	} {
		if got := unequal(c.list, c.longFirst); got != c.changed {
			t.Errorf("%s: %d changed, want %d", c.name, got, c.changed)
		}
		var got []string
		for _, n := range c.list {
			kind := n.list[0].get("type")
			if n.list[0].find("dot") != nil {
				kind += "."
			}
			got = append(got, n.list[0].get("duration")+" "+kind)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %v, want %s", c.name, got, c.want)
		}
	}
}

// The shortened note's new beam hangs on its neighbour, one level under those it has.
func TestShortenedNoteHangs(t *testing.T) {
	pair := []timed{eighthOf(0, 4, "eighth", leaf("beam", "begin").with("number", "1")), eighthOf(4, 4, "eighth", leaf("beam", "end").with("number", "1"))}
	unequal(pair, true)
	last := pair[1].list[0].list[len(pair[1].list[0].list)-1]
	if last.name != "beam" || last.text != "backward hook" || last.attr("number") != "2" {
		t.Errorf("%+v", last)
	}
	alone := eighthOf(0, 4, "eighth")
	if alone.halve("forward hook"); alone.list[0].find("beam") != nil {
		t.Error("a note without a beam gets one")
	}
}

// Two rungs sound alike if their pitches, rests, chords and values are the same, whatever
// their divisions.
func TestWhatARungPlays(t *testing.T) {
	g := func(divisions int, notes ...*element) rung {
		return rung{bars: []sheetBar{{state: state{divisions: divisions}, list: notes}}}
	}
	c := func(duration int, more ...*element) *element {
		n := el("note", el("pitch", leaf("step", "C"), leaf("octave", "4")), number("duration", duration))
		n.list = append(n.list, more...)
		return n
	}
	one := g(2, c(2)).plays()
	for name, x := range map[string]struct {
		g    rung
		want bool
	}{
		"finer divisions": {g(4, c(4)), true}, "longer": {g(2, c(4)), false}, "in a chord": {g(2, c(2, el("chord"))), false}, "a direction beside it": {g(2, el("direction"), c(2)), true}, "twice": {g(2, c(2), c(2)), false},
		"another tone": {g(2, el("note", el("pitch", leaf("step", "D"), leaf("octave", "4")), number("duration", 2))), false}, "a rest": {g(2, el("note", el("rest"), number("duration", 2))), false},
	} {
		if got := x.g.plays() == one; got != x.want {
			t.Errorf("%s: alike %v", name, got)
		}
	}
}
