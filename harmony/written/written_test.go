package written

import (
	"fmt"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A progression is written in four voices, a note each over every chord, in the measures of
// 4/4 that it fills; a hyphen is a rest.
func TestChoraleAsWritten(t *testing.T) {
	for _, k := range Keys() {
		c := Chorale{Pick(k, "I:2 V7 -:1 I:4", "i:2 V7 -:1 i:4"), "3 7 - 1"}
		s, chords := c.Write(t, k)
		if len(chords) != 3 || len(s.Notes) != 12 || len(s.Measures) != 2 || s.Length() != 32 || s.Parts[0].Staves != 2 || len(s.Times) != 1 {
			t.Fatalf("%s: %d chords, %d notes, %d measures", k.Name(), len(chords), len(s.Notes), len(s.Measures))
		}
		for i, want := range []struct{ from, to score.Tick }{{0, 8}, {8, 12}, {16, 32}} {
			if x := chords[i]; x.Start != want.from || x.End != want.to || x.Confidence < 1 {
				t.Errorf("%s: chord %d from %d to %d", k.Name(), i, x.Start, x.End)
			}
			for v, n := range s.Notes[4*i : 4*i+4] {
				if n.Onset != want.from || n.End() != want.to || n.Voice != 4-v || n.Staff != 2-v/2 || n.Measure != int(want.from/16) || v > 0 && n.Pitch.MIDI() <= s.Notes[4*i].Pitch.MIDI() {
					t.Errorf("%s: voice %d of chord %d: %+v", k.Name(), v, i, n)
				}
			}
			if low, top := s.Notes[4*i], s.Notes[4*i+3]; low.Pitch.Class() != chords[i].Bass || low.Pitch.Key() < 42 || low.Pitch.Key() > 54 || top.Pitch.Key() < 66 || top.Pitch.Key() > 78 {
				t.Errorf("%s: from %s to %s", k.Name(), low.Pitch, top.Pitch)
			}
		}
		if leading := s.Notes[7].Pitch.Class(); leading.PC() != (k.Tonic.PC()+11)%12 { // raised in minor
			t.Errorf("%s: the seventh degree is %s", k.Name(), leading)
		}
		for i, m := range s.Measures {
			if m.Number != fmt.Sprint(i+1) || m.Start != score.Tick(16*i) || m.Length != 16 || m.Nominal != 16 || m.Beats != 4 || m.BeatUnit != 4 {
				t.Errorf("%+v", m)
			}
		}
	}
}

// Twelve keys of each mode, each pitch class once; close position stacks upward.
func TestKeysAndTones(t *testing.T) {
	seen := map[[2]int]bool{}
	for _, k := range Keys() {
		mode := 0
		if k.Minor {
			mode = 1
		}
		seen[[2]int{k.Tonic.PC(), mode}] = true
		if f := k.Fifths(); f < -5 || f > 6 {
			t.Errorf("%s has %d sharps", k.Name(), f)
		}
	}
	if len(seen) != 24 {
		t.Errorf("%d keys", len(seen))
	}
	n := 0
	EveryKey(t, func(t *testing.T, k tonal.Key) {
		if n++; k.Fifths() < -6 || k.Fifths() > 6 {
			t.Errorf("%s has %d sharps", k.Name(), k.Fifths())
		}
	})
	if n != 26 {
		t.Errorf("%d keys from six flats to six sharps in two modes", n)
	}
	tones := Tones(t, "G B D F")
	if got := fmt.Sprint(Close(tones, 60), Close(tones, 67), Close(Tones(t, "C E G"), 61)); got != "[67 71 74 77] [67 71 74 77] [72 76 79]" {
		t.Errorf("close position %s", got)
	}
	if got := fmt.Sprint(Shift(tones, 2)); got != fmt.Sprint(Tones(t, "A C# E G")) {
		t.Errorf("two fifths higher %s", got)
	}
	minor := Formula{Major: Chorale{Chords: "I"}, Minor: Chorale{Chords: "i"}, Want: "Phrygian half"}
	for _, k := range []tonal.Key{{}, {Minor: true}} {
		if c, want := minor.In(k); c.Chords != Pick(k, "I", "i") || want != Pick(k, "half", "Phrygian half") {
			t.Errorf("in %s: %s, %s", k.Name(), c.Chords, want)
		}
	}
	minor.Want = "plagal"
	if _, want := minor.In(tonal.Key{}); want != "plagal" {
		t.Errorf("plagal is %s", want)
	}
}

// Every numeral is there once, in the inversions that its tones allow, and the cadential six-four.
func TestVocabularyIsWhole(t *testing.T) {
	for _, k := range []tonal.Key{{}, {Minor: true}} {
		seen, cadential := map[string]bool{}, 0
		for _, n := range Vocabulary(k) {
			if n.Cadential {
				cadential++
			}
			if n.Inversion < 0 || n.Inversion >= len(n.Tones(k)) {
				t.Errorf("%+v", n)
			}
			seen[n.Format(k)] = true
		}
		for _, want := range []string{Pick(k, "I", "i"), Pick(k, "I64", "i64"), "V7", "V65", "V43", "V42", "Cad64", Pick(k, "ii6", "ii°6"), "vii°7"} {
			if !seen[want] {
				t.Errorf("%s: no %s", k.Name(), want)
			}
		}
		if cadential != 1 {
			t.Errorf("%s: %d cadential six-fours", k.Name(), cadential)
		}
	}
}
