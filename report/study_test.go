package report

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func TestStudyFitsTheStand(t *testing.T) {
	for _, name := range demos {
		for _, width := range []int{80, 60} {
			r, err := New(demo(t, name), Options{Width: width})
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
			r, err := New(demo(t, "quartet-below-the-weir"), Options{})
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
		r, err := New(demo(t, "etude-millrace"), Options{Colour: colour})
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
