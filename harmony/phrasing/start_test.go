package phrasing

import (
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// accompany adds a second voice below a tune: the same bass note on every downbeat.
func accompany(s *score.Score) {
	for i, m := range s.Measures {
		s.Notes = append(s.Notes, score.Note{Onset: m.Start, Duration: m.Length, Measure: i, Staff: 1, Voice: 2, Pitch: score.Pitch{Octave: 3}})
	}
	sortNotes(s)
}

// A tune that holds its last tone over the bar line and goes on after the downbeat starts
// its phrase with the accompaniment on that downbeat. Common practice, no source.
func TestPhraseStartsOnTheDownbeat(t *testing.T) {
	s := tune(t, 4, 0, "c5 d5 e5 f5 g5 f5 e5 d5 e5 f5 g5 a5 g5 f5 e5:3 "+
		"d5 e5 f5 g5 f5 e5 d5 e5 f5 g5 a5 g5 f5 c5:2")
	accompany(s)
	v := newSurface(s, 0, DefaultWeights())
	down := s.Measures[4].Start
	list := []boundary{{at: down, gain: -2}, {at: down + 4, gain: 1}}
	v.startOnBeat(list)
	if list[0].gain < list[1].gain {
		t.Errorf("the phrase starts after the downbeat: %+v", list)
	}
	list = []boundary{{at: s.Measures[5].Start, gain: -2}, {at: s.Measures[5].Start + 4, gain: 1}}
	if v.startOnBeat(list); list[0].gain > list[1].gain {
		t.Errorf("the tune moves on the downbeat, and yet the start is moved: %+v", list)
	}
}

// A singer's entry after a prelude starts a phrase. Common practice, no source.
func TestVoiceEntersWithAPhrase(t *testing.T) {
	s := tune(t, 4, 0, "-:12 c5 d5 e5 f5 g5 f5 e5 d5 e5 f5 g5 a5 g5 f5 e5 c5")
	accompany(s)
	v := newSurface(s, 0, DefaultWeights())
	v.lead = 1 - v.lead
	if v.lines[v.lead].events[0].onset == 0 {
		v.lead = 1 - v.lead
	}
	for at, want := range map[score.Tick]bool{48: true, 52: false, 64: false, 0: false} {
		if got := v.enters(at, true); got != want {
			t.Errorf("enters at %d: %v", at, got)
		}
	}
}

// A new key signature starts a phrase, and so does a new texture; the dominant that runs
// right into the tonic of the next phrase closes with it. Common practice, no source.
func TestSignsAndTexturesStartPhrases(t *testing.T) {
	s := tune(t, 4, 0, "c5 d5 e5 f5 g5 f5 e5 d5 e5 f5 g5 a5 g5 f5 e5 d5 e5 f5 g5 f5 e5 d5 c5 d5 e5 f5 g5 a5 g5 f5 e5 d5 "+
		"c5:2 e5:2 d5:2 f5:2 e5:2 g5:2 f5:2 d5:2 c5:2 e5:2 d5:2 f5:2 e5:2 g5:2 f5:2 c5:2")
	s.Keys = []score.KeyMark{{}, {Place: score.Place{At: s.Measures[8].Start}, Fifths: -3}}
	v := newSurface(s, 0, DefaultWeights())
	if at := s.Measures[8].Start; len(v.signs) != 1 || v.signs[0] != at || v.turns[at] < 0.3 {
		t.Errorf("signs %v, textures %v, want both at %d", v.signs, v.turns, at)
	}
	if got := phraseStarts(s); !strings.Contains(got, "9:1") {
		t.Errorf("phrases start at %s", got)
	}
}

// The tonic that the dominant runs into, and that begins the next phrase, closes the last:
// an elision. After a pause on the dominant it does not. Caplin, Classical Form (1998),
// chapter 4, from memory.
func TestElision(t *testing.T) {
	s, chords := written.Chorale{Chords: "I:4 V7:4 I:4", Soprano: "3 2 1"}.Write(t, tonal.Key{})
	a, v := &piece{Chords: chords}, newSurface(s, 0, DefaultWeights())
	half, next := Cadence{Kind: Half, Chord: 1, At: 16}, Cadence{Kind: PerfectAuthentic, Chord: 2, At: 32}
	if !a.goesOver(v, half, candidate{cadence: next}) {
		t.Error("no elision")
	}
	v.signs = []score.Tick{32}
	if a.goesOver(v, half, candidate{cadence: next}) {
		t.Error("an elision into a new signature")
	}
	v.signs, v.fermatas = nil, []score.Tick{31}
	if a.goesOver(v, half, candidate{cadence: next}) {
		t.Error("an elision after a fermata")
	}
	half.Confidence = 0.6
	if !a.goesOver(v, half, candidate{cadence: next, over: true}) {
		t.Error("a dominant on its way is not answered")
	}
	half.Confidence = 0.9
	if a.goesOver(v, half, candidate{cadence: next, over: true}) {
		t.Error("a sure half cadence is answered")
	}
}
