package events

import (
	"strings"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A sequence is one growth, with its members and its step; the same pattern on the same
// pitch is a repetition (common practice, no source).
func TestSequence(t *testing.T) {
	const chords = "C: I:4 ii:4 iii:4 I:4"
	s, a := sheet(t, "4/4", chords, "e5 d5 c5 g4 f5 e5 d5 a4 g5 f5 e5 b4 c5:4", "g4:4 a4:4 b4:4 g4:4", "c3:2 e3:2 d3:2 f3:2 e3:2 g3:2 c3:4")
	e := only(t, Find(s, a), Sequence)
	if e.Members != 3 || e.Step != 1 || e.Semitones != 2 || e.Start != 0 || s.At(e.End).String() != "4:1" {
		t.Errorf("%+v", e)
	}
	s, a = sheet(t, "4/4", "C: I:4 ii:4 iii:4 IV:4 I:4", "e5 d5 c5 g4 f5 e5 d5 a4 g5 f5 e5 b4 a5 g5 f5 c5 c5:4", "g4:4 a4:4 b4:4 c5:4 g4:4", "c3:2 e3:2 d3:2 f3:2 e3:2 g3:2 f3:2 a3:2 c3:4")
	if e := only(t, Find(s, a), Sequence); e.Members != 4 || s.At(e.End).String() != "5:1" {
		t.Errorf("four measures are four members, not twice two: %+v", e)
	}
	for name, twin := range map[string][]string{
		"repeated":                  {"C: I:4 I:4 I:4 I:4", "e5 d5 c5 g4 e5 d5 c5 g4 e5 d5 c5 g4 c5:4", "g4:4 g4:4 g4:4 g4:4", "c3:2 e3:2 c3:2 e3:2 c3:2 e3:2 c3:4"},
		"spelled anew":              {"Gb: I:4 F#: I:4 I:4", "bb4 db5 gb5 db5 a#4 c#5 f#5 c#5 f#5:4", "gb4:4 f#4:4 a#4:4", "gb3:2 db3:2 f#3:2 c#3:2 f#3:4"},
		"another melody":            {chords, "e5 d5 c5 g4 a4 b4 d5 d5 b5 e5 g4 c5 c5:4", "g4:4 a4:4 b4:4 g4:4", "c3:2 e3:2 d3:2 f3:2 e3:2 g3:2 c3:4"},
		"a scale over a held chord": {"C: I:4 I:4 I:4 I:4", "c5 d5 e5 f5 d5 e5 f5 g5 e5 f5 g5 a5 c5:4", "r:16", "c3:16"},
	} {
		s, a := sheet(t, "4/4", twin[0], twin[1:]...)
		if got := told(s, Find(s, a), Sequence); got != "" {
			t.Errorf("%s: a sequence at %s", name, got)
		}
	}
}

// A pedal point stays while foreign chords pass over it; a repeated chord has none.
func TestPedal(t *testing.T) {
	s, a := sheet(t, "4/4", "C: V:4 IV:4 V:4 ii:4 I:4", "b4:4 a4:4 b4:4 a4:4 g4:4", "d4:4 f4:4 d4:4 f4:4 e4:4", "g2:8 g2:8 c3:4")
	e := only(t, Find(s, a), Pedal)
	if e.Degree != 5 || e.Start != 0 || s.At(e.End).String() != "5:1" || e.Tones[0].String() != "G" {
		t.Errorf("%+v", e)
	}
	for name, twin := range map[string][]string{
		"the bass moves":             {"C: V:4 IV:4 V:4 ii:4 I:4", "b4:4 a4:4 b4:4 a4:4 g4:4", "d4:4 f4:4 d4:4 f4:4 e4:4", "g2:4 f2:4 g2:4 d3:4 c3:4"},
		"a measure only":             {"C: V:1 IV:1 V:1 ii:1 I:4", "b4 a4 b4 a4 g4:4", "d4 f4 d4 f4 e4:4", "g2:4 c3:4"},
		"the tone is in every chord": {"C: V:4 I64:4 V:4 I64:4 I:4", "b4:4 c5:4 b4:4 c5:4 g4:4", "d4:4 e4:4 d4:4 e4:4 e4:4", "g2:8 g2:8 c3:4"},
		"one chord":                  {"C: V:16 I:4", "b4:4 d5:4 b4:4 d5:4 c5:4", "d4:4 d4:4 d4:4 d4:4 e4:4", "g2:8 g2:8 c3:4"},
		"on the third degree":        {"C: I6:4 IV:4 I6:4 ii:4 I:4", "c5:4 a4:4 c5:4 a4:4 g4:4", "g4:4 f4:4 g4:4 f4:4 e4:4", "e2:8 e2:8 c3:4"},
	} {
		s, a := sheet(t, "4/4", twin[0], twin[1:]...)
		if got := told(s, Find(s, a), Pedal); got != "" {
			t.Errorf("%s: a pedal at %s", name, got)
		}
	}
}

// The chords from outside the key, and their twins inside it. The Neapolitan goes on to
// the dominant, the augmented sixth opens to it (Aldwell & Schachter, from memory).
func TestColours(t *testing.T) {
	for _, c := range []struct {
		name, chords, soprano, alto, bass string
		kind                              Kind
		at                                string
	}{
		{"Neapolitan sixth", "c: i:4 bII6:4 V:4 i:4", "c5:4 db5:4 b4:4 c5:4", "eb4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4", Neapolitan, "2:1"},
		{"plain second degree", "c: i:4 ii°6:4 V:4 i:4", "c5:4 d5:4 b4:4 c5:4", "eb4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4", Neapolitan, ""},
		{"major second degree", "C: I:4 II:4 V:4 I:4", "c5:4 d5:4 b4:4 c5:4", "e4:4 a4:4 g4:4 g4:4", "c3:4 f#3:4 g3:4 c3:4", Neapolitan, ""},
		{"Italian sixth", "c: i:4 It6:4 V:4 i:4", "c5:4 f#5:4 g5:4 g5:4", "eb4:4 c5:4 b4:4 c5:4", "c3:4 ab2:4 g2:4 c3:4", AugmentedSixth, "2:1"},
		{"the sixth degree", "c: i:4 VI:4 V:4 i:4", "c5:4 eb5:4 d5:4 eb5:4", "eb4:4 c5:4 b4:4 c5:4", "c3:4 ab2:4 g2:4 c3:4", AugmentedSixth, ""},
		{"minor subdominant", "C: I:4 iv:4 V:4 I:4", "c5:4 c5:4 b4:4 c5:4", "e4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4", Borrowed, "2:1"},
		{"major subdominant", "C: I:4 IV:4 V:4 I:4", "c5:4 c5:4 b4:4 c5:4", "e4:4 a4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4", Borrowed, ""},
		{"minor subdominant in minor", "c: i:4 iv:4 V:4 i:4", "c5:4 c5:4 b4:4 c5:4", "eb4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4", Borrowed, ""},
		{"a chord of a minor key alone", "C: I:4 c: iv:4 C: V:4 I:4", "c5:4 c5:4 b4:4 c5:4", "e4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4", Borrowed, ""},
		{"the mode changes", "C: I:4 iv:4 c: V:4 i:4", "c5:4 c5:4 b4:4 c5:4", "e4:4 ab4:4 g4:4 eb4:4", "c3:4 f3:4 g3:4 c3:4", Borrowed, ""},
	} {
		s, a := sheet(t, "4/4", c.chords, c.soprano, c.alto, c.bass)
		if got := told(s, Find(s, a), c.kind); got != c.at {
			t.Errorf("%s: %s at %q, want %q", c.name, c.kind, got, c.at)
		}
	}
}

// What is heard as an augmented sixth but spelled as a dominant seventh is told less surely.
func TestSpellingDecides(t *testing.T) {
	sureness := func(alto string) float64 {
		s, a := sheet(t, "4/4", "c: i:4 Ger65:4 V:4 i:4", "c5:4 "+alto+":4 g5:4 g5:4", "eb4:4 c5:4 b4:4 c5:4", "c3:4 ab2:4 g2:4 c3:4")
		return only(t, Find(s, a), AugmentedSixth).Confidence
	}
	if a, b := sureness("f#5"), sureness("gb5"); a <= b {
		t.Errorf("spelled F#: %.2f, Gb: %.2f", a, b)
	}
}

// A Neapolitan that goes on to the dominant is surer than one that goes elsewhere.
func TestNeapolitanIsSpelled(t *testing.T) {
	sureness := func(tone string) float64 {
		s, a := sheet(t, "4/4", "c: i:4 bII6:4 V:4 i:4", "c5:4 "+tone+":4 b4:4 c5:4", "eb4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4")
		sum := 0.0
		for _, e := range Find(s, a) {
			if e.Kind == Neapolitan {
				sum += e.Confidence
			}
		}
		return sum
	}
	if a, b := sureness("db5"), sureness("c#5"); a <= b {
		t.Errorf("with Db %.2f, with C# %.2f", a, b)
	}
}

func TestNeapolitanGoesOn(t *testing.T) {
	sureness := func(next string) float64 {
		s, a := blocks(t, "c: i:4 bII6:4 "+next+":4 i:4 i:4")
		return only(t, Find(s, a), Neapolitan).Confidence
	}
	if a, b := sureness("V"), sureness("i"); a <= b {
		t.Errorf("to the dominant %.2f, to the tonic %.2f", a, b)
	}
}

// How a far key is entered; near and passing keys are none (the terms: common practice, no
// source; tonic triads a third apart with one common tone: Kostka & Payne, Tonal Harmony,
// from memory).
func TestFarKeys(t *testing.T) {
	const before = "C: I:4 IV:4 V:4 I:4 "
	for _, c := range []struct {
		name, chords string
		entry        Entry
	}{
		{"the dominant", "G: I:4 IV:4 V:4 I:4", ""},
		{"the relative", "a: i:4 iv:4 V:4 i:4", ""},
		{"two signs away", "D: I:4 IV:4 V:4 I:4", ""},
		{"too short", "Ab: I:4 C: I:4 V:4 I:4", ""},
		{"three chords in a measure", "Ab: I:1 IV:1 I:2 C: I:4 V:4 I:4", ""},
		{"one chord for three measures", "Ab: I:12 C: I:4 V:4 I:4", ""},
		{"through its dominant", "E: V7:4 I:4 V:4 I:4", Applied},
		{"the tonic stays", "c: i:4 iv:4 V:4 i:4", Mode},
		{"one common tone", "Ab: I:4 IV:4 V:4 I:4", CommonTone},
		{"through a borrowed chord", "Eb: ii:4 V:4 I:4 I:4", Pivot},
		{"tones moved by semitones", "Db: I:4 IV:4 V:4 I:4", Chromatic},
		{"nothing in common", "F#: I:4 IV:4 V:4 I:4", Chromatic},
	} {
		s, a := blocks(t, before+c.chords)
		found := Find(s, a)
		if c.entry == "" {
			if got := told(s, found, FarKey); got != "" {
				t.Errorf("%s: a far key at %s", c.name, got)
			}
			continue
		}
		if e := only(t, found, FarKey); e.Entry != c.entry || s.At(e.Start).String() != "5:1" || e.From.String() != "C" {
			t.Errorf("%s: %+v", c.name, e)
		}
	}
}

// A dominant seventh that resolves as a German sixth, spelled anew, leads by enharmonic
// change (Aldwell & Schachter, from memory); a close makes the entry direct; one tone
// alone leads over by itself.
func TestFarKeyEntries(t *testing.T) {
	s, a := blocks(t, "C: I:4 IV:4 I:4 V7:4 b: Ger65:4 V:4 i:4 V:4 i:4")
	if told(s, Find(s, a), FarKey) != "" {
		t.Error("B minor lies two signs from C: near enough")
	}
	s, a = blocks(t, "C: I:4 IV:4 I:4 V7:4 B: Ger65:4 V:4 I:4 V:4 I:4")
	if e := only(t, Find(s, a), FarKey); e.Entry != Enharmonic || e.Semitones != 11 {
		t.Errorf("G7 as a German sixth: %+v", e)
	}
	s, a = blocks(t, "C: I:4 IV:4 V:4 I:4 Ab: I:4 IV:4 V:4 I:4")
	a.Phrases = []phrasing.Phrase{{End: 16 * quarter, Cadence: -1}, {Start: 16 * quarter, End: 32 * quarter, Cadence: -1}}
	if e := only(t, Find(s, a), FarKey); e.Entry != Direct {
		t.Errorf("after a close: %s", e.Entry)
	}
	s, a = sheet(t, "4/4", "C: I:8 V:4 I:4 Ab: I:4 IV:4 V:4 I:4", "e4:4 e4:4 d4:4 e4:2 r:2 eb4:4 f4:4 eb4:4 eb4:4", "g4:8 g4:4 g4:2 r:2 ab4:4 ab4:4 g4:4 ab4:4", "c3:8 g3:4 c3:2 c3:2 ab3:4 db3:4 eb3:4 ab3:4")
	if e := only(t, Find(s, a), FarKey); e.Entry != CommonTone || e.Reasons[0] != "one tone alone leads over" {
		t.Errorf("one tone alone: %+v", e)
	}
}

// The bass goes by step, one way, each note with its chord; the lament comes down from the
// tonic of a minor key to its dominant (Rosand, The Descending Tetrachord, 1979, from memory).
func TestBassLines(t *testing.T) {
	for _, c := range []struct {
		name, chords, bass string
		at                 string
		lament, chromatic  bool
	}{
		{"five down", "C: I:2 V6:2 vi:2 I64:2 IV:2 V:2 I:4", "c4:2 b3:2 a3:2 g3:2 f3:2 g3:2 c3:4", "1:1", false, false},
		{"a leap within", "C: I:2 V6:2 vi:2 IV:2 V:2 I:2 I:4", "c4:2 b3:2 a3:2 f3:2 g3:2 c3:2 c3:4", "", false, false},
		{"a long first note", "C: I:6 V6:1 vi:1 I64:1 IV:1 V:2 I:4", "c4:6 b3:1 a3:1 g3:1 f3:1 g3:2 c3:4", "", false, false},
		{"one chord over it", "C: I:10 V:2 I:4", "c4:2 b3:2 a3:2 g3:2 f3:2 g3:2 c3:4", "", false, false},
		{"four down with a whole tone", "C: I:2 V6:2 vi:2 vii°43/V:2 I:4", "c4:2 b3:2 a3:2 ab3:2 c3:4", "", false, false},
		{"mostly chromatic", "c: i:2 V6:2 v6:2 IV6:2 iv6:2 V:2 iv:2 i:4", "c4:2 b3:2 bb3:2 a3:2 ab3:2 g3:2 f3:2 c3:4", "1:1", true, true},
		{"lament", "c: i:2 v6:2 iv6:2 V:2 i:4", "c4:2 bb3:2 ab3:2 g3:2 c3:4", "1:1", true, false},
		{"out of the key", "c: i:2 v6:2 iv6:2 V:2 g: V6:2 i:4", "c4:2 bb3:2 ab3:2 g3:2 f#3:2 g3:4", "1:1", false, false},
		{"four down in major", "C: I:2 V6:2 vi:2 V:2 I:4", "c4:2 b3:2 a3:2 g3:2 c3:4", "", false, false},
		{"chromatic", "c: i:2 V6:2 v6:2 IV6:2 iv6:2 V:2 i:4", "c4:2 b3:2 bb3:2 a3:2 ab3:2 g3:2 c3:4", "1:1", true, true},
	} {
		s, a := sheet(t, "4/4", c.chords, "g4:16", c.bass)
		found := Find(s, a)
		if got := told(s, found, BassLine); got != c.at {
			t.Errorf("%s: at %q, want %q", c.name, got, c.at)
			continue
		}
		if c.at != "" {
			if e := only(t, found, BassLine); e.Lament != c.lament || e.Chromatic != c.chromatic {
				t.Errorf("%s: %+v", c.name, e)
			}
		}
	}
}

// A line in the bass stops under a fermata: what comes after goes on from there no more.
func TestBassLineStopsUnderFermata(t *testing.T) {
	s, a := sheet(t, "4/4", "c: i:2 v6:2 iv6:2 V:2 iv:2 i:4", "g4:16", "c4:2 bb3:2 ab3:2 g3:2 f3:2 c3:4")
	if e := only(t, Find(s, a), BassLine); len(e.Tones) != 5 {
		t.Fatalf("%d tones, want the line to F", len(e.Tones))
	}
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Onset == 6*quarter && n.Voice == 2 {
			n.Signs |= score.FermataSign
		}
	}
	if e := only(t, Find(s, a), BassLine); len(e.Tones) != 4 || !e.Lament {
		t.Errorf("%d tones to the fermata, want 4", len(e.Tones))
	}
	for i := range s.Notes {
		s.Notes[i].Signs = 0
	}
	s.Fermatas = []score.Fermata{{Place: score.Place{At: 6 * quarter}}}
	if e := only(t, Find(s, a), BassLine); len(e.Tones) != 4 {
		t.Errorf("%d tones to the fermata over the staff, want 4", len(e.Tones))
	}
}

