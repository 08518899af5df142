package page

import (
	"math"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// What a stretch of a hundred ticks does by its turns. A slope counts from a twelfth of the
// stretch or a step on; one way is plain where it is three times the way back in steps and in
// time; two turns are a swell or a dip, more are small swells, unless the marks at both ends
// lie a step apart. Our own shares.
func TestKindOfTurns(t *testing.T) {
	up := func(steps float64, time score.Tick) turn {
		return turn{way: 1, amount: steps, time: time, sure: tonal.Sure}
	}
	down := func(steps float64, time score.Tick) turn {
		x := up(steps, time)
		x.way = -1
		return x
	}
	jump := func(way int, steps float64) turn {
		return turn{way: way, amount: steps, sudden: true, sure: tonal.Likely}
	}
	for _, c := range []struct {
		name  string
		turns []turn
		kind  MoveKind
		sure  tonal.Certainty
		doubt Doubt
	}{
		{"nothing", nil, Silent, tonal.Sure, ""},
		{"up", []turn{up(2, 50)}, Grows, tonal.Sure, ""}, {"down", []turn{down(2, 50)}, Falls, tonal.Sure, ""},
		{"a glimpse", []turn{up(0.9, 7)}, Silent, tonal.Sure, ""}, {"more than one", []turn{up(0.9, 8)}, Grows, tonal.Likely, Brief}, {"a step at once", []turn{up(1, 1)}, Grows, tonal.Likely, Brief},
		{"two fifths of it", []turn{up(2, 40)}, Grows, tonal.Sure, ""}, {"less", []turn{up(2, 39)}, Grows, tonal.Likely, Brief},
		{"a swell", []turn{up(1, 50), down(1, 50)}, Swells, tonal.Sure, ""}, {"a dip", []turn{down(1, 50), up(1, 50)}, Dips, tonal.Sure, ""},
		{"up three times as much", []turn{up(3, 75), down(1, 25)}, Grows, tonal.Likely, Turning}, {"less in steps", []turn{up(2.9, 75), down(1, 25)}, Swells, tonal.Sure, ""},
		{"less in time", []turn{up(3, 72), down(1, 25)}, Swells, tonal.Sure, ""}, {"down three times as much", []turn{down(3, 75), up(1, 25)}, Falls, tonal.Likely, Turning},
		{"three turns", []turn{down(1, 30), up(1, 30), down(1, 30)}, Swells, tonal.Likely, ManyTurns},
		{"f to p at once", []turn{jump(-1, 3)}, Terraced, tonal.Likely, SuddenMoves}, {"p to f", []turn{jump(1, 3)}, Terraced, tonal.Likely, SuddenMoves},
		{"growth and a larger fall at once before it", []turn{jump(-1, 2), up(2, 60)}, Terraced, tonal.Likely, SuddenMoves},
		{"smaller than a terrace", []turn{jump(-1, 1.9), up(1, 60)}, Grows, tonal.Unsure, Beside}, {"less than the growth", []turn{jump(-1, 2), up(2.1, 60)}, Grows, tonal.Unsure, Beside},
		{"the same way", []turn{jump(1, 3), up(2, 60)}, Grows, tonal.Unsure, Beside}, {"fading and louder at once", []turn{down(2, 60), jump(1, 2)}, Terraced, tonal.Likely, SuddenMoves},
		{"growth and softer at once after it", []turn{up(2, 60), jump(-1, 2)}, Swells, tonal.Sure, ""},
	} {
		var m Move
		m.name(c.turns, 100)
		if m.Kind != c.kind || m.Certainty != c.sure || m.Doubt != c.doubt {
			t.Errorf("%s: %s, %s, %q; want %s, %s, %q", c.name, m.Kind, m.Certainty, m.Doubt, c.kind, c.sure, c.doubt)
		}
	}
	for _, c := range []struct {
		from, to float64
		mark     string
		want     MoveKind
	}{{P, MP, "mp", Grows}, {MP, P, "p", Falls}, {P, MP - 0.1, "mp", Swells}, {P, F, "", Swells}} {
		m := Move{From: c.from, To: c.to, FromMark: "p", ToMark: c.mark}
		if m.name([]turn{up(1, 30), down(1, 30), up(1, 30)}, 100); m.Kind != c.want {
			t.Errorf("from %v to %v %q by small swells: %s, want %s", c.from, c.to, c.mark, m.Kind, c.want)
		}
	}
}

// Slopes the same way are one turn, as sure as the less sure; a sudden change between parts them.
func TestJoinedSlopes(t *testing.T) {
	a, b := turn{way: 1, amount: 1, time: 10, sure: tonal.Sure}, turn{way: 1, amount: 2, time: 5, sure: tonal.Likely}
	got := joined([]turn{a}, b)
	if len(got) != 1 || !near(got[0].amount, 3) || got[0].time != 15 || got[0].sure != tonal.Likely {
		t.Errorf("%+v", got)
	}
	if got := joined([]turn{a}, turn{way: -1}); len(got) != 2 {
		t.Errorf("the other way: %+v", got)
	}
	if got := joined([]turn{{way: 1, sudden: true}}, b); len(got) != 2 {
		t.Errorf("after a sudden change: %+v", got)
	}
	for x, want := range map[float64]int{0.1: 1, 0: 0, -0.1: -1} {
		if sign(x) != want {
			t.Errorf("sign of %v is %d", x, sign(x))
		}
	}
}

// The loudest lead: those within a step and a quarter of the loudest, and of these a quarter
// that are told to move give the way; what is only implied has no voice.
func TestWhoLeadsTheEnsemble(t *testing.T) {
	flat := func(level float64) Segment { return Segment{From: level, To: level} }
	slope := func(from, to float64) Segment {
		return Segment{From: from, To: to, Slope: sign(to - from)}
	}
	implied := slope(F, FF)
	implied.Implied = true
	for _, c := range []struct {
		name    string
		playing []Segment
		want    int
	}{
		{"the louder of two that stay", []Segment{flat(P), flat(F)}, 1}, {"the first of two alike", []Segment{flat(F), flat(F)}, 0},
		{"about as loud and moving", []Segment{flat(F), slope(F-asLoud, F-asLoud-1)}, 1}, {"softer and moving", []Segment{flat(F), slope(F-asLoud-0.1, P)}, 0},
		{"one of four moves", []Segment{flat(F), flat(F), flat(F), slope(F, MF)}, 3}, {"one of five", []Segment{flat(F), flat(F), flat(F), flat(F), slope(F, MF)}, 0},
		{"up and down", []Segment{slope(MF, F), slope(F, MF), flat(MF)}, 2}, {"implied", []Segment{flat(FF), implied}, 0},
		{"the louder of two that grow", []Segment{slope(MF, F), slope(F, FF)}, 1}, {"loud at its end", []Segment{flat(MF), slope(P, F+0.2)}, 1},
	} {
		if got := leads(c.playing); got != c.playing[c.want] {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}
