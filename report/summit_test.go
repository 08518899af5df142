package report

import (
	"slices"
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// tune is a reading of quarters in 4/4, four ticks a measure: MIDI keys, 0 for a rest.
func tune(keys ...int) *Reading {
	r := &Reading{Score: &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 1}}}, Harmony: &harmony.Analysis{}, Page: &page.Page{}}
	for i, k := range keys {
		if i%4 == 0 {
			r.Score.Measures = append(r.Score.Measures, score.Measure{Number: string(rune('1' + i/4)), Start: score.Tick(i), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		}
		if k > 0 {
			c := tonal.KeyAt(k, false).Tonic
			r.Score.Notes = append(r.Score.Notes, score.Note{Onset: score.Tick(i), Duration: 1, Measure: i / 4, Pitch: tonal.PitchNear(c, k)})
		}
	}
	r.To = r.Score.Length()
	return r
}

// The tune's tops are its highest notes, one a measure, in up to three measures; in a song
// those of the voice.
func TestTopsOfTheTune(t *testing.T) {
	for _, c := range []struct {
		name string
		keys []int
		want []score.Tick
	}{
		{"one", []int{60, 62, 67, 60, 62, 60, 60, 60}, []score.Tick{2}}, {"twice in a measure", []int{67, 62, 67, 60, 62, 60, 60, 60}, []score.Tick{0}}, {"in two measures", []int{60, 67, 60, 60, 67, 60, 60, 60}, []score.Tick{1, 4}},
		{"in three", []int{67, 0, 0, 0, 67, 0, 0, 0, 67, 0, 0, 0}, []score.Tick{0, 4, 8}}, {"in four", []int{67, 0, 0, 0, 67, 0, 0, 0, 67, 0, 0, 0, 67, 0, 0, 0}, nil}, {"a higher one after it", []int{60, 67, 60, 60, 68, 60, 60, 60}, []score.Tick{4}},
	} {
		var got []score.Tick
		for _, n := range tune(c.keys...).tops() {
			got = append(got, n.Onset)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	r := tune(60, 62, 67, 60)
	r.Score.Notes[1].Part, r.Score.Syllables = 1, []score.Syllable{{Place: score.Place{Part: 1, At: 1}}}
	if got := r.tops(); len(got) != 1 || got[0].Onset != 1 {
		t.Errorf("of a song: %+v", got)
	}
}

// A measure is told the top of the tune, else a note within a whole tone of it.
func TestHeightInWords(t *testing.T) {
	for _, c := range []struct {
		name string
		keys []int // the second measure is asked about
		want string
		at   score.Tick
	}{
		{"the only top", []int{60, 60, 60, 60, 60, 67, 60, 60}, "the top of the tune, G4", 5}, {"one of two", []int{60, 67, 60, 60, 60, 60, 67, 60}, "the top of the tune, G4", 6}, {"a whole tone below", []int{60, 67, 60, 60, 60, 60, 65, 60}, "the tune near its top, F4", 6}, {"more below", []int{60, 67, 60, 60, 60, 60, 64, 60}, "", -1}, {"only in the next", []int{60, 67, 60, 60, 60, 60, 60, 60, 66, 60, 60, 60}, "", -1},
	} {
		r := tune(c.keys...)
		got, at := "", score.Tick(-1)
		add := func(t score.Tick, why string) { got, at = why, t }
		if r.topIn(add, r.tops(), 1); got == "" {
			r.nearTopIn(add, r.tops(), 1)
		}
		if got != c.want || at != c.at {
			t.Errorf("%s: %q at %d, want %q at %d", c.name, got, at, c.want, c.at)
		}
	}
}

// The top of the tune is a quiet summit where p or less is printed at or before it in its
// measure, it lasts a beat, and the page knows mf or more.
func TestQuietSummitBounds(t *testing.T) {
	for _, c := range []struct {
		name  string
		zone  page.Zone
		long  score.Tick
		high  float64
		tells bool
	}{
		{"under p", page.Zone{Start: 4, Level: page.P, Text: "p"}, 1, page.F, true}, {"on the note", page.Zone{Start: 5, Level: page.P, Text: "p"}, 1, page.F, true}, {"after it", page.Zone{Start: 6, Level: page.P, Text: "p"}, 1, page.F, false}, {"in the measure before", page.Zone{Start: 3, Level: page.P, Text: "p"}, 1, page.F, false},
		{"under mp", page.Zone{Start: 4, Level: page.MP, Text: "mp"}, 1, page.F, false}, {"under pp", page.Zone{Start: 4, Level: page.PP, Text: "pp"}, 1, page.F, true}, {"nothing printed", page.Zone{Start: 4, Level: page.P}, 1, page.F, false}, {"a passing note", page.Zone{Start: 4, Level: page.P, Text: "p"}, 0, page.F, false},
		{"mf is the loudest", page.Zone{Start: 4, Level: page.P, Text: "p"}, 1, page.MF, true}, {"mp is", page.Zone{Start: 4, Level: page.P, Text: "p"}, 1, page.MP, false},
	} {
		r := tune(60, 60, 60, 60, 60, 67, 60, 60)
		r.Score.Notes[5].Duration = c.long
		r.Page = &page.Page{Marked: true, Zones: []page.Zone{c.zone}, Range: page.Range{Low: page.PP, High: c.high}}
		if got := r.quietTop(); (got != "") != c.tells || c.tells && !strings.Contains(got, "m. 2") {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// The page's loudest marks, one a measure.
func TestLoudMarks(t *testing.T) {
	r := tune(60, 60, 60, 60, 60, 60, 60, 60)
	r.Page = &page.Page{Range: page.Range{High: page.F}, Zones: []page.Zone{{Start: 0, Level: page.F, Text: "f"}, {Start: 1, Level: page.P, Text: "p"}, {Start: 3, Level: page.F, Text: "f"}, {Start: 4, Level: page.F, Text: "f"}, {Start: 5, Level: page.FF}, {Start: 6, Level: page.MF, Text: "mf"}}}
	if got := r.loudMarks(); !slices.Equal(got, []score.Tick{0, 4}) {
		t.Errorf("%v", got)
	}
}

// Places in words: measures, each once, three others at most.
func TestStretchesInWords(t *testing.T) {
	for _, c := range []struct {
		list []Bars
		want string
	}{{[]Bars{{"9", "9"}}, "m. 9"}, {[]Bars{{"9", "12"}}, "mm. 9–12"}, {[]Bars{{"9", "9"}, {"12", "12"}}, "mm. 9, 12"}, {[]Bars{{"9", "12"}, {"15", "15"}}, "mm. 9–12, 15"}} {
		if got := named(c.list); got != c.want {
			t.Errorf("%v: %q, want %q", c.list, got, c.want)
		}
	}
	own := Bars{"1", "2"}
	for _, c := range []struct {
		list []Bars
		want string
	}{{nil, ""}, {[]Bars{own}, ""}, {[]Bars{{"3", "3"}, {"3", "3"}, own}, "m. 3"}, {[]Bars{{"3", "3"}, {"4", "4"}, {"5", "5"}, {"6", "6"}}, "mm. 3, 4, 5"}} {
		if got := also(own, c.list); got != c.want {
			t.Errorf("%v: %q, want %q", c.list, got, c.want)
		}
	}
	r := tune(make([]int, 12)...)
	for _, c := range []struct {
		from, to score.Tick
		want     string
	}{{0, 4, "m. 1"}, {0, 5, "mm. 1–2"}, {3, 4, "m. 1"}, {4, 4, "m. 2"}, {0, 12, "mm. 1–3"}} {
		if got := r.Span(c.from, c.to); got != c.want {
			t.Errorf("%d to %d: %q, want %q", c.from, c.to, got, c.want)
		}
	}
	if r.between(0, 4) != "In measure 1," || r.between(0, 5) != "In measures 1–2," || r.where(5) != "measure 2, beat 2" {
		t.Errorf("%q, %q, %q", r.between(0, 4), r.between(0, 5), r.where(5))
	}
	r.Score.Division = 2 // two ticks a quarter: the second tick is between beats
	if got := r.where(5); got != "measure 2, after beat 1" {
		t.Errorf("between two beats: %q", got)
	}
}

// A second ending that is counted apart is called "1b" after measure 1; others keep their names.
func TestEndingsByName(t *testing.T) {
	s := tune(make([]int, 12)...).Score
	s.Measures[1].Number, s.Measures[2].Number = "X1", "X2"
	s.Endings = []score.Ending{{First: 1, Numbers: []int{2}}, {First: 2, Numbers: []int{3}}}
	for i, want := range []string{"1", "1b", "X2"} {
		if got := numberOf(s, i); got != want {
			t.Errorf("measure %d: %q, want %q", i, got, want)
		}
	}
}

// How tense a moment is, in words: from fifteen, thirty-five and sixty points on; a reason
// needs four.
func TestHowTense(t *testing.T) {
	for _, c := range []struct {
		total, pull int
		want        string
	}{{0, 0, "At rest: C"}, {14, 3, "At rest: C"}, {14, 4, "At rest, though an earlier"}, {15, 0, "Mildly tense: C"}, {34, 9, "Mildly tense because"}, {35, 9, "Tense because"}, {59, 9, "Tense because"}, {60, 9, "Very tense because"}} {
		x := &explanation{}
		x.Chord = &tension.ExplainedChord{Name: "C", Key: "C major"}
		x.Tension.Total, x.Points.Pull = tenth(c.total), tenth(c.pull)
		if got := x.because(&score.Score{}, 0); !strings.HasPrefix(got, c.want) {
			t.Errorf("%d points, %d of them waiting: %q, want %q", c.total, c.pull, got, c.want)
		}
	}
	if got := (&explanation{}).because(&score.Score{}, 0); got != "No chord sounds here." {
		t.Errorf("%q", got)
	}
}

// A wait is told in measures from two on, below that in beats of the page.
func TestWaitedInWords(t *testing.T) {
	s := tune(make([]int, 16)...).Score
	for _, c := range []struct {
		from, to score.Tick
		want     string
	}{{0, 0, ""}, {0, 1, "1 beat"}, {0, 3, "3 beats"}, {0, 4, "4 beats"}, {0, 7, "7 beats"}, {0, 8, "2 measures"}, {3, 8, "2 measures"}, {3, 7, "4 beats"}, {0, 12, "3 measures"}} {
		if got := waited(s, c.from, c.to); got != c.want {
			t.Errorf("%d to %d: %q, want %q", c.from, c.to, got, c.want)
		}
	}
}

// The word sung at a moment, in full and without its stops; none where several verses share
// the notes, between notes, or for words under three letters.
func TestWordSung(t *testing.T) {
	r := tune(60, 62, 64, 0, 65, 67, 69, 71)
	r.longest = 1
	for i, y := range []struct {
		text string
		ends bool
	}{{"ri", false}, {"ver,", true}, {"of", true}, {"", true}, {"“light”", true}, {"two", true}} {
		if y.text != "" {
			x := score.Syllable{Place: score.Place{At: score.Tick(i)}, Text: y.text, Ends: y.ends, Verses: 1}
			if y.text == "two" {
				x.Verses = 2
			}
			r.Score.Syllables = append(r.Score.Syllables, x)
		}
	}
	for at, want := range map[score.Tick]string{0: "river", 1: "river", 2: "of", 3: "", 4: "light", 5: ""} {
		if got := r.sungAt(at); got != want {
			t.Errorf("at %d: %q, want %q", at, got, want)
		}
	}
	if r.onWord(0) != `, on the word "river"` || r.onWord(2) != "" {
		t.Errorf("%q, %q", r.onWord(0), r.onWord(2))
	}
}

// What would act on a terminal is written out.
func TestVisibleText(t *testing.T) {
	for text, want := range map[string]string{"a ü": "a ü", "a\x1bb": `a\x1bb`, "\u202e": `\u202e`, "\xff": `\xff`, "a\u00a0b": "a\u00a0b", "\n": `\x0a`, "\U000e0001": `\U000e0001`} {
		if got := Visible(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]string{"a\tb": `a\x09b`, "\r\n": `\x0d\x0a`, "\x1b": "\x1b", "\u202e": "\u202e", "\xff": `\xff`} {
		if got := InRow(text); got != want {
			t.Errorf("%q in a row: %q, want %q", text, got, want)
		}
	}
}

// A tune is taken up if its rhythm and its steps of the staff are the same, on any step.
func TestSameShape(t *testing.T) {
	line := func(from score.Tick, at []score.Tick, steps []int) (out []*score.Note) {
		for i := range steps {
			out = append(out, &score.Note{Onset: from + at[i], Pitch: score.Pitch{Step: steps[i] % 7, Octave: 4 + steps[i]/7}})
		}
		return out
	}
	a := line(0, []score.Tick{0, 1, 3}, []int{4, 5, 8})
	for _, c := range []struct {
		name string
		b    []*score.Note
		want bool
	}{
		{"itself", a, true}, {"later and higher", line(9, []score.Tick{0, 1, 3}, []int{6, 7, 10}), true}, {"another rhythm", line(9, []score.Tick{0, 2, 3}, []int{4, 5, 8}), false}, {"another step", line(9, []score.Tick{0, 1, 3}, []int{4, 5, 7}), false}, {"upside down", line(9, []score.Tick{0, 1, 3}, []int{4, 3, 0}), false},
	} {
		if got := sameShape(a, c.b); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// A section leads to a place past its first quarter that is three quarters of a step louder
// than the page was on the mean before. Our own choices.
func TestComesToAPlace(t *testing.T) {
	r := tune(make([]int, 16)...)
	for _, c := range []struct {
		at         score.Tick
		before, on float64
		want       bool
	}{{4, 3, 3.75, true}, {3, 3, 6, false}, {4, 3, 3.7, false}, {8, 3, 6, true}, {8, 6, 3, false}} {
		r.Page = &page.Page{Whole: page.Curve{Segments: []page.Segment{{Start: 0, End: c.at, From: c.before, To: c.before}, {Start: c.at, End: 16, From: c.on, To: c.on}}}}
		if got := r.comes(0, 16, c.at); got != c.want {
			t.Errorf("at %d, %v after %v: %v", c.at, c.on, c.before, got)
		}
	}
	r.Page.Whole.Segments = []page.Segment{{Start: 0, End: 8, From: 3, To: 6, Slope: 1}, {Start: 8, End: 16, From: 5.25, To: 5.25}} // a mean of 4.5
	if !r.comes(0, 16, 8) {
		t.Error("over a slope the mean is not its middle")
	}
}

// What stands on an upbeat belongs to the measure after it (common practice, no source): an f
// printed anew there is no reason for a climax before it.
func TestUpbeatIsNoSummit(t *testing.T) {
	r := tune(make([]int, 12)...)
	m := r.Score.Measures[1]
	for into, want := range map[score.Tick]score.Tick{3: m.Start + 3, 2: m.End(), 0: m.End(), 4: m.End()} {
		r.Harmony = &harmony.Analysis{Phrases: []phrasing.Phrase{{End: m.Start + into, Cadence: -1}, {Start: m.Start + into, End: 12, Cadence: -1}}}
		if got := r.upbeatIn(m); got != want {
			t.Errorf("a phrase from %d in the measure: to %d, want %d", into, got, want)
		}
	}
}
