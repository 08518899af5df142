package phrasing

import (
	"math"
	"slices"
	"testing"

	"hairpin/score"
)

// over is a page of measures with these lines, the first of them leading.
func over(bars int, lines ...[]event) *surface {
	v := placed(bars44(bars), nil)
	for _, e := range lines {
		v.lines = append(v.lines, line{events: e})
	}
	v.bounds()
	return v
}

// A pause is what is unusually silent: a line that rests over two and a half times as long as
// it usually does around. A line that ended over four beats ago does not count, one that
// sounds over the moment holds.
func TestRestOfLines(t *testing.T) {
	pauses := eventsOf(0, 4, 4, 4, 8, 4, 16, 4, 20, 4, 24, 4) // a rest of a beat before 16
	goes := eventsOf(0, 4, 4, 4, 8, 4, 12, 4, 16, 4, 20, 4)   // no rest
	holds := eventsOf(0, 4, 4, 4, 8, 12, 20, 4)               // a note over 16
	figure := eventsOf(0, 2, 4, 2, 8, 2, 12, 2, 16, 2, 20, 2) // as long a rest each time
	gone := eventsOf(0, 4, 60, 4)                             // silent for long
	for _, c := range []struct {
		name       string
		lines      [][]event
		at         score.Tick
		all, held  float64
		lead, long float64
	}{
		{"the lead pauses alone", [][]event{pauses, goes}, 16, 0.5, 0, 1, math.Log2(2) / 1.5}, {"both pause", [][]event{pauses, pauses}, 16, 1, 0, 1, math.Log2(2) / 1.5}, {"nobody pauses", [][]event{goes, goes}, 16, 0, 0, 0, 0}, {"a figure of rests", [][]event{figure}, 16, 0, 0, 0, 0},
		{"one holds", [][]event{pauses, holds}, 16, 0.5, 0.5, 1, math.Log2(2) / 1.5}, {"the lead holds", [][]event{holds, pauses}, 16, 0.5, 0.5, 0, 0}, {"one has gone long ago", [][]event{pauses, gone}, 21, 0, 1, 0, 0}, // of the one that is left, which holds
	} {
		r := over(6, c.lines...).restAt(c.at)
		if math.Abs(r.all-c.all)+math.Abs(r.held-c.held)+math.Abs(r.lead-c.lead)+math.Abs(r.long-c.long) > 1e-9 {
			t.Errorf("%s: all %.2f, held %.2f, lead %.2f, long %.2f; want %.2f, %.2f, %.2f, %.2f", c.name, r.all, r.held, r.lead, r.long, c.all, c.held, c.lead, c.long)
		}
	}
	v := over(4, goes)
	v.bars = []score.Tick{16}
	for at, want := range map[score.Tick]bool{16: true, 15: false, 17: false, 24: true, 23: false} { // a bar, or the end of the music
		if got := v.restAt(at).bar; got != want {
			t.Errorf("at %d: a bar %v", at, got)
		}
	}
}