// A pedal point ends with the first beat that begins over another tone, though the tone
// comes back below within the beat. It says how long it lasts.
func TestPedalEnds(t *testing.T) {
	const chords, top = "C: V:4 IV:4 V7:4 I:4 V:4", "d5:4 f5:4 f5:4 e5:4 d5:4"
	s, a := sheet(t, "4/4", chords, top, "b4:4 a4:4 d5:4 c5:4 b4:4", "g3:12 a3:.5 g3:.5 c4:3 g3:4")
	e := only(t, Find(s, a), Pedal)
	if got := s.At(e.End).String(); got != "4:1" {
		t.Errorf("it lasts to %s, want 4:1", got)
	}
	if e.Measures < 2.99 || e.Measures > 3.01 {
		t.Errorf("it lasts %v measures, want 3", e.Measures)
	}
	s, a = sheet(t, "4/4", chords, top, "b4:4 a4:4 d5:4 c5:4 b4:4", "g3:4 a3:.5 g3:.5 g3:3 g3:8 g3:4")
	if e := only(t, Find(s, a), Pedal); s.At(e.Start).String() != "3:1" && s.At(e.Start).String() != "2:2" {
		t.Errorf("after the other tone it begins at %s", s.At(e.Start))
	}
}

// Two measures of three are heard as three of two; the twin keeps to its measures.
func TestHemiola(t *testing.T) {
	const frame = "C: I:3 IV:3 "
	s, a := sheet(t, "3/4", frame+"I64:2 V:2 ii:2 V:3 I:3", "e5:3 f5:3 e5:2 d5:2 f5:2 d5:3 c5:3", "g4:3 a4:3 c5:2 b4:2 a4:2 b4:3 g4:3", "c3:3 f3:3 g3:2 g3:2 d3:2 g3:3 c3:3")
	e := only(t, Find(s, a), Hemiola)
	if s.At(e.Start).String() != "3:1" || s.At(e.End).String() != "5:1" || len(e.Reasons) < 2 {
		t.Errorf("%+v", e)
	}
	s, a = sheet(t, "3/4", frame+"I64:3 V:3 V:3 I:3", "e5:3 f5:3 e5:2 e5:1 d5:2 d5:1 d5:3 c5:3", "g4:3 a4:3 c5:3 b4:3 b4:3 g4:3", "c3:3 f3:3 g3:3 g3:3 g3:3 c3:3")
	if got := told(s, Find(s, a), Hemiola); got != "" {
		t.Errorf("the twin: at %s", got)
	}
	const two = "I:2 V:2 ii:2 "
	s, a = sheet(t, "3/4", "C: "+two+two+two, strings.Repeat("e5:2 d5:2 f5:2 ", 3), strings.Repeat("c5:2 b4:2 a4:2 ", 3), strings.Repeat("c3:2 g3:2 d3:2 ", 3))
	if got := told(s, Find(s, a), Hemiola); got != "" {
		t.Errorf("twos all along are the metre: at %s", got)
	}
	s, a = sheet(t, "3/4", frame+"I64:2 V:2 ii:2 V:3 I:3", "e5:3 f5:3 e5 e5 d5> d5 f5> f5 d5:3 c5:3", "g4:3 a4:3 c5:2 b4 b4 a4:2 b4:3 g4:3", "c3:3 f3:3 g3 g3 g3 g3 d3 d3 g3:3 c3:3")
	if got := told(s, Find(s, a), Hemiola); got != "" {
		t.Errorf("a bass on every bar line keeps the metre: at %s", got)
	}
	s, a = sheet(t, "3/4", "C: I:6 IV:3 I:3", "e5:2 f5:2 g5:2 f5:3 e5:3", "c3:6 f3:3 c3:3")
	if got := told(s, Find(s, a), Hemiola); got != "" {
		t.Errorf("long notes over a held chord: at %s", got)
	}
}

