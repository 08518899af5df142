package score_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"hairpin/score"
)

// page is a score of n measures in 4/4, a whole note in each, with the signs
// that a test adds. The note in measure i has octave i.
func page(n int) *score.Score {
	s := &score.Score{Division: 1, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	for i := range n {
		at := score.Tick(4 * i)
		s.Measures = append(s.Measures, score.Measure{Number: fmt.Sprint(i + 1), Start: at, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 4, Staff: 1, Voice: 1, Measure: i, Pitch: score.Pitch{Octave: i}})
	}
	return s
}

func back(measure, times int) score.Repeat {
	return score.Repeat{At: score.Tick(4 * measure), Measure: measure - 1, Times: times}
}

func forward(measure int) score.Repeat {
	return score.Repeat{At: score.Tick(4 * (measure - 1)), Measure: measure - 1, Forward: true}
}

func ending(first, last int, numbers ...int) score.Ending {
	return score.Ending{Start: score.Tick(4 * (first - 1)), End: score.Tick(4 * last), First: first - 1, Last: last - 1, Numbers: numbers}
}

func jump(kind string, measure int, atEnd bool) score.Jump {
	j := score.Jump{Kind: kind, Measure: measure - 1, At: score.Tick(4 * (measure - 1))}
	if atEnd {
		j.At += 4
	}
	return j
}

// The orders follow common practice (no source): a repeat is played twice, a
// da capo plays without repeats and takes the last ending.
func TestUnfoldOrder(t *testing.T) {
	tests := []struct {
		name    string
		n       int
		repeats []score.Repeat
		endings []score.Ending
		jumps   []score.Jump
		want    string
	}{
		{"nothing", 3, nil, nil, nil, "1 2 3"},
		{"repeat from the start", 3, []score.Repeat{back(2, 0)}, nil, nil, "1 2 1 2 3"},
		{"repeat between signs", 4, []score.Repeat{forward(2), back(3, 0)}, nil, nil, "1 2 3 2 3 4"},
		{"five times", 1, []score.Repeat{back(1, 5)}, nil, nil, "1 1 1 1 1"},
		{"two repeats in a row", 4, []score.Repeat{back(2, 0), back(4, 0)}, nil, nil, "1 2 1 2 3 4 3 4"},
		{"first and second ending", 4, []score.Repeat{back(2, 0)}, []score.Ending{ending(2, 2, 1), ending(3, 3, 2)}, nil, "1 2 1 3 4"},
		{"endings without numbers", 4, []score.Repeat{back(2, 0)}, []score.Ending{ending(2, 2), ending(3, 3)}, nil, "1 2 1 3 4"},
		{"three passes", 3, []score.Repeat{back(2, 0)}, []score.Ending{ending(2, 2, 1, 2), ending(3, 3, 3)}, nil, "1 2 1 2 1 3"},
		{"endings, then a repeat without a start", 5, []score.Repeat{back(2, 0), back(5, 0)}, []score.Ending{ending(2, 2, 1), ending(3, 3, 2)}, nil, "1 2 1 3 4 5 4 5"},
		{"three endings", 5, []score.Repeat{back(2, 0), back(3, 0), back(4, 0)},
			[]score.Ending{ending(2, 2, 1), ending(3, 3, 2), ending(4, 4, 3)}, nil, "1 2 1 3 1 4 1 5"},
		{"da capo al fine", 4, nil, nil, []score.Jump{jump("fine", 2, true), jump("dacapo", 4, true)}, "1 2 3 4 1 2"},
		{"da capo without repeats", 4, []score.Repeat{back(2, 0)}, nil, []score.Jump{jump("fine", 2, true), jump("dacapo", 4, true)}, "1 2 1 2 3 4 1 2"},
		{"da capo takes the last ending", 5, []score.Repeat{back(2, 0)}, []score.Ending{ending(2, 2, 1), ending(3, 3, 2)},
			[]score.Jump{jump("fine", 3, true), jump("dacapo", 5, true)}, "1 2 1 3 4 5 1 3"},
		{"dal segno", 4, nil, nil, []score.Jump{jump("segno", 2, false), jump("fine", 3, true), jump("dalsegno", 4, true)}, "1 2 3 4 2 3"},
		{"dal segno al coda", 5, nil, nil,
			[]score.Jump{jump("segno", 2, false), jump("tocoda", 2, true), jump("dalsegno", 4, true), jump("coda", 5, false)}, "1 2 3 4 2 5"},
		{"coda signs without words", 5, nil, nil,
			[]score.Jump{jump("coda", 3, false), jump("dacapo", 4, true), jump("coda", 5, false)}, "1 2 3 4 1 2 5"},
		{"words at the start of their measure", 3, nil, nil, []score.Jump{jump("fine", 1, false), jump("dacapo", 3, false)}, "1 2 3 1"},
		{"dal segno without a segno", 3, nil, nil, []score.Jump{jump("dalsegno", 3, true)}, "1 2 3"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := page(tt.n)
			s.Repeats, s.Endings, s.Jumps = tt.repeats, tt.endings, tt.jumps
			u := score.Unfold(s)
			var numbers []string
			for _, m := range u.Measures {
				numbers = append(numbers, m.Number)
			}
			if got := strings.Join(numbers, " "); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
			checkUnfolded(t, u)
		})
	}
}