// A fermata holds what ends before a moment, at most two beats before it, if the note under
// it sounds there.
func TestFermataBefore(t *testing.T) {
	for _, c := range []struct {
		name    string
		notes   []event
		fermata score.Tick
		at      score.Tick
		want    bool
	}{
		{"over the last note", eventsOf(0, 4, 4, 4), 4, 8, true}, {"at its end", eventsOf(0, 4, 4, 4), 7, 8, true}, {"over the note before", eventsOf(0, 4, 4, 4), 3, 8, false}, {"two beats of rest after", eventsOf(0, 4, 4, 4), 7, 16, true}, {"more", eventsOf(0, 4, 4, 4), 7, 17, false},
		{"over a rest", eventsOf(0, 4, 12, 4), 5, 12, false}, {"the note goes on", eventsOf(0, 4, 4, 8), 7, 8, false}, {"after the moment", eventsOf(0, 4, 4, 4), 8, 8, false},
	} {
		v := over(4, c.notes)
		v.fermatas = []score.Tick{c.fermata}
		if got := v.fermataBefore(c.at); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	if over(4, eventsOf(0, 4)).fermataBefore(4) {
		t.Error("there is no fermata")
	}
}

// A slur of the leading line counts from two beats on; it ends with the note that its end
// falls on, or in.
func TestSlursOfTheLead(t *testing.T) {
	for _, c := range []struct {
		name  string
		slur  score.Slur
		notes []event
		want  []score.Tick
	}{
		{"to the start of a note", score.Slur{Span: score.Span{Start: 0, End: 8}}, eventsOf(0, 4, 4, 4, 8, 4), []score.Tick{4, 8}}, {"to the end of a note", score.Slur{Span: score.Span{Start: 0, End: 8}}, eventsOf(0, 4, 4, 4, 12, 4), []score.Tick{4}}, {"into a note", score.Slur{Span: score.Span{Start: 0, End: 10}}, eventsOf(0, 4, 4, 4, 8, 4), []score.Tick{8}},
		{"shorter than two beats", score.Slur{Span: score.Span{Start: 0, End: 7}}, eventsOf(0, 4, 4, 4, 8, 4), nil}, {"of another part", score.Slur{Span: score.Span{Start: 0, End: 8, Part: 1}}, eventsOf(0, 4, 4, 4, 8, 4), nil}, {"of another staff", score.Slur{Span: score.Span{Start: 0, End: 8, Staff: 2}}, eventsOf(0, 4, 4, 4, 8, 4), nil}, {"into a rest", score.Slur{Span: score.Span{Start: 0, End: 10}}, eventsOf(0, 4, 4, 4, 12, 4), nil},
	} {
		v := over(4, c.notes)
		v.lines[0].staff = 1
		v.s.Slurs = []score.Slur{c.slur}
		if got := v.leadSlurs(); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The usual beat is that of the metre that lasts longest; of two as long the shorter.
func TestUsualBeat(t *testing.T) {
	for _, c := range []struct {
		bars []int // of 4/4 and of 6/8
		want score.Tick
	}{{[]int{2, 0}, 4}, {[]int{0, 2}, 6}, {[]int{1, 2}, 6}, {[]int{2, 1}, 4}, {[]int{3, 4}, 4}, {[]int{0, 0}, 4}} {
		s := &score.Score{Division: 4}
		for range c.bars[0] {
			s.Measures = append(s.Measures, score.Measure{Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4})
		}
		for range c.bars[1] {
			s.Measures = append(s.Measures, score.Measure{Length: 12, Nominal: 12, Beats: 6, BeatUnit: 8})
		}
		if got := usualBeat(s); got != c.want {
			t.Errorf("%d measures of 4/4 and %d of 6/8: %d, want %d", c.bars[0], c.bars[1], got, c.want)
		}
	}
	s := bars44(2)
	s.Measures[1].Length = 8
	if got := passed(s); math.Abs(got[1]-1)+math.Abs(got[2]-1.5) > 1e-9 {
		t.Errorf("measures passed: %v", got)
	}
}

// A moment between two, both ends counted.
func TestWithinList(t *testing.T) {
	list := []score.Tick{4, 8}
	for _, c := range []struct {
		from, to score.Tick
		want     bool
	}{{4, 4, true}, {5, 7, false}, {5, 8, true}, {0, 3, false}, {0, 4, true}, {9, 99, false}} {
		if got := within(list, c.from, c.to); got != c.want {
			t.Errorf("%d to %d: %v", c.from, c.to, got)
		}
	}
}

// walkOn writes a line of quarters by their steps of the staff.
func walkOn(steps ...int) (*score.Score, []event) {
	s := bars44((len(steps) + 3) / 4)
	var e []event
	for i, x := range steps {
		at := score.Tick(4 * i)
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 4, Measure: i / 4, Pitch: score.Pitch{Step: (x%7 + 7) % 7, Octave: 4 + (x-(x%7+7)%7)/7}})
		e = append(e, event{onset: at, end: at + 4, top: i})
	}
	return s, e
}

// A passage is a measure long and five moves at least; the line must not end before. An event
// opens one if the note before it is as long, and no shorter than usual (Lerdahl & Jackendoff
// 1983, preference rule 2b). Moves count steps of the staff.
func TestPassagesOfALine(t *testing.T) {
	s, e := walkOn(0, 1, 2, 3, 4, 5, 6, 7)
	v := placed(s, nil)
	l := line{events: e}
	for i, want := range []int{5, 5, 5, 0, 0} {
		if got := v.passage(l, i); got != want {
			t.Errorf("from event %d: %d moves, want %d", i, got, want)
		}
	}
	for i := range s.Measures {
		s.Measures[i].Nominal = 24
	}
	if got := v.passage(l, 0); got != 6 {
		t.Errorf("in a longer measure: %d moves, want 6", got)
	}
	if gap, step := v.move(l, 6); gap != 4 || step != 1 {
		t.Errorf("over the octave: %d ticks, %d steps", gap, step)
	}
	l.events = eventsOf(0, 8, 8, 4, 12, 4, 16, 8, 24, 4)
	for i := range l.events {
		l.events[i].top = i
	}
	for i, want := range []bool{true, true, false, false} { // from note to note 8 4 4 8
		if got := v.opens(l, i); got != want {
			t.Errorf("event %d opens %v", i, got)
		}
	}
}

// A passage of the leading line that comes back after other moves is marked where it starts,
// both times; one that is reached by the same move each time is part of a longer one.
func TestParallelsAreMarked(t *testing.T) {
	theme := []int{0, 2, 4, 5, 4, 2}
	for _, c := range []struct {
		name  string
		steps []int
		want  []score.Tick
	}{
		{"with other music between", slices.Concat(theme, []int{9, 1}, []int{8, 3, 1, 6, 9, 2, 7, 4}, theme, []int{5, 9}), []score.Tick{0, 64}},
		{"nothing comes back", []int{0, 2, 4, 5, 4, 2, 9, 1, 8, 3, 1, 6, 9, 2, 7, 4}, nil},
		{"at another place of the measure", slices.Concat(theme, []int{9, 1}, []int{8, 3, 1, 6, 9, 2, 7, 4, 3}, theme, []int{5, 9, 8}), nil},
	} {
		s, e := walkOn(c.steps...)
		v := placed(s, nil)
		v.lines = []line{{events: e}}
		v.bounds()
		var got []score.Tick
		for at := range v.findParallels() {
			got = append(got, at)
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A ground bass has a period of three to sixteen measures of at least three kinds, and comes
// again in two thirds of the piece and four times at least. Our own limits.
func TestGrounds(t *testing.T) {
	for _, c := range []struct {
		name, bars string // a letter a measure, one bass each
		want       int    // measures from start to start, 0 none
	}{
		{"four times three", "abcabcabcabc", 3}, {"three times", "abcabcabc", 0}, {"of two kinds", "abbabbabbabb", 0}, {"four times four", "abcdabcdabcdabcd", 4}, {"two thirds of it", "abcabcabcxyzabcabcabc", 3}, {"less", "abcabcabcxyzabcabc", 0}, {"a period of two", "abababababab", 0},
	} {
		var steps []int
		for _, x := range c.bars {
			steps = append(steps, int(x-'a'))
		}
		s := bars44(len(steps))
		var e []event
		for i, x := range steps {
			s.Notes = append(s.Notes, score.Note{Onset: score.Tick(16 * i), Duration: 16, Measure: i, Pitch: score.Pitch{Step: x % 7, Octave: 2 + x/7}})
			e = append(e, event{onset: score.Tick(16 * i), end: score.Tick(16*i + 16), top: i})
		}
		v := placed(s, nil)
		v.lines = []line{{events: e}}
		got, n := v.grounds(), 0
		for at := range got {
			if n == 0 || int(at/16) < n {
				n = int(at / 16)
			}
		}
		if n != c.want || c.want > 0 && len(got) != len(c.bars)/c.want-1 {
			t.Errorf("%s: starts again at %v", c.name, got)
		}
	}
	v := &surface{s: bars44(1), lines: []line{{}, {events: eventsOf(0, 4), height: 60}, {events: eventsOf(4, 4), height: 40}, {events: eventsOf(8, 4), height: 40}}}
	if got := v.bassLine(); len(got) != 1 || got[0].onset != 4 {
		t.Errorf("of the lines the lowest is %v", got)
	}
	if (&surface{lines: []line{{}}}).bassLine() != nil {
		t.Error("silence has a bass")
	}
}