// closed adds one phrase up to the last chord, with a cadence there.
func closed(chords []tonal.Chord, kind phrasing.CadenceKind) ([]phrasing.Phrase, []phrasing.Cadence) {
	last := len(chords) - 1
	c := phrasing.Cadence{At: chords[last].Start, Chord: last, Kind: kind, Key: chords[last].Key, Confidence: 1}
	return []phrasing.Phrase{{End: chords[last].End, Cadence: 0, Confidence: 1}}, []phrasing.Cadence{c}
}

// The chords come faster towards the close, or they do not.
func TestQuickening(t *testing.T) {
	for chords, want := range map[string]string{
		"C: I:4 IV:4 ii:4 vi:1 ii:1 V:1 V7:1 I:4":            "4:1",
		"C: I:4 IV:4 ii:4 V:4 I:4":                           "",
		"C: I:1 IV:1 V:1 I:1 vi:1 ii:1 V:1 I:1 IV:4 V:4 I:4": "",
	} {
		s, a := blocks(t, chords)
		a.Phrases, a.Cadences = closed(a.Chords, phrasing.PerfectAuthentic)
		found := Find(s, a)
		if got := told(s, found, Quickening); got != want {
			t.Errorf("%s: at %q, want %q", chords, got, want)
		}
	}
}

