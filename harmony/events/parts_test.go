package events

import (
	"testing"

	"hairpin/score"
)

// An event under doubtful chords is left out.
func TestDoubtfulIsLeftOut(t *testing.T) {
	s, a := blocks(t, "c: i:4 bII6:4 V:4 i:4")
	a.Chords[1].Confidence = 0.35
	if got := told(s, Find(s, a), Neapolitan); got != "" {
		t.Errorf("a doubtful Neapolitan is told at %s", got)
	}
}

// Kinds take turns: what has been told counts less.
func TestRankTakesTurns(t *testing.T) {
	got := Rank([]Event{{Kind: Suspension, Weight: 0.5}, {Kind: Suspension, Weight: 0.48}, {Kind: Pedal, Weight: 0.4}})
	if got[0].Kind != Suspension || got[1].Kind != Pedal || got[2].Kind != Suspension {
		t.Errorf("%+v", got)
	}
}

// Notes of two chords in one voice are linked by nearness.
func TestLinkLines(t *testing.T) {
	at := func(onset score.Tick, step, octave int) score.Note {
		return score.Note{Onset: onset, Duration: 12, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: step, Octave: octave}}
	}
	s := &score.Score{Division: 12, Notes: []score.Note{at(0, 0, 5), at(0, 4, 5), at(12, 6, 4), at(12, 5, 5), at(48, 0, 5)}}
	l := linkLines(s)
	if l.after[0] != 2 || l.after[1] != 3 || l.before[2] != 0 || l.before[3] != 1 {
		t.Errorf("after %v, before %v", l.after, l.before)
	}
	if l.before[4] != -1 {
		t.Error("a note after two beats of rest is linked")
	}
}

// A step is one step of the staff and one or two semitones.
func TestStep(t *testing.T) {
	s := &score.Score{Notes: []score.Note{
		{Pitch: score.Pitch{Octave: 5}},                     // C5
		{Pitch: score.Pitch{Step: 1, Octave: 5}},            // D5
		{Pitch: score.Pitch{Step: 6, Octave: 4}},            // B4
		{Pitch: score.Pitch{Alter: 1, Octave: 5}},           // C#5
		{Pitch: score.Pitch{Step: 1, Alter: 1, Octave: 5}},  // D#5
		{Pitch: score.Pitch{Step: 2, Alter: -2, Octave: 5}}, // Ebb5
	}}
	for to, want := range []int{0, 1, -1, 0, 0, 0} {
		if got := step(s, 0, to); got != want {
			t.Errorf("C5 to %s: %d, want %d", s.Notes[to].Pitch, got, want)
		}
	}
}
