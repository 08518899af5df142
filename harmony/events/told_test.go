package events

import (
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
)

// Under broken chords the bass stands alone on the beat, and walks as it does under
// block chords (common practice, no source). A line without accompaniment has no bass.
func TestBassWalksUnderBrokenChords(t *testing.T) {
	const chords = "g: V6:4 i:4 vii°7/V:4 V:4 VI:4 i:4"
	four := func(beat string) string { return strings.Repeat(beat+" ", 4) }
	bass, above := "", ""
	for _, x := range [][2]string{{"f#3", "d5"}, {"g3", "bb4"}, {"g#3", "d5"}, {"a3", "c5"}, {"bb3", "d5"}, {"g3", "bb4"}} {
		bass, above = bass+four(x[0]+":0.5 r:0.5"), above+four("r:0.5 "+x[1]+":0.5")
	}
	s, a := sheet(t, "4/4", chords, above, bass)
	if e := only(t, Find(s, a), BassLine); len(e.Tones) != 5 || !e.Chromatic || s.At(e.Start).String() != "1:1" {
		t.Errorf("%+v", e)
	}
	s, a = sheet(t, "4/4", chords, bass)
	if got := told(s, Find(s, a), BassLine); got != "" {
		t.Errorf("a line alone walks as a bass at %s", got)
	}
}

// A pedal begins with the phrase that stands on it: the same tone as the last of the
// phrase before belongs there (common practice, no source). Its length counts each
// measure by its own.
func TestPedalBeginsWithItsPhrase(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:4 V:4 IV:4 V:4 ii:4 I:4", "e5:4 b4:4 a4:4 b4:4 a4:4 g4:4", "g4:4 d4:4 f4:4 d4:4 f4:4 e4:4", "c3:2 g2:2 g2:8 g2:8 c3:4")
	whole := only(t, Find(s, a), Pedal)
	if got := s.At(whole.Start).String(); got != "1:3" {
		t.Fatalf("without phrases the pedal begins at %s", got)
	}
	a.Phrases = []phrasing.Phrase{{End: 4 * quarter, Cadence: -1}, {Start: 4 * quarter, End: s.Length(), Cadence: -1}}
	e := only(t, Find(s, a), Pedal)
	if got := s.At(e.Start).String(); got != "2:1" || e.Measures < 3.99 || e.Measures > 4.01 {
		t.Errorf("from %s, %.2f measures", got, e.Measures)
	}
}

// A scale in parallel sixths has no motive that is moved: it is no sequence (common
// practice, no source); with a turn in it, it is one.
func TestScaleIsNoSequence(t *testing.T) {
	const chords = "C: I:2 vi:2 IV:2 ii:2 I:4"
	for want, twin := range map[string][]string{
		"":    {"c6:1.5 b5:0.5 a5:1.5 g5:0.5 f5:1.5 e5:0.5 d5:1.5 c5:0.5 c5:4", "e5:1.5 d5:0.5 c5:1.5 b4:0.5 a4:1.5 g4:0.5 f4:1.5 e4:0.5 e4:4"},
		"1:1": {"c6 d6:0.5 b5:0.5 a5 b5:0.5 g5:0.5 f5 g5:0.5 e5:0.5 d5 e5:0.5 c5:0.5 c5:4", "e5:1.5 d5:0.5 c5:1.5 b4:0.5 a4:1.5 g4:0.5 f4:1.5 e4:0.5 e4:4"},
	} {
		s, a := sheet(t, "4/4", chords, append(twin, "c3:2 a2:2 f2:2 d2:2 c2:4")...)
		if got := told(s, Find(s, a), Sequence); got != want {
			t.Errorf("a sequence at %q, want %q", got, want)
		}
	}
}
