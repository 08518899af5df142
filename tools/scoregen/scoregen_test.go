package scoregen

import (
	"bytes"
	"testing"

	"hairpin/musicxml"
)

// TestPianoCanBeWrittenAndRead checks that what is written comes back.
func TestPianoCanBeWrittenAndRead(t *testing.T) {
	for _, measures := range []int{1, 10, 100} {
		want := Piano(measures, 7)
		var doc bytes.Buffer
		if err := musicxml.Write(&doc, want); err != nil {
			t.Fatal(err)
		}
		f, err := musicxml.Read(&doc, "invention", musicxml.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		got := f.Score
		if len(got.Measures) != measures || len(got.Notes) != len(want.Notes) || len(got.Hairpins) != len(want.Hairpins) ||
			len(got.Dynamics) != len(want.Dynamics) || len(got.Slurs) != len(want.Slurs) || len(got.Keys) != len(want.Keys) || len(got.Warnings) > 0 {
			t.Errorf("%d measures: read %d measures, %d notes of %d, %d hairpins of %d, warnings %v",
				measures, len(got.Measures), len(got.Notes), len(want.Notes), len(got.Hairpins), len(want.Hairpins), got.Warnings)
		}
	}
}

// Hymns can be written, and hold the last chord of each line in all voices.
func TestChoraleCanBeWritten(t *testing.T) {
	for seed := range uint64(50) {
		s := Chorale(6, seed)
		var doc bytes.Buffer
		if err := musicxml.Write(&doc, s); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if len(s.Fermatas) != 6*4 {
			t.Errorf("seed %d: %d fermatas over 6 lines of 4 voices", seed, len(s.Fermatas))
		}
	}
}

// Medleys are the same for the same seed, can be written, and have all their notes inside.
func TestMedleyCanBeWritten(t *testing.T) {
	for seed := range uint64(200) {
		s := Medley(4, seed)
		var one, two bytes.Buffer
		if err := musicxml.Write(&one, s); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if err := musicxml.Write(&two, Medley(4, seed)); err != nil || !bytes.Equal(one.Bytes(), two.Bytes()) {
			t.Errorf("seed %d: written twice it differs", seed)
		}
	}
}
