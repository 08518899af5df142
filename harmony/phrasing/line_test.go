package phrasing

import (
	"math"
	"testing"

	"hairpin/score"
)

// eventsOf are notes one after the other, each a time and a length.
func eventsOf(times ...score.Tick) (out []event) {
	for i := 0; i+1 < len(times); i += 2 {
		out = append(out, event{onset: times[i], end: times[i] + times[i+1]})
	}
	return out
}

// What a line is doing at a moment: a note sounds from its start and not at its end; a gap
// is the silence after it, after the last up to the end of the music.
func TestLineAtAMoment(t *testing.T) {
	l := line{events: eventsOf(4, 4, 8, 2, 12, 4)}
	for at, want := range map[score.Tick]int{0: -1, 4: -1, 5: 0, 8: 0, 9: 1, 12: 1, 13: 2, 99: 2} {
		if got := l.before(at); got != want {
			t.Errorf("before %d: %d, want %d", at, got, want)
		}
	}
	for at, want := range map[score.Tick]score.Tick{3: -1, 4: 4, 7: 4, 8: 8, 10: -1, 11: -1, 12: 12, 15: 12, 16: -1} {
		e, ok := l.soundingAt(at)
		if ok != (want >= 0) || ok && e.onset != want {
			t.Errorf("at %d: %+v %v, want the note at %d", at, e, ok, want)
		}
	}
	for i, want := range []score.Tick{0, 2, 4} {
		if got := l.gap(i, 20); got != want {
			t.Errorf("gap after %d: %d, want %d", i, got, want)
		}
	}
	if got := l.gap(2, 10); got != 0 {
		t.Errorf("a note that outlasts the music leaves a gap of %d", got)
	}
}

// What is usual is the mean of the eight events on either side, the event's own left out.
func TestUsual(t *testing.T) {
	l := line{events: eventsOf(0, 4, 4, 4, 8, 4, 20, 2, 24, 4)} // 4, 4, 12, 4 from note to note
	for i, want := range []float64{20 / 3.0, 20 / 3.0, 4, 20 / 3.0} {
		if got := l.usual(i); math.Abs(got-want) > 1e-9 {
			t.Errorf("usual around %d: %.3f, want %.3f", i, got, want)
		}
	}
	for i, want := range []float64{10 / 3.0, 10 / 3.0, 2 / 3.0, 8 / 3.0} { // gaps 0 0 8 2, the last counts for none
		if got := l.usualGap(i, 28); math.Abs(got-want) > 1e-9 {
			t.Errorf("usual gap around %d: %.3f, want %.3f", i, got, want)
		}
	}
	short := line{events: eventsOf(0, 4, 8, 4)}
	if got := short.usual(0); !math.IsInf(got, 1) {
		t.Errorf("of two notes: %v", got)
	}
	long := line{}
	for i := range 40 { // quarters to the 20th, halves from there on
		long.events = append(long.events, event{onset: score.Tick(4*i + 4*max(i-20, 0)), end: score.Tick(4*i + 4*max(i-20, 0) + 4)})
	}
	for i, want := range map[int]float64{11: 4, 12: (15*4 + 8) / 16.0, 28: 8, 27: (15*8 + 4) / 16.0} {
		if got := long.usual(i); math.Abs(got-want) > 1e-9 {
			t.Errorf("around %d of many: %.3f, want %.3f", i, got, want)
		}
	}
}

// The only single-staff part beside keyboards leads, else the highest line that sounds for
// two fifths of the busiest's time; of two alike the first; a percussion part is no soloist.
func TestWhoLeads(t *testing.T) {
	part := func(staves int) score.Part { return score.Part{Staves: staves} }
	drums := score.Part{Staves: 1, Percussion: true}
	for _, c := range []struct {
		name  string
		parts []score.Part
		lines []line
		want  int
	}{
		{"nobody", []score.Part{part(2)}, nil, -1},
		{"the higher", []score.Part{part(2)}, []line{{height: 50, sounding: 10}, {height: 70, sounding: 10}}, 1},
		{"two alike", []score.Part{part(2)}, []line{{height: 70, sounding: 10}, {height: 70, sounding: 10}}, 0},
		{"it sounds two fifths", []score.Part{part(2)}, []line{{height: 50, sounding: 10}, {height: 70, sounding: 4}}, 1},
		{"it sounds less", []score.Part{part(2)}, []line{{height: 50, sounding: 100}, {height: 70, sounding: 39}}, 0},
		{"a singer below", []score.Part{part(2), part(1)}, []line{{part: 0, height: 70, sounding: 10}, {part: 1, height: 50, sounding: 1}}, 1},
		{"a singer's higher line", []score.Part{part(2), part(1)}, []line{{part: 1, height: 50, sounding: 10}, {part: 1, height: 60, sounding: 6}}, 1},
		{"that hardly sounds", []score.Part{part(2), part(1)}, []line{{part: 1, height: 50, sounding: 10}, {part: 1, height: 60, sounding: 5}}, 0},
		{"a singer who is silent", []score.Part{part(2), part(1)}, []line{{part: 0, height: 70, sounding: 10}}, 0},
	} {
		if got := leadingLine(&score.Score{Parts: c.parts}, c.lines); got != c.want {
			t.Errorf("%s: line %d, want %d", c.name, got, c.want)
		}
	}
	for _, c := range []struct {
		name  string
		parts []score.Part
		want  int
	}{
		{"a duo", []score.Part{part(1), part(1)}, -1}, {"one alone", []score.Part{part(1)}, -1}, {"with a keyboard", []score.Part{part(1), part(2)}, 0},
		{"a keyboard first", []score.Part{part(2), part(1)}, 1}, {"two beside it", []score.Part{part(1), part(1), part(2)}, -1}, {"drums beside it", []score.Part{drums, part(2), part(1)}, 2},
		{"drums alone beside it", []score.Part{drums, part(2)}, -1},
	} {
		if got := soloist(&score.Score{Parts: c.parts}); got != c.want {
			t.Errorf("%s: part %d, want %d", c.name, got, c.want)
		}
	}
}
