package phrasing

import (
	"math"
	"testing"

	"hairpin/harmony/form"
	"hairpin/score"
)

// bars44 are so many measures of 4/4 for the tests of places, four ticks a quarter.
func bars44(n int) *score.Score {
	s := &score.Score{Division: 4}
	for i := range n {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(16 * i), Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4})
	}
	return s
}

// placed is what the page shows of measures and of what comes back.
func placed(s *score.Score, returns []form.Return) *surface {
	return &surface{s: s, passed: passed(s), returns: returns, beat: 4}
}

// comesBack is music of some bars from bar 0 on that comes back after so many others.
func comesBack(count, between int, likeness float64) form.Return {
	again := count + between
	return form.Return{FirstBar: 0, Bar: again, Count: count, Likeness: likeness,
		First: form.Span{Start: 0, End: score.Tick(16 * count)}, Again: form.Span{Start: score.Tick(16 * again), End: score.Tick(16 * (again + count))}}
}

// A phrase starts where six bars come back, four fifths alike and with other music between;
// shorter, less alike or at once they tell nothing. Our own bounds.
func TestReturnTellsAStart(t *testing.T) {
	for _, c := range []struct {
		name string
		r    form.Return
		want bool
	}{
		{"six bars", comesBack(6, 1, 0.8), true}, {"five", comesBack(5, 1, 0.8), false},
		{"less alike", comesBack(6, 1, 0.79), false}, {"at once", comesBack(6, 0, 0.8), false},
	} {
		if got := tellsStart(c.r); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		v := &surface{s: bars44(20), returns: []form.Return{c.r}}
		for at, want := range map[score.Tick]bool{0: c.want, c.r.Again.Start: c.want, 16: false} {
			if got := v.startsAlike(at); got != want {
				t.Errorf("%s at %d: %v", c.name, at, got)
			}
		}
	}
}

// A return adds most to a start where the opening comes back after four bars of other music,
// then where eight bars do, or the opening after two, then where shorter ones do and where what comes back was first
// heard; nearer returns and shorter ones add nothing. Our own order.
func TestWhatReturnsAdd(t *testing.T) {
	w := DefaultWeights()
	opening := comesBack(8, 4, 0.9)
	opening.Opening = true
	near := comesBack(8, 3, 0.9)
	near.Opening = true
	tooNear := comesBack(8, 1, 0.9)
	tooNear.Opening = true
	for _, c := range []struct {
		name         string
		r            form.Return
		first, again float64
	}{
		{"the opening", opening, w.Alike, w.Opening}, {"the opening after three bars", near, w.Alike, w.Return}, {"the opening too soon", tooNear, w.Alike, w.Alike},
		{"eight bars", comesBack(8, 4, 0.9), w.Alike, w.Return}, {"eight bars too soon", comesBack(8, 3, 0.9), w.Alike, w.Alike},
		{"seven bars", comesBack(7, 4, 0.9), w.Alike, w.Alike}, {"five bars", comesBack(5, 4, 0.9), 0, 0},
	} {
		v := &surface{s: bars44(20), w: w, returns: []form.Return{c.r}}
		got := v.starts()
		if math.Abs(got[0]-c.first) > 1e-9 || math.Abs(got[c.r.Again.Start]-c.again) > 1e-9 {
			t.Errorf("%s: %v, want %v first and %v again", c.name, got, c.first, c.again)
		}
		if v.opensAgain(c.r.Again.Start) != (c.name == "the opening") || v.opensAgain(0) {
			t.Errorf("%s: opens again %v", c.name, v.opensAgain(c.r.Again.Start))
		}
	}
	if w.Opening <= w.Return || w.Return <= w.Alike || w.Alike <= 0 {
		t.Error("the gains are out of order")
	}
}