// checkUnfolded tests that measures touch and every note is in its measure.
func checkUnfolded(t *testing.T, u *score.Score) {
	t.Helper()
	at := score.Tick(0)
	for i, m := range u.Measures {
		if m.Start != at {
			t.Errorf("measure %d starts at %d, not %d", i, m.Start, at)
		}
		at = m.End()
	}
	if len(u.Notes) != len(u.Measures) {
		t.Errorf("%d notes in %d measures", len(u.Notes), len(u.Measures))
	}
	for i, n := range u.Notes {
		if n.Measure != i || n.Onset != u.Measures[i].Start || fmt.Sprint(n.Pitch.Octave+1) != u.Measures[i].Number {
			t.Errorf("note %d: %+v", i, n)
		}
	}
}

func TestUnfoldRestates(t *testing.T) {
	s := page(4)
	s.Repeats = []score.Repeat{forward(3), back(4, 0)}
	p := func(at score.Tick) score.Place { return score.Place{At: at, Staff: 1} }
	s.Dynamics = []score.Dynamic{{Place: p(0), Mark: "p"}, {Place: p(2), Mark: "sfz"}, {Place: p(12), Mark: "ff"}}
	s.Keys = []score.KeyMark{{Place: p(0), Fifths: 2}}
	s.Tempos = []score.Tempo{{At: 0, PerMin: 60}, {At: 12, PerMin: 90}}
	s.Hairpins = []score.Hairpin{{Span: score.Span{Start: 14, End: 18, Staff: 1}, WrittenStart: 14, WrittenEnd: 18}}
	u := score.Unfold(s)
	var got []string
	for _, d := range u.Dynamics {
		got = append(got, fmt.Sprintf("%d%s", d.At, d.Mark))
	}
	if s := strings.Join(got, " "); s != "0p 2sfz 12ff 16p 20ff" {
		t.Errorf("levels %s", s)
	}
	if len(u.Keys) != 2 || u.Keys[1].At != 16 || len(u.Tempos) != 4 || u.Tempos[2].PerMin > 61 {
		t.Errorf("keys %v, tempos %v", u.Keys, u.Tempos)
	}
	if len(u.Hairpins) != 2 || u.Hairpins[0].End != 16 || u.Hairpins[1].End != 24 {
		t.Errorf("hairpins %v", u.Hairpins)
	}
}

// A note of the first time tied into the second ending is heard there as well.
func TestUnfoldHeldNote(t *testing.T) {
	s := page(3)
	s.Repeats = []score.Repeat{back(2, 0)}
	s.Endings = []score.Ending{ending(2, 2, 1), ending(3, 3, 2)}
	s.Notes = s.Notes[:2]
	s.Notes[1].Duration = 8
	s.Notes[1].Signs = score.Accent
	u := score.Unfold(s)
	if len(u.Notes) != 4 {
		t.Fatalf("notes %v", u.Notes)
	}
	for i, want := range []score.Note{{Onset: 0, Duration: 4}, {Onset: 4, Duration: 4, Signs: score.Accent}, {Onset: 8, Duration: 4}, {Onset: 12, Duration: 4}} {
		if n := u.Notes[i]; n.Onset != want.Onset || n.Duration != want.Duration || n.Signs != want.Signs || n.Measure != i {
			t.Errorf("note %d: %+v", i, n)
		}
	}
}

func TestUnfoldEndless(t *testing.T) {
	s := page(2)
	for range 300_000 {
		s.Notes = append(s.Notes, score.Note{Onset: 4, Duration: 4, Staff: 1, Voice: 1, Measure: 1})
	}
	s.Repeats = []score.Repeat{back(1, 0), back(2, 100)}
	u := score.Unfold(s)
	if len(u.Notes) > 1_500_000 || len(u.Warnings) != 1 {
		t.Errorf("%d notes, warnings %v", len(u.Notes), u.Warnings)
	}
}

func TestUnfoldMidMeasure(t *testing.T) {
	s := page(2)
	s.Repeats = []score.Repeat{{At: 6, Measure: 1}}
	u := score.Unfold(s)
	want := []score.Stretch{{From: 0, To: 6}, {From: 0, To: 8}}
	if got := s.Order(); len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("order %v, want %v", got, want)
	}
	if u.Length() != 14 || len(u.Notes) != 4 || u.Notes[1].Duration != 2 {
		t.Errorf("length %d, notes %v", u.Length(), u.Notes)
	}
}

// A file cannot ask for more than a player could mean: hundreds of passes of
// hundreds of repeats are left out, and said to be, in no time.
func TestUnfoldIsBounded(t *testing.T) {
	s := &score.Score{Division: 1, Parts: []score.Part{{Staves: 1}}}
	for i := range 2000 {
		at := score.Tick(i) * 4
		s.Measures = append(s.Measures, score.Measure{Start: at, Length: 4})
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 4})
		s.Dynamics = append(s.Dynamics, score.Dynamic{Place: score.Place{At: at}, Mark: "p"})
		s.Repeats = append(s.Repeats, score.Repeat{At: at + 4, Measure: i, Times: 100})
	}
	start := time.Now()
	u := score.Unfold(s)
	if took := time.Since(start); took > 5*time.Second || len(u.Warnings) != 1 || u.Length() > 3*s.Length() {
		t.Errorf("%s, %d ticks of %d, warnings %v", took, u.Length(), s.Length(), u.Warnings)
	}
	long := &score.Score{Division: 1, Measures: []score.Measure{{Length: 40_000}}, Repeats: []score.Repeat{{At: 40_000, Times: 100}}}
	if u := score.Unfold(long); u.Length() > 120_000 || len(u.Warnings) != 1 {
		t.Errorf("%d ticks, warnings %v", u.Length(), u.Warnings)
	}
}
