package practice

import (
	"slices"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/reduction"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

// toReduce is a demo score read with our own analysis of it, so that what is
// written does not hang on what is heard.
func toReduce(t *testing.T, name, measures string) *report.Reading {
	t.Helper()
	f := demo.Score(t, name)
	r, err := report.New(f, report.Options{Measures: measures, Harmony: harmony.Options{Corrections: demo.Intended(t, name, f.Score)}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func reduced(t *testing.T, r *report.Reading) *musicxml.File {
	t.Helper()
	f, err := Reduction(r, report.English)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A reduction has the measures of the piece, every chord tone spelled as the
// analysis has it, one chord a chord span, and the printed marks.
func TestReduction(t *testing.T) {
	for _, name := range demo.Names() {
		r := toReduce(t, name, "")
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
				t.Errorf("%s %s: a note from %d to %d, the chord from %d to %d", name, r.At(c.Start), n.Onset, n.End(), c.Start*scale, c.End*scale)
			}
			if !hasClass(c.Tones, n.Pitch.Class()) {
				t.Errorf("%s %s: %s is not in %s", name, r.At(c.Start), n.Pitch, c.Name())
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

func chordIndex(r *report.Reading, at score.Tick) int {
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
	for _, name := range demo.Names() {
		s := reduced(t, toReduce(t, name, "")).Score
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

func TestReduceGolden(t *testing.T) {
	for name, write := range map[string]func(*report.Reading) (*musicxml.File, error){
		"reduction.musicxml": func(r *report.Reading) (*musicxml.File, error) { return Reduction(r, report.English) },
		"practice.musicxml":  func(r *report.Reading) (*musicxml.File, error) { return Steps(r, Plan{Rests: 1}) },
	} {
		f, err := write(toReduce(t, "quartet-below-the-weir", "1-4"))
		if err != nil {
			t.Fatal(err)
		}
		if f, err = f.Remove(); err != nil { // numerals and numbers have tests of their own
			t.Fatal(err)
		}
		demo.Golden(t, name, f.Document())
	}
}

// A chord that lasts over a repeat sign is struck again behind it.
func TestReductionRestrikesAtSeams(t *testing.T) {
	s := &score.Score{Repeats: []score.Repeat{{At: 8}, {At: 8, Forward: true}}, DoubleBar: []score.Tick{8, 12}, Endings: []score.Ending{{Start: 4, End: 8}}}
	var got []score.Tick
	for _, b := range restruck(s, []reduction.Block{{Start: 0, End: 10}, {Start: 10, End: 12}}) {
		got = append(got, b.Start, b.End)
	}
	if want := []score.Tick{0, 4, 4, 8, 8, 10, 10, 12}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
