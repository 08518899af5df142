package page

import (
	"fmt"
	"strings"
	"testing"

	"hairpin/dynamics/written"
	"hairpin/score"
)

// ramps are the ramps of a small score as they are gathered: "at-end+" with ticks, * where a
// word has its hairpin.
func ramps(t *testing.T, items ...string) string {
	t.Helper()
	var out []string
	for _, e := range gather(written.Score(t, items...), func(int) bool { return true }) {
		if e.act.kind == ramp {
			way := "+"
			if e.act.steps < 0 {
				way = "-"
			}
			if e.joined {
				way += "*"
			}
			out = append(out, fmt.Sprintf("%d-%d%s", e.at, e.end, way))
		}
	}
	return strings.Join(out, " ")
}

// Two hairpins over the same stretch, one each way, are one swell that turns in the middle;
// over another stretch or in another part they are two. A second pair is a second swell.
func TestArches(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want string
	}{
		{[]string{"1:1 <3:1", "1:1 >3:1"}, "0-48+ 48-96-"}, {[]string{"1:1 >3:1", "1:1 <3:1"}, "0-48+ 48-96-"},
		{[]string{"1:1 <3:1", "1:1 >3:2"}, "0-96+ 0-108-"}, {[]string{"1:1 <3:1", "1:2 >3:1"}, "0-96+ 12-96-"}, {[]string{"1:1 <3:1", "1:1#2 >3:1"}, "0-96+ 0-96-"},
		{[]string{"1:1 <3:1", "3:1 >5:1"}, "0-96+ 96-192-"},
	} {
		if got := ramps(t, c.put...); got != c.want {
			t.Errorf("%q: %s, want %s", c.put, got, c.want)
		}
	}
}

// A word and the hairpin the same way that begins with it or less than a measure after are
// one; a hairpin the other way, in another part, a mark or another word between keeps them
// apart, and poco a poco has none of its own.
func TestOwnHairpin(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want string
	}{
		{[]string{`1:1 "cresc."`, "1:1 <2:1"}, "0-48+*"}, {[]string{`1:1 "cresc."`, "1:4 <3:1"}, "0-96+*"}, {[]string{`1:1 "cresc."`, "2:1 <3:1"}, "0-0+ 48-96+"},
		{[]string{`1:1 "cresc."`, "1:3 >3:1"}, "0-0+ 24-96-"}, {[]string{`1:1 "cresc."`, "1:3#2 <3:1"}, "0-0+ 24-96+"}, {[]string{`1:1 "dim."`, "1:3 >3:1"}, "0-96-*"},
		{[]string{`1:1 "cresc."`, "1:2 f", "1:3 <3:1"}, "0-0+ 24-96+"}, {[]string{`1:1 "cresc."`, `1:2 "dim."`, "1:3 <3:1"}, "0-0+ 12-0- 24-96+"},
		{[]string{`1:1 "poco a poco cresc."`, "1:3 <3:1"}, "0-0+ 24-96+"}, {[]string{`1:1 "cresc."`, "1:1 f", "1:3 <3:1"}, "0-96+*"},
	} {
		if got := ramps(t, c.put...); got != c.want {
			t.Errorf("%q: %s, want %s", c.put, got, c.want)
		}
	}
}

// Dashes begin within a quarter of their word and reach half a measure beyond it; a shorter
// line only fills the gap.
func TestDashesOfAWord(t *testing.T) {
	for _, c := range []struct {
		word, dashes string
		want         string
	}{
		{"1:2", "1:2 ---3:1", "12-96+"}, {"1:2", "1:3 ---3:1", "12-96+"}, {"1:2", "1:1 ---3:1", "12-96+"}, {"1:2", "1:4 ---3:1", "12-0+"}, {"1:3", "1:1 ---3:1", "24-0+"},
		{"1:2", "1:2 ---1:4", "12-36+"}, {"1:2", "1:2 ---1:3.5", "12-0+"}, {"1:2", "1:2#2 ---3:1", "12-0+"},
	} {
		if got := ramps(t, c.word+` "cresc."`, c.dashes); got != c.want {
			t.Errorf("word at %s, dashes %s: %s, want %s", c.word, c.dashes, got, c.want)
		}
	}
}

