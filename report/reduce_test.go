package report

import (
	"slices"
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/musicxml"
	"hairpin/score"
)

func reduced(t *testing.T, r *Reading) *musicxml.File {
	t.Helper()
	f, err := Reduction(r, English)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A reduction has the measures of the piece, every chord tone spelled as the
// analysis has it, one chord a chord span, and the printed marks.
func TestReduction(t *testing.T) {
	for _, name := range demos {
		r := reading(t, name, "")
		f := reduced(t, r)
		s := f.Score
		if len(s.Measures) != len(r.Score.Measures) || len(s.Warnings) > 0 {
			t.Errorf("%s: %d measures of %d, %v", name, len(s.Measures), len(r.Score.Measures), s.Warnings)
		}
		scale := s.Division / r.Score.Division
		spans := map[score.Tick]bool{}
		for _, n := range s.Notes {
			i := chordIndex(r, n.Onset/scale)
			c := r.Harmony.Chords[i]
			spans[n.Onset] = true
			if n.Onset != c.Start*scale || n.End() != c.End*scale {
				t.Errorf("%s %s: a note from %d to %d, the chord from %d to %d", name, r.at(c.Start), n.Onset, n.End(), c.Start*scale, c.End*scale)
			}
			if !hasClass(c.Tones, n.Pitch.Class()) {
				t.Errorf("%s %s: %s is not in %s", name, r.at(c.Start), n.Pitch, c.Name())
			}
		}
		if len(spans) != len(r.Harmony.Chords) {
			t.Errorf("%s: %d chords for %d", name, len(spans), len(r.Harmony.Chords))
		}
		if len(r.Score.Dynamics) > 0 && len(s.Dynamics) == 0 {
			t.Errorf("%s: the printed dynamics are lost", name)
		}
	}
}

func chordIndex(r *Reading, at score.Tick) int {
	for i, c := range r.Harmony.Chords {
		if at < c.End {
			return i
		}
	}
	return len(r.Harmony.Chords) - 1
}

func hasClass(list []score.Class, c score.Class) bool {
	for _, x := range list {
		if x == c {
			return true
		}
	}
	return false
}

// Two hands can play it: a tenth each at most, no voice crosses another.
func TestReductionIsPlayable(t *testing.T) {
	for _, name := range demos {
		s := reduced(t, reading(t, name, "")).Score
		type hand struct {
			at    score.Tick
			staff int
		}
		low, high := map[hand]int{}, map[hand]int{}
		for _, n := range s.Notes {
			h := hand{n.Onset, n.Staff}
			if _, ok := low[h]; !ok {
				low[h], high[h] = n.Pitch.Key(), n.Pitch.Key()
			}
			low[h], high[h] = min(low[h], n.Pitch.Key()), max(high[h], n.Pitch.Key())
		}
		for h := range low {
			if high[h]-low[h] > 16 {
				t.Errorf("%s at %s: a hand reaches %d semitones", name, s.At(h.at), high[h]-low[h])
			}
			if left, ok := high[hand{h.at, 2}]; ok && h.staff == 1 && left >= low[h] {
				t.Errorf("%s at %s: the hands cross", name, s.At(h.at))
			}
		}
	}
}

// The practice of two measures in four steps.
func TestPractice(t *testing.T) {
	r := reading(t, "etude-millrace", "11-12")
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
func checkFiguration(t *testing.T, r *Reading, s *score.Score) {
	t.Helper()
	scale, start := s.Division/r.Score.Division, s.Measures[11].Start
	type sound struct{ at, length, key int }
	want := map[sound]bool{}
	for _, n := range r.Score.Notes {
		if n.Onset >= r.from && n.Onset < r.to {
			want[sound{int((n.Onset - r.from) * scale), int(n.Duration * scale), n.Pitch.Key()}] = true
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
	r := reading(t, "etude-millrace", "")
	if _, err := Steps(r, Plan{}); err == nil || !strings.Contains(err.Error(), "too many") {
		t.Errorf("the whole piece: %v", err)
	}
	r = reading(t, "etude-millrace", "12")
	for _, p := range []Plan{{Rests: -1}, {From: 90, To: 60}, {From: 1, To: 60}} {
		if _, err := Steps(r, p); err == nil {
			t.Errorf("%+v is taken", p)
		}
	}
}

func TestReduceGolden(t *testing.T) {
	for name, write := range map[string]func(*Reading) (*musicxml.File, error){
		"reduction.musicxml": func(r *Reading) (*musicxml.File, error) { return Reduction(r, English) },
		"practice.musicxml":  func(r *Reading) (*musicxml.File, error) { return Steps(r, Plan{Rests: 1}) },
	} {
		f, err := write(reading(t, "quartet-below-the-weir", "1-4"))
		if err != nil {
			t.Fatal(err)
		}
		if f, err = f.Remove(); err != nil { // numerals and numbers have tests of their own
			t.Fatal(err)
		}
		golden(t, name, f.Document())
	}
}

// A chord that lasts over a repeat sign is struck again behind it.
func TestReductionRestrikesAtSeams(t *testing.T) {
	s := &score.Score{Repeats: []score.Repeat{{At: 8}, {At: 8, Forward: true}}, DoubleBar: []score.Tick{8, 12}, Endings: []score.Ending{{Start: 4, End: 8}}}
	var got []score.Tick
	for _, b := range restruck(s, []harmony.Block{{Start: 0, End: 10}, {Start: 10, End: 12}}) {
		got = append(got, b.Start, b.End)
	}
	if want := []score.Tick{0, 4, 4, 8, 8, 10, 10, 12}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
