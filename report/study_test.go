package report

import (
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"unicode/utf8"

	"hairpin/dynamics/verdict"
	"hairpin/report/internal/demo"
)

func TestStudyFitsTheStand(t *testing.T) {
	for _, name := range demo.Names() {
		for _, width := range []int{80, 60} {
			r, err := New(demo.Score(t, name), Options{Width: width})
			if err != nil {
				t.Fatal(err)
			}
			var b strings.Builder
			if err := r.Study(&b, "table"); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(b.String()) {
				if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > width {
					t.Errorf("%s, width %d: line of %d: %s", name, width, n, line)
				}
			}
		}
	}
}

func TestStudyIsTheSameEveryTime(t *testing.T) {
	for _, format := range []string{"table", "json", "tsv", "markdown"} {
		var first string
		for range 3 {
			r, err := New(demo.Score(t, "quartet-below-the-weir"), Options{})
			if err != nil {
				t.Fatal(err)
			}
			var b strings.Builder
			if err := r.Study(&b, format); err != nil {
				t.Fatal(err)
			}
			if first == "" {
				first = b.String()
			} else if b.String() != first {
				t.Fatalf("%s differs from one run to the next", format)
			}
		}
	}
}

func TestColourIsNeverTheOnlyCarrier(t *testing.T) {
	var plain, coloured strings.Builder
	for colour, b := range map[bool]*strings.Builder{false: &plain, true: &coloured} {
		r, err := New(demo.Score(t, "etude-millrace"), Options{Colour: colour, All: true})
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Study(b, "table"); err != nil {
			t.Fatal(err)
		}
	}
	if coloured.String() == plain.String() {
		t.Error("no colour at all")
	}
	strip := strings.NewReplacer("\x1b[32m", "", "\x1b[33m", "", "\x1b[36m", "", "\x1b[0m", "")
	if strip.Replace(coloured.String()) != plain.String() {
		t.Error("without its colours the reading is another one")
	}
}

// A passage of many sudden changes is told in one sentence.
func TestSuddenChangesTogether(t *testing.T) {
	p := studyPhrase{Remarks: []remark{
		{At: "2:3", Text: "first", Aspect: verdict.AtContrast, sudden: "f to p"},
		{At: "3:1", Text: "calm", Verdict: verdict.Supports},
		{At: "4:1", Text: "second", Aspect: verdict.AtContrast, sudden: "p to f"},
		{At: "5:1", Text: "peak", Verdict: verdict.WorksAgainst},
	}}
	want := []string{"The level changes at once at 2:3 (f to p), 4:1 (p to f): each time keep the level until the last moment, then switch.", "peak"}
	if got := p.Asked(); !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
	p.Remarks = p.Remarks[:2]
	if got := p.Asked(); !slices.Equal(got, []string{"first"}) {
		t.Errorf("one change alone: %q", got)
	}
}

func TestReaderNamesThePickup(t *testing.T) {
	d := &studyData{pickup: "0", Marked: true}
	if got := d.reader(); !strings.Contains(got, "measure 0 is the pickup") || !strings.Contains(got, "p < f") {
		t.Error(got)
	}
	if got := (&studyData{}).reader(); strings.Contains(got, "pickup") || strings.Contains(got, "<") {
		t.Error(got)
	}
}

// What the causes add is rounded so that the reader can add it up.
func TestWholePointsGiveTheTotal(t *testing.T) {
	for _, c := range []struct {
		in   tonal.Tension
		want [3]int
	}{
		{tonal.Tension{Total: 79.6, Dissonance: 3.35, Distance: 48.5, Pull: 27.75}, [3]int{3, 49, 28}},
		{tonal.Tension{Total: 12.6, Dissonance: 6.4, Distance: 6.2}, [3]int{7, 6, 0}},
		{tonal.Tension{Total: 100, Dissonance: 25, Distance: 41.7, Pull: 33.3}, [3]int{25, 42, 33}},
	} {
		if got := WholePoints(c.in); got != c.want {
			t.Errorf("%v: got %v, want %v", c.in, got, c.want)
		}
	}
}

// A phrase that started on a cadential six-four would part the two halves of one
// dominant: common practice, no source.
func TestNoPhraseStartsOnSixFour(t *testing.T) {
	for _, name := range []string{"etude-millrace", "song-ferry-lamp", "quartet-below-the-weir", "vibraphone-low-water"} {
		r, err := New(demo.Score(t, name), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Harmony.Phrases {
			for _, c := range r.Harmony.Chords {
				if c.Start == p.Start && c.Numeral.Cadential {
					t.Errorf("%s: a phrase starts on the six-four at %s", name, r.Score.At(p.Start))
				}
			}
		}
	}
}