// A minor piece may end on a major tonic: the Picardy third (common practice, no source).
func TestPicardyThird(t *testing.T) {
	for chords, want := range map[string]string{"c: i:4 iv:4 V:4 I:4": "4:1", "c: i:4 iv:4 V:4 i:4": "", "C: I:4 IV:4 V:4 I:4": ""} {
		s, a := blocks(t, chords)
		a.Phrases, a.Cadences = closed(a.Chords, phrasing.PerfectAuthentic)
		if got := told(s, Find(s, a), PicardyThird); got != want {
			t.Errorf("%s: at %q, want %q", chords, got, want)
		}
	}
}

// A phrase that only pauses on the major tonic, without a close, has none.
func TestNoPicardyThirdWithoutAClose(t *testing.T) {
	s, a := blocks(t, "c: i:4 iv:4 V:4 I:4 iv:4 V:4 i:4")
	a.Phrases = []phrasing.Phrase{{End: 16 * quarter, Cadence: -1}, {Start: 16 * quarter, End: 28 * quarter, Cadence: -1}}
	if got := told(s, Find(s, a), PicardyThird); got != "" {
		t.Errorf("at %s", got)
	}
}

func TestWithheldCadences(t *testing.T) {
	s, a := blocks(t, "C: I:4 IV:4 V:4 vi:4")
	a.Phrases, a.Cadences = closed(a.Chords, phrasing.Deceptive)
	if e := only(t, Find(s, a), DeceptiveCadence); e.Chord != 3 {
		t.Errorf("%+v", e)
	}
	a.Cadences[0].Kind = phrasing.Evaded
	only(t, Find(s, a), EvadedCadence)
	s.Fermatas = []score.Fermata{{Place: score.Place{At: 8 * quarter}}}
	if found := Find(s, a); told(s, found, EvadedCadence) != "" {
		t.Errorf("what begins anew after a fermata refuses nothing: %+v", found)
	}
	s.Fermatas[0].At = 4 * quarter
	only(t, Find(s, a), EvadedCadence)
	a.Cadences[0].Kind = phrasing.PerfectAuthentic
	if found := Find(s, a); told(s, found, DeceptiveCadence)+told(s, found, EvadedCadence) != "" {
		t.Errorf("a perfect cadence withholds nothing: %+v", found)
	}
}

