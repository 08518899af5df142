package phrasing

import (
	"math"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
)

// A cadential six-four owes its dominant, a dominant seventh its tonic or the chord that
// stands for it, an applied dominant its own tonic; a plain dominant and a tonic owe nothing,
// nor does a dominant seventh that what follows does not answer (common practice, no source).
func TestWhatHarmonyOwes(t *testing.T) {
	for _, c := range []struct {
		name, chords string
		want         waiting
	}{
		{"six-four to dominant", "I:4 Cad64:4 V:4 I:4", owesFive},
		{"dominant seventh to tonic", "I:4 V7:4 I:4", goesOnwards},
		{"dominant seventh to a diminished chord", "I:4 V7:4 viio:4 I:4", goesOnwards},
		{"dominant seventh to its inversion", "I:4 V7:4 V65:4 I:4", goesOnwards},
		{"diminished seventh to tonic", "I:4 viio7:4 I:4", goesOnwards},
		{"diminished seventh elsewhere", "I:4 viio7:4 IV:4", nothing},
		{"augmented sixth to dominant", "i:4 It6:4 V:4 i:4", goesOnwards},
		{"augmented sixth elsewhere", "i:4 It6:4 iv:4 i:4", nothing},
		{"a rest before the tonic", "I:4 V7:4 -:4 I:4", nothing},
		{"applied dominant to dominant", "I:4 V7/V:4 V:4", goesOnwards},
		{"seventh that is not answered", "I:4 V7:4 IV:4", nothing},
		{"dominant to tonic", "I:4 V:4 I:4", nothing},
		{"tonic to dominant", "V:4 I:4 V:4", nothing},
	} {
		_, chords := written.Chorale{Chords: c.chords, Soprano: "1 2 1 1"}.Write(t, tonal.Key{Minor: c.chords[0] == 'i'})
		a := &piece{Chords: chords}
		if got := a.waits(chords[2].Start); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	_, chords := written.Chorale{Chords: "I:4 V7:8 IV:4", Soprano: "1 2 1"}.Write(t, tonal.Key{})
	a := &piece{Chords: chords}
	if got := a.waits(chords[1].Start + 8); got != goesOnwards {
		t.Errorf("inside a dominant seventh: %v", got)
	}
	if got := a.waits(chords[1].Start); got != nothing {
		t.Errorf("where it starts: %v", got)
	}
}

// No phrase ends between a cadential six-four and its dominant, held by a fermata or not; on
// a dominant seventh one may end where a fermata holds it, or all pause. Our own weights.
func TestBoundariesAwait(t *testing.T) {
	w := DefaultWeights()
	if w.SixFour <= w.Fermata || w.Waiting <= 0 {
		t.Fatalf("weights %v, %v", w.SixFour, w.Waiting)
	}
	_, chords := written.Chorale{Chords: "I:4 Cad64:4 V7:4 I:4", Soprano: "1 1 7 1"}.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, &surface{w: w}
	dominant, tonic := chords[2].Start, chords[3].Start
	for _, c := range []struct {
		name string
		b    boundary
		cost float64
	}{
		{"after the six-four", boundary{at: dominant}, w.SixFour},
		{"after a six-four with a fermata", boundary{at: dominant, rest: rest{fermata: true}}, w.SixFour},
		{"after the seventh", boundary{at: tonic}, w.Waiting},
		{"after a seventh with a fermata", boundary{at: tonic, rest: rest{fermata: true}}, 0},
		{"after a seventh, all pause", boundary{at: tonic, rest: rest{all: 1}}, 0},
		{"after a seventh, half closed", boundary{at: tonic, closing: 0.5}, w.Waiting / 2},
		{"after the tonic", boundary{at: dominant - 16}, 0},
	} {
		list := []boundary{c.b}
		a.await(v, list)
		if math.Abs(-list[0].gain-c.cost) > 1e-9 {
			t.Errorf("%s costs %v, want %v", c.name, -list[0].gain, c.cost)
		}
	}
}

// The boundaries of a piece are told what waits there.
func TestBoundariesOfAPieceAwait(t *testing.T) {
	s, chords := written.Chorale{Chords: "I:4 IV:4 Cad64:4 V:4 I:4", Soprano: "1 1 1 7 1"}.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
	for _, b := range a.boundaries(v, a.endings(v)) {
		if waits := b.gain < v.w.None-partedCadence-1; waits != (b.at == chords[3].Start) {
			t.Errorf("at %d gain %v", b.at, b.gain)
		}
	}
}
