package annotate

import (
	"strings"
	"testing"

	"hairpin/report/internal/demo"
)

func TestReadRemarks(t *testing.T) {
	s := demo.Score(t, "song-ferry-lamp").Score
	list, err := ReadRemarks(strings.NewReader("# mine\n\n5 1 breathe  here\n9 2.5 @2 left hand softer\n"), s)
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	if a, b := list[0], list[1]; a.Text != "breathe here" || a.Part != -1 || b.Part != 1 || b.Text != "left hand softer" || s.At(b.At).String() != "9:2.5" {
		t.Errorf("%+v", list)
	}
	for text, want := range map[string]string{
		"5 breathe": "line 1: measure, beat", "5 x here": `"x" is not a beat`, "\n999 1 here": "line 2: the score has no measure 999",
		"5 1 @7 here": "no part 7", "5 9 here": "no measure 5 with a beat 9",
	} {
		if _, err := ReadRemarks(strings.NewReader(text), s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