// The end of one phrase is the beginning of the next: the tonic that closes opens the
// theme again. With a measure of rest between, it does not.
func TestElision(t *testing.T) {
	const theme, alto, bass = "e5 d5 e5 g5 f5 e5 d5 b4 ", "c5:2 c5:2 b4:2 g4:2 ", "c3:2 c3:2 g3:2 g3:2 "
	const chords = "C: I:4 V:4 I:4 V:4 I:4"
	s, a := sheet(t, "4/4", chords, theme+theme+"c5:4", alto+alto+"g4:4", bass+bass+"c3:4")
	at := 8 * score.Tick(quarter)
	a.Cadences = []phrasing.Cadence{{At: at, Chord: 2, Kind: phrasing.ImperfectAuthentic, Key: a.Home, Confidence: 1}}
	a.Phrases = []phrasing.Phrase{{Start: 0, End: at, Cadence: 0}, {Start: at, End: 20 * quarter, Cadence: -1}}
	if e := only(t, Find(s, a), Elision); e.Start != at {
		t.Errorf("%+v", e)
	}
	s, a = sheet(t, "4/4", chords, "e5 d5 e5 g5 f5 e5 d5 r "+theme+"c5:4", "c5:2 c5:2 b4:2 g4:1 r "+alto+"g4:4", "c3:2 c3:2 g3:2 g3:1 r "+bass+"c3:4")
	a.Cadences = []phrasing.Cadence{{At: at, Chord: 2, Kind: phrasing.ImperfectAuthentic, Key: a.Home, Confidence: 1}}
	a.Phrases = []phrasing.Phrase{{Start: 0, End: at, Cadence: 0}, {Start: at, End: 20 * quarter, Cadence: -1}}
	if got := told(s, Find(s, a), Elision); got != "" {
		t.Errorf("with a rest: at %s", got)
	}
}

