package report

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"hairpin/score"
)

// An upbeat numbered 0, measures 1 to 3, and a last one that begins the count anew.
func countedAnew() *score.Score {
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Name: "Flute"}, {ID: "P2", Name: "Snare"}, {ID: "P3", Name: "Cello"}}}
	at := score.Tick(0)
	for i, number := range []string{"0", "1", "2", "3", "1"} {
		length := score.Tick(16)
		if i == 0 {
			length = 4
		}
		s.Measures = append(s.Measures, score.Measure{Number: number, Start: at, Length: length, Nominal: 16, Beats: 4, BeatUnit: 4})
		at += length
	}
	for part := range 3 {
		s.Notes = append(s.Notes, score.Note{Duration: 4, Part: part, Staff: 1, Voice: 1, Unpitched: part == 1})
	}
	return s
}

// Measures by their printed numbers, both ends included; the second is sought from the
// first on, so that a stretch may end where the count begins anew.
func TestWindow(t *testing.T) {
	for text, want := range map[string][2]score.Tick{
		"": {0, 68}, "0": {0, 4}, "0-1": {0, 20}, "1": {4, 20}, "1-": {4, 68}, "-1": {0, 20}, "1-1": {4, 20}, " 2 - 3 ": {20, 52}, "3": {36, 52}, "3-1": {36, 68},
	} {
		from, to, err := window(countedAnew(), text)
		if err != nil || from != want[0] || to != want[1] {
			t.Errorf("%q: %d to %d (%v), want %v", text, from, to, err, want)
		}
	}
	for _, text := range []string{"4", "1-4", "4-1", "3-2", "-", "4-", "-4"} {
		var wrong *ChoiceError
		if _, _, err := window(countedAnew(), text); !errors.As(err, &wrong) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// An open range is told with both ends, and one the wrong way round says so.
func TestOpenRanges(t *testing.T) {
	for text, want := range map[string]string{"": "", "2": "2", "2-": "2-1", "-2": "0-2", "2-3": "2-3"} {
		if got := spelledOut(countedAnew(), text); got != want { // the last measure of the second count is 1
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	var wrong *ChoiceError
	if _, _, err := window(countedAnew(), "3-2"); !errors.As(err, &wrong) || !strings.Contains(wrong.Error(), "end before they begin") || wrong.Hint != "write 2-3" {
		t.Errorf("%v", err)
	}
}

// A stretch is shown if it has a moment in common with what is asked for; touching is
// not enough.
func TestShows(t *testing.T) {
	r := Reading{From: 10, To: 20}
	for stretch, want := range map[[2]score.Tick]bool{{0, 10}: false, {0, 11}: true, {19, 30}: true, {20, 30}: false, {12, 15}: true, {0, 30}: true} {
		if got := r.Shows(stretch[0], stretch[1]); got != want {
			t.Errorf("%v: %v", stretch, got)
		}
	}
}

func TestShownParts(t *testing.T) {
	r := &Reading{Score: countedAnew()}
	if got := r.ShownParts(); !slices.Equal(got, []int{0, 2}) {
		t.Errorf("the parts with pitch are %v, want the first and the third", got)
	}
	r.Options.Harmony.Part = 3
	if got := r.ShownParts(); !slices.Equal(got, []int{2}) {
		t.Errorf("the harmony of part 3: %v", got)
	}
	r.Options.Part = 2
	if got := r.ShownParts(); !slices.Equal(got, []int{1}) {
		t.Errorf("the part chosen comes first: %v", got)
	}
}

// What is said to one who asks for what the score does not have names what it has: its
// parts, counted from one, and its first and last measure.
func TestHintsNameWhatIsThere(t *testing.T) {
	s := countedAnew()
	if got := PartsHint(s); got != "the parts are 1 Flute, 2 Snare, 3 Cello" {
		t.Errorf("%q", got)
	}
	if got := measuresHint(s); got != "its measures are numbered 0 to 1" {
		t.Errorf("%q", got)
	}
	if got := measuresHint(&score.Score{}); got != "the score has no measures" {
		t.Errorf("%q", got)
	}
	if at := numbered(s)["1"]; at != 1 {
		t.Errorf("number 1 is first measure %d, want the second", at)
	}
}
