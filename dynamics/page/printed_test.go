package page

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"hairpin/dynamics/written"
	"hairpin/score"
)

// A printed level stands until the next one: zones of the whole page, of two at one moment the
// louder, and before the first mark mf.
func TestZonesOfMarks(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want string
	}{
		{nil, "0-384 5"}, {[]string{"1:1 p"}, "0-384 3"}, {[]string{"2:1 p"}, "0-48 5, 48-384 3"}, {[]string{"1:1 p", "3:1 f"}, "0-96 3, 96-384 6"},
		{[]string{"1:1 p", "3:1 f", "3:1#2 p"}, "0-96 3, 96-384 6"}, {[]string{"1:1 p", "3:1 p", "3:1#2 f"}, "0-96 3, 96-384 6"}, {[]string{"1:1 p", `3:1 "mf/f"`}, "0-96 3, 96-384 5"},
	} {
		var got []string
		for _, z := range Printed(written.Score(t, c.put...), nil).Zones {
			got = append(got, fmt.Sprintf("%d-%d %g", z.Start, z.End, z.Level))
		}
		if s := strings.Join(got, ", "); s != c.want {
			t.Errorf("%q: %s, want %s", c.put, s, c.want)
		}
	}
}

// Of marks of one moment that differ the louder leads; staves are apart if they are ever
// marked differently at one moment.
func TestStavesApart(t *testing.T) {
	for _, c := range []struct {
		put   []string
		apart bool
		level float64
	}{
		{[]string{"1:1@1 p", "1:1@2 f"}, true, F}, {[]string{"1:1@1 f", "1:1@2 p"}, true, F}, {[]string{"1:1@1 p", "1:1@2 p"}, false, P}, {[]string{"1:1@1 p", "1:2@2 f"}, false, P},
	} {
		s := written.Score(t, c.put...)
		p := Printed(s, nil)
		if got := len(p.Parts) > len(s.Parts); got != c.apart {
			t.Errorf("%q: apart %v", c.put, got)
		}
		if got := p.Parts[0].At(0); !near(got, c.level) {
			t.Errorf("%q: %v, want %v", c.put, got, c.level)
		}
	}
}

// A staff keeps its own marks, those of the whole part, and those of the other staff that it
// does not answer by one of its kind less than a quarter away.
func TestEventsForAStaff(t *testing.T) {
	e := func(at score.Tick, staff int) event { return event{at: at, staff: staff, act: set("p", P)[0]} }
	for _, c := range []struct {
		other score.Tick
		want  int
	}{{100, 1}, {111, 1}, {112, 2}, {89, 1}, {88, 2}} {
		if got := len(eventsFor([]event{e(100, 1), e(c.other, 2)}, staffID{0, 1}, 12)); got != c.want {
			t.Errorf("a mark of the other staff at %d, its own at 100: %d", c.other, got)
		}
	}
	if got := eventsFor([]event{e(100, 0), e(100, 2)}, staffID{0, 1}, 12); len(got) != 1 || got[0].staff != 0 {
		t.Errorf("%+v", got)
	}
}

// An unmarked part takes the level of the nearest marked one, of two as near the upper.
func TestNearestLends(t *testing.T) {
	for _, c := range []struct {
		marked []string
		want   float64 // of the third part of five
	}{{[]string{"p", "", "", "f", ""}, F}, {[]string{"p", "", "", "", "f"}, P}, {[]string{"", "p", "", "f", ""}, P}, {[]string{"", "", "", "", "f"}, F}} {
		s := written.Blank()
		s.Parts = nil
		s.Dynamics = nil
		for i, m := range c.marked {
			s.Parts = append(s.Parts, score.Part{ID: fmt.Sprint(i), Name: fmt.Sprint("Viola ", i), Staves: 1})
			if m != "" {
				s.Dynamics = append(s.Dynamics, score.Dynamic{Place: score.Place{Part: i}, Mark: m})
			}
		}
		if got := Printed(s, nil).Parts[2].At(0); !near(got, c.want) {
			t.Errorf("%q: the third has %v, want %v", c.marked, got, c.want)
		}
	}
}

// The whole of two that sound is the mean of their powers, a step being 2.5 times the power;
// one that rests does not count.
func TestMeanOfPowers(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want float64
	}{
		{[]string{"1:1 p", "1:1#2 p"}, P}, {[]string{"1:1 p", "1:1#2 f"}, P + math.Log((1+2.5*2.5*2.5)/2)/math.Log(2.5)}, {[]string{"1:1 p", "1:1#2 f", "1:1#2 rest 3:1"}, P},
	} {
		if got := Printed(written.Score(t, c.put...), nil).Whole.At(0); !near(got, c.want) {
			t.Errorf("%q: %.3f, want %.3f", c.put, got, c.want)
		}
	}
}

// A sudden change is named from two steps on, or from any if it says subito; after a growth a
// mark at least a step softer is a climax withheld. What begins the piece is no change.
func TestContrastBounds(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want ContrastKind
	}{
		{[]string{"1:1 p", "3:1 mf"}, Subito}, {[]string{"1:1 p", "3:1 mp"}, ""}, {[]string{"1:1 mf", "3:1 p"}, Subito}, {[]string{"1:1 mp", "3:1 p"}, ""},
		{[]string{"1:1 mp", `3:1 "subito p"`}, Subito}, {[]string{"1:1 p", `3:1 "subito p"`}, ""}, {[]string{"1:1 f"}, ""},
		{[]string{"1:1 p", "2:1 <3:1", "3:1 pp"}, Withheld}, {[]string{"1:1 f", "2:1 <3:1", "3:1 f"}, ""}, {[]string{"1:1 f", "2:1 >3:1", "3:1 ff"}, Subito},
	} {
		var got ContrastKind
		for _, x := range Printed(written.Score(t, c.put...), nil).Contrasts {
			if x.At == 96 {
				got = x.Kind
			}
		}
		if got != c.want {
			t.Errorf("%q: %q, want %q", c.put, got, c.want)
		}
	}
}

// A manner leans halfway to its level, but says nothing where a mark stands within a quarter
// of it.
func TestTintNearAMark(t *testing.T) {
	for put, want := range map[string]bool{"8:1 p": true, "3:1 mf": false, "3:2 mf": false, "2:4 mf": false, "3:2.5 mf": true, "2:3.5 mf": true} {
		if got := !near(Printed(written.Score(t, "1:1 mf", `3:1 "dolce"`, put), nil).Whole.At(96), MF); got != want {
			t.Errorf("with %s: leans %v", put, got)
		}
	}
}

// A level mark is said by its letters or in full; a manner that is read as one is told in its
// own words.
func TestStatedMark(t *testing.T) {
	for text, want := range map[string]bool{"p": true, "sempre p": true, "subito piano": true, "forte": true, "mezzo forte": true, "pno": true, "softly": false, "sanft": false, "poco": false} {
		if got := namesMark(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
	for _, c := range []struct {
		e    event
		want string
	}{
		{event{act: action{level: P, text: "sempre p"}}, "p"}, {event{act: action{level: F - 0.5, text: "poco f"}}, "poco f"}, {event{act: action{level: 8.5, text: "ffff"}}, "ffff"},
		{event{act: action{level: FFF, text: "fff"}}, "fff"}, {event{act: action{level: P, text: "p"}, recalled: true}, ""}, {event{act: action{level: P, text: "p", as: "mf"}}, "mf"}, {event{act: action{level: P, text: "softly"}}, "softly"},
	} {
		if got := stated(c.e); got != c.want {
			t.Errorf("%+v: %q, want %q", c.e.act, got, c.want)
		}
	}
}