// The rarer and the surer comes first, and what has come before counts less.
func TestRank(t *testing.T) {
	s, a := sheet(t, "4/4", "c: i:4 bII6:4 V:4 i:4 bII6:4 V:4 i:4", "c5:4 db5:4 b4:4 c5:4 db5:4 b4:4 c5:4", "eb4:4 ab4:4 g4:4 g4:4 ab4:4 g4:4 g4:4", "c3:4 f3:4 g3:4 c3:4 f3:4 g3:4 c3:4")
	found := Find(s, a)
	ranked := Rank(found)
	if len(ranked) != len(found) || ranked[0].Kind != Neapolitan || ranked[0].Again || ranked[0].Times != 2 {
		t.Fatalf("%+v", ranked)
	}
	for _, e := range found {
		if e.Again && e.Weight >= ranked[0].Weight {
			t.Errorf("what comes again weighs as much: %+v", e)
		}
		if e.Rarity < 0 || e.Rarity > 1 || e.Weight < 0 || e.Weight > 1 {
			t.Errorf("out of range: %+v", e)
		}
	}
}

// Every kind is in the stored table.
func TestCorpusTable(t *testing.T) {
	for _, k := range Kinds() {
		if PerHundred(k) <= 0 {
			t.Errorf("%s is not in the table", k)
		}
	}
	if PerHundred(Suspension) <= PerHundred(Hemiola) {
		t.Error("a hemiola is rarer than a suspension")
	}
}

func TestNothingToFind(t *testing.T) {
	if got := Find(&score.Score{Division: 1}, &harmony.Analysis{}); got != nil {
		t.Errorf("%+v", got)
	}
}
