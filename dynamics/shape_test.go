package dynamics

import (
	"math"
	"testing"

	"hairpin/harmony"
	"hairpin/score"
)

func marked(t *testing.T, items ...string) (*score.Score, *Page) {
	t.Helper()
	s := blank()
	for _, it := range items {
		if err := place(s, it); err != nil {
			t.Fatal(err)
		}
	}
	return s, Printed(s, nil)
}

func TestShapeStaysInsideTheFrame(t *testing.T) {
	s, p := marked(t, "1:1 p", "5:1 f", "3:1 sf")
	sh, err := Shape(s, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	moved := false
	for _, x := range sh.Proposals {
		if math.Abs(x.Bend()) > MaxBend {
			t.Errorf("at %s the bend is %.2f", s.At(x.At), x.Bend())
		}
		sum := 0.0
		for _, c := range x.Causes {
			sum += c
		}
		if math.Abs(sum-x.Bend()) > 1e-6 {
			t.Errorf("at %s the causes add up to %.3f, the bend is %.3f", s.At(x.At), sum, x.Bend())
		}
		moved = moved || x.Main != ""
	}
	if !moved {
		t.Error("no proposal names a cause")
	}
	if len(sh.Notes) != len(s.Notes) {
		t.Errorf("%d note levels for %d notes", len(sh.Notes), len(s.Notes))
	}
}

// No proposal is named by a mark softer than the softest printed one or louder
// than the loudest, unless the page prints too little to be a frame.
func TestProposalsKeepTheFrame(t *testing.T) {
	for _, c := range []struct {
		printed   []float64
		low, high float64
	}{
		{[]float64{PP, P, FF}, 1.5, 7.5},
		{[]float64{P, F}, 2.5, 6.5},
		{[]float64{MF}, 3, 7},
		{[]float64{PPP, FFF}, 1, 8},
		{nil, 3, 7},
	} {
		if f := frameOf(c.printed); math.Abs(f.low-c.low)+math.Abs(f.high-c.high) > 1e-9 {
			t.Errorf("%v is framed by %.2f to %.2f, want %.2f to %.2f", c.printed, f.low, f.high, c.low, c.high)
		}
	}
	wild := map[Cause][]float64{ByHeight: {-9, 9, -9}}
	for _, p := range proposeAll(make([]score.Tick, 3), []float64{P, P, F}, wild) {
		if p.Level < 2.5-1e-9 || p.Level > 6.5+1e-9 {
			t.Errorf("%.2f is proposed between p and f", p.Level)
		}
	}
}

func TestLevelsCoverThePiece(t *testing.T) {
	s, p := marked(t, "1:1 p", "2:1 <4:1", "4:1 f")
	sh, err := Shape(s, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	rows := Levels(s, nil, p, sh)
	for i, r := range rows {
		if i > 0 && rows[i-1].End != r.Start {
			t.Errorf("row %d starts at %d, the one before ends at %d", i, r.Start, rows[i-1].End)
		}
	}
	if rows[0].Start != 0 || rows[len(rows)-1].End != s.Length() {
		t.Error("the rows do not cover the piece")
	}
	if r := rows[8]; math.Abs(r.Printed-4.5) > 0.01 { // measure 3, beat 1: halfway from p to f
		t.Errorf("measure 3 is printed %.2f, want 4.5", r.Printed)
	}
}

func TestShapeOfNothing(t *testing.T) {
	s := &score.Score{Division: 1}
	p := Printed(s, nil)
	if sh, err := Shape(s, nil, p); err != nil || len(sh.Proposals) > 0 {
		t.Errorf("an empty score: %v, %d proposals", err, len(sh.Proposals))
	}
	if rows := Levels(s, nil, p, nil); len(rows) > 0 {
		t.Errorf("an empty score has %d rows", len(rows))
	}
	if v := Judge(s, nil, p); v != nil {
		t.Error("verdicts without an analysis")
	}
}

// An appoggiatura lies above its resolution: C. P. E. Bach 1753, Versuch über
// die wahre Art das Clavier zu spielen, on appoggiaturas (from memory).
func TestAppoggiaturaOverResolution(t *testing.T) {
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	s.Measures = []score.Measure{{Number: "1", Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4}}
	note := func(at score.Tick, step, octave int) {
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 8, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: step, Octave: octave}})
	}
	note(0, 3, 5) // F over C E G
	note(8, 2, 5) // E
	a := &harmony.Analysis{Chords: []harmony.Chord{{End: 16, Quality: harmony.Major, Tones: []score.Class{0, 4, 1}, Certainty: harmony.Sure}}}
	lean := leaning(s, a)
	if lean[0] <= lean[1] {
		t.Errorf("appoggiatura %.2f, resolution %.2f", lean[0], lean[1])
	}
}

func TestReadModelSaysWhere(t *testing.T) {
	for _, bad := range []string{"a\tb", "x\tphrase\tone\t1", "style\tunmarked\t0\t1\nx\tphrase\t1\t1"} {
		if _, err := ReadModel(bad); err == nil {
			t.Errorf("%q is read", bad)
		}
	}
	m, err := model()
	if err != nil || len(m.Weight) < 50 || len(m.Styles) != 3 {
		t.Errorf("the table: %v", err)
	}
}