// A moment inside a return is judged where it was first heard, if the return is eight bars
// and at least four fifths alike and two of them are past; through two returns in a row too.
func TestOrigin(t *testing.T) {
	twice := []form.Return{comesBack(8, 0, 0.9), comesBack(8, 0, 0.9)}
	twice[1].First, twice[1].Again = twice[0].Again, form.Span{Start: 256, End: 384}
	moved := []form.Return{comesBack(8, 0, 0.8)}
	moved[0].Steps, moved[0].Semitones = 4, 7
	for _, c := range []struct {
		name     string
		returns  []form.Return
		at, want score.Tick
	}{
		{"two bars in", []form.Return{comesBack(8, 0, 0.8)}, 160, 32}, {"less than two", []form.Return{comesBack(8, 0, 0.8)}, 156, 156},
		{"its start", []form.Return{comesBack(8, 0, 0.8)}, 128, 128}, {"seven bars", []form.Return{comesBack(7, 0, 0.8)}, 160, 160},
		{"less alike", []form.Return{comesBack(8, 0, 0.79)}, 160, 160}, {"before it", []form.Return{comesBack(8, 0, 0.8)}, 100, 100},
		{"twice", twice, 300, 44},
	} {
		if got := placed(bars44(24), c.returns).origin(c.at); got != c.want {
			t.Errorf("%s: %d from %d, want %d", c.name, c.at, got, c.want)
		}
	}
	v := &surface{s: bars44(24), returns: moved}
	if at, by := v.firstHeard(160, func(form.Return, score.Tick) bool { return true }); at != 32 || by != 1 {
		t.Errorf("a fifth up: heard at %d, %d fifths", at, by)
	}
	if at, _ := v.firstHeard(160, func(form.Return, score.Tick) bool { return false }); at != 160 {
		t.Errorf("a return that does not tell is followed to %d", at)
	}
}

// What speaks for repeated boundaries is shared as a mean.
func TestShare(t *testing.T) {
	list := []boundary{{gain: 1, closing: 0.2}, {gain: 9, closing: 0.9}, {gain: 3, closing: 0.6}}
	share(list, []int{0, 2})
	for i, want := range []boundary{{gain: 2, closing: 0.4}, {gain: 9, closing: 0.9}, {gain: 2, closing: 0.4}} {
		if math.Abs(list[i].gain-want.gain)+math.Abs(list[i].closing-want.closing) > 1e-9 {
			t.Errorf("%d: %+v", i, list[i])
		}
	}
}

// A start is told at its moment, or at an upbeat within half a measure before it that is
// more than half a unit likelier, what closes before it counted too.
func TestStartAt(t *testing.T) {
	w := DefaultWeights()
	for _, c := range []struct {
		name string
		list []boundary
		want int // which is told, -1 none
	}{
		{"its moment alone", []boundary{{at: 16}}, 0},
		{"no likelier upbeat", []boundary{{at: 12}, {at: 16}}, 1},
		{"an upbeat as likely as that", []boundary{{at: 12, gain: clearUpbeat}, {at: 16}}, 1},
		{"a likelier upbeat", []boundary{{at: 12, gain: clearUpbeat + 0.01}, {at: 16}}, 0},
		{"half a measure before", []boundary{{at: 8, gain: 9}, {at: 16}}, 0},
		{"more than half", []boundary{{at: 7, gain: 9}, {at: 16}}, 1},
		{"after it", []boundary{{at: 16}, {at: 17, gain: 9}}, 0},
		{"a close before the upbeat", []boundary{{at: 12, closing: (clearUpbeat + 0.01) / w.Cadence}, {at: 16}}, 0},
		{"far away", []boundary{{at: 0}, {at: 32}}, -1},
	} {
		before := make([]float64, len(c.list))
		for i, b := range c.list {
			before[i] = b.gain
		}
		(&surface{s: bars44(4), w: w}).startAt(c.list, 16, 3, "a reason")
		for i, b := range c.list {
			want := before[i]
			if i == c.want {
				want += 3
			}
			if math.Abs(b.gain-want) > 1e-9 || (len(b.follows) == 1) != (i == c.want) {
				t.Errorf("%s: candidate %d: %+v, want gain %.2f", c.name, i, b, want)
			}
		}
	}
}

