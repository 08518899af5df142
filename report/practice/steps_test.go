package practice

import (
	"strings"
	"testing"

	"hairpin/report"
	"hairpin/score"
)

// The practice of two measures in four steps.
func TestPractice(t *testing.T) {
	r := toReduce(t, "etude-millrace", "11-12")
	f, err := Steps(r, Plan{Rests: 1, From: 40, To: 80})
	if err != nil {
		t.Fatal(err)
	}
	s := f.Score
	if want := 4 + 1 + 2 + 1 + 2 + 1 + 2; len(s.Measures) != want || len(s.Warnings) > 0 {
		t.Fatalf("%d measures, want %d; %v", len(s.Measures), want, s.Warnings)
	}
	for i, m := range s.Measures {
		if m.Beats != 4 || m.BeatUnit != 4 || m.Length != 4*s.Division {
			t.Errorf("measure %d is not in the metre of the piece", i+1)
		}
	}
	var heads []string
	for _, w := range s.Words {
		if strings.Contains(w.Text, "quarter =") {
			heads = append(heads, s.At(w.At).Number+" "+w.Text)
		}
	}
	want := "1 1. long chords: quarter = 40–50|6 2. chords: quarter = 40–60|9 3. each beat: quarter = 40–70|12 4. as written: quarter = 40–80"
	if got := strings.Join(heads, "|"); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	checkFiguration(t, r, s)
	for _, m := range []int{4, 7, 10} {
		for _, n := range s.Notes {
			if n.Onset < s.Measures[m].End() && n.End() > s.Measures[m].Start {
				t.Errorf("a note sounds in the rest of measure %d", m+1)
			}
		}
	}
}

// checkFiguration compares the last step with the notes of the piece.
func checkFiguration(t *testing.T, r *report.Reading, s *score.Score) {
	t.Helper()
	scale, start := s.Division/r.Score.Division, s.Measures[11].Start
	type sound struct{ at, length, key int }
	want := map[sound]bool{}
	for _, n := range r.Score.Notes {
		if n.Onset >= r.From && n.Onset < r.To {
			want[sound{int((n.Onset - r.From) * scale), int(n.Duration * scale), n.Pitch.Key()}] = true
		}
	}
	count := 0
	for _, n := range s.Notes {
		if n.Onset < start {
			continue
		}
		count++
		if !want[sound{int(n.Onset - start), int(n.Duration), n.Pitch.Key()}] {
			t.Errorf("%s is not in the piece there", n.Pitch)
		}
	}
	if count != len(want) {
		t.Errorf("%d notes as written, want %d", count, len(want))
	}
}

func TestPracticeRefuses(t *testing.T) {
	r := toReduce(t, "etude-millrace", "")
	if _, err := Steps(r, Plan{}); err == nil || !strings.Contains(err.Error(), "too many") {
		t.Errorf("the whole piece: %v", err)
	}
	r = toReduce(t, "etude-millrace", "12")
	for _, p := range []Plan{{Rests: -1}, {From: 90, To: 60}, {From: 1, To: 60}} {
		if _, err := Steps(r, p); err == nil {
			t.Errorf("%+v is taken", p)
		}
	}
}
