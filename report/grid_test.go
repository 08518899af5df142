package report

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func TestGridTableKeepsItsWidth(t *testing.T) {
	g := grid{
		head:  []string{"at", "level", "why"},
		right: []bool{false, true, false},
		rows: [][]string{
			{"1:1", "3.0", "vii°7/V"},
			{"12:3.5", "12.5", "a long reason that needs more than the line gives and so goes on below"},
		},
		wrap: 2,
	}
	for _, width := range []int{80, 40, 30} {
		var b strings.Builder
		if err := g.table(&b, width); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(b.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > width {
				t.Errorf("width %d: line of %d: %q", width, n, line)
			}
		}
		t.Log("\n" + b.String())
	}
}

func TestGridFlatFormats(t *testing.T) {
	g := grid{head: []string{"at", "text"}, right: []bool{true}, rows: [][]string{{"1", "a|b\tc_d"}}}
	var tsv, md strings.Builder
	if err := g.tsv(&tsv); err != nil {
		t.Fatal(err)
	}
	if want := "at\ttext\n1\ta|b c_d\n"; tsv.String() != want {
		t.Errorf("tsv %q, want %q", tsv.String(), want)
	}
	if err := g.markdown(&md); err != nil {
		t.Fatal(err)
	}
	if want := "| at | text      |\n|---:|:----------|\n|  1 | a\\|b c\\_d |\n"; md.String() != want {
		t.Errorf("markdown %q, want %q", md.String(), want)
	}
}