// The leading line comes in where others have played two bars alone, in the last of them
// too: at the start of a piece, or again if it is a soloist.
func TestEntersAfterTwoBars(t *testing.T) {
	ev := func(at ...score.Tick) (out []event) {
		for _, t := range at {
			out = append(out, event{onset: t, end: t + 4})
		}
		return out
	}
	for _, c := range []struct {
		name       string
		lead, bass []event
		at         score.Tick
		solo, want bool
	}{
		{"after two bars", ev(32), ev(0, 16, 32), 32, false, true},
		{"after less", ev(31), ev(0, 16, 32), 31, false, false},
		{"where it does not start", ev(36), ev(0, 16, 32), 32, false, false},
		{"not alone: nobody plays in the last bar", ev(32), ev(0), 32, false, false},
		{"again, a soloist", ev(0, 36), ev(0, 16, 32), 36, true, true},
		{"again, after less", ev(0, 35), ev(0, 16, 32), 35, true, false},
		{"again, no soloist", ev(0, 36), ev(0, 16, 32), 36, false, false},
		{"past the last note", ev(0), ev(0, 16, 32), 48, true, false},
	} {
		v := &surface{s: bars44(4), lines: []line{{events: c.lead}, {events: c.bass}}, beat: 4}
		if got := v.enters(c.at, c.solo); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		if v.lead = -1; v.enters(c.at, c.solo) {
			t.Errorf("%s: no line leads, and yet it comes in", c.name)
		}
	}
}

// A start inside a measure moves to the downbeat if it lies in its first half, is likelier,
// the lead holds over the downbeat or comes within a quarter beat of it, and strikes nothing
// between.
func TestStartMovesToTheDownbeat(t *testing.T) {
	held := []event{{onset: 8, end: 24}, {onset: 24, end: 32}} // over the second downbeat, 16
	for _, c := range []struct {
		name  string
		at    score.Tick
		gain  float64
		lead  []event
		b     boundary
		moves bool
	}{
		{"while the lead holds over", 20, 1, held, boundary{}, true},
		{"no likelier", 20, 0, held, boundary{}, false},
		{"half a measure in", 24, 1, held, boundary{}, false},
		{"just before", 23, 1, held, boundary{}, true},
		{"the lead rests", 20, 1, []event{{onset: 8, end: 16}, {onset: 20, end: 32}}, boundary{}, false},
		{"the lead comes at once", 17, 1, []event{{onset: 8, end: 16}, {onset: 17, end: 32}}, boundary{}, true},
		{"a little later", 18, 1, []event{{onset: 8, end: 16}, {onset: 18, end: 32}}, boundary{}, false},
		{"the lead strikes between", 20, 1, []event{{onset: 8, end: 16}, {onset: 16, end: 20}}, boundary{}, false},
		{"a clear close of this measure before it", 20, 1, held, boundary{from: 16, closing: clearClose}, false},
		{"an unclear one", 20, 1, held, boundary{from: 16, closing: clearClose - 0.01}, true},
		{"a clear one of the measure before", 20, 1, held, boundary{from: 15, closing: clearClose}, true},
	} {
		c.b.at, c.b.gain = c.at, c.gain
		list := []boundary{{at: 16}, c.b}
		(&surface{s: bars44(3), lines: []line{{events: c.lead}}, beat: 4}).startOnBeat(list)
		if got := list[0].gain > list[1].gain; got != c.moves {
			t.Errorf("%s: moves %v", c.name, got)
		}
	}
}

// Some line moves on in a measure if it strikes three notes in it; two are a close.
func TestGoesOn(t *testing.T) {
	for n, want := range map[int]bool{2: false, 3: true} {
		l := line{events: []event{{onset: 0, end: 16}}}
		for i := range n {
			l.events = append(l.events, event{onset: score.Tick(16 + 4*i), end: score.Tick(20 + 4*i)})
		}
		l.events = append(l.events, event{onset: 32, end: 36}, event{onset: 36, end: 40})
		if got := (&surface{s: bars44(3), lines: []line{{}, l}}).goesOn(16); got != want {
			t.Errorf("%d notes: %v", n, got)
		}
	}
}