// A modifier alone belongs to the mark of its part that stands with it or up to a quarter
// after; later, before or in another part it says nothing of it.
func TestModifierAndMark(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want string // the texts that are read
	}{
		{[]string{`1:1 "subito"`, "1:1 p"}, "subito p"}, {[]string{`1:1 "subito"`, "1:2 p"}, "subito p"}, {[]string{`1:1 "subito"`, "1:2.5 p"}, "subito | p"},
		{[]string{`1:2 "subito"`, "1:1 p"}, "p | subito"}, {[]string{`1:1 "subito"`, "1:1#2 p"}, "subito | p"}, {[]string{`1:1 "molto"`, `1:2 "cresc."`}, "molto cresc."},
		{[]string{`1:1 "dolce"`, "1:1 p"}, "dolce | p"}, {[]string{`1:1 "poco a"`, `1:2 "poco"`, "1:3 p"}, "poco a | poco | p"},
	} {
		s := written.Score(t, c.put...)
		var got []string
		for _, x := range join(texts(s, func(int) bool { return true }), s.Division) {
			got = append(got, x.words)
		}
		if strings.Join(got, " | ") != c.want {
			t.Errorf("%q: %q, want %q", c.put, got, c.want)
		}
	}
}

// Twelve texts at one moment of a part are read, thirteen are the words of a song.
func TestHeapOfTexts(t *testing.T) {
	for n, want := range map[int]int{mostTexts: mostTexts, mostTexts + 1: 0} {
		s := written.Blank()
		for range n {
			written.Put(t, s, `1:1 "dolce"`)
		}
		if got := len(texts(s, func(int) bool { return true })); got != want {
			t.Errorf("of %d texts %d are read, want %d", n, got, want)
		}
	}
	for text, want := range map[string]bool{"Piano": true, "Pianoforte": true, "Piano solo": true, "Oboe": false, "p": false} {
		s := written.Blank()
		if got := namesInstrument(s, score.Words{Text: text}); got != want {
			t.Errorf("%q names the first part: %v", text, got)
		}
		if namesInstrument(s, score.Words{Place: score.Place{At: 48}, Text: text}) {
			t.Errorf("%q names a part in the second measure", text)
		}
	}
	s := written.Blank()
	if !namesInstrument(s, score.Words{Place: score.Place{Part: 1}, Text: "Oboe"}) {
		t.Error("Oboe does not name the oboe")
	}
}

// What both staves print alike is one event of the whole part; in one staff it stays there.
func TestUniqueMarks(t *testing.T) {
	p := set("p", P)[0]
	got := unique([]event{{at: 0, staff: 1, act: p}, {at: 0, staff: 2, act: p}, {at: 0, staff: 1, part: 1, act: p}, {at: 12, staff: 1, act: p}, {at: 12, staff: 1, act: p}, {at: 24, staff: 2, act: p}, {at: 24, staff: 1, act: set("f", F)[0]}})
	var out []string
	for _, e := range got {
		out = append(out, fmt.Sprintf("%d:%d@%d", e.at, e.part, e.staff))
	}
	if s := strings.Join(out, " "); s != "0:0@0 0:1@1 12:0@1 24:0@2 24:0@1" {
		t.Errorf("%s", s)
	}
}

// At one moment accents come first, then levels, manners, steps and ramps; of two alike the
// upper part.
func TestOrderOfEvents(t *testing.T) {
	e := func(at score.Tick, part int, kind actionKind) event {
		return event{at: at, part: part, act: action{kind: kind}}
	}
	list := []event{e(0, 1, accent), e(1, 0, accent), e(1, 1, accent), e(1, 0, setLevel), e(1, 0, tint), e(1, 0, step), e(1, 0, ramp), e(1, 1, ramp), e(2, 0, accent)}
	for i := range list {
		for j := range list {
			if got := before(list[i], list[j]); got != (i < j) {
				t.Errorf("%+v before %+v: %v", list[i], list[j], got)
			}
		}
	}
}

// Two hands of one keyboard, or of no name, written as two parts are one instrument; others are not.
func TestInstruments(t *testing.T) {
	for _, c := range []struct {
		a, b   string
		staves int
		want   bool
	}{
		{"Piano (right)", "Piano (left)", 1, true}, {"Marimba R.H.", "Marimba L.H.", 1, true}, {"", "", 1, true}, {"Flute 1", "Flute 2", 1, false},
		{"Piano", "Harp", 1, false}, {"Piano", "Piano", 2, false}, {"Orgel", "Orgel", 1, true},
	} {
		if got := sameInstrument(score.Part{Name: c.a, Staves: 1}, score.Part{Name: c.b, Staves: c.staves}); got != c.want {
			t.Errorf("%q and %q on %d: %v", c.a, c.b, c.staves, got)
		}
		if got := sameInstrument(score.Part{Name: c.a, Staves: c.staves}, score.Part{Name: c.b, Staves: 1}); got != c.want {
			t.Errorf("%q on %d and %q: %v", c.a, c.staves, c.b, got)
		}
	}
}
