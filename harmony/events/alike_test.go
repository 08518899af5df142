package events

import (
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/tonal"
)

// What is said of one event may be said of another if both are the same, on whatever tone.
func TestAlike(t *testing.T) {
	s, chords := sheet(t, "4/4", "C: I:2 V:2 vi:2 IV:2 G: I:2 V:2 C: V:2 I:2",
		"c5 b4 a4 g4 f5 e5 d5 c5 c4 d4 e4 f4 c4 c#4 d4 d#4")
	key := tonal.Key{}
	line := func(step int, notes ...int) Event { return Event{Kind: BassLine, Step: step, Notes: notes} }
	far := Event{Kind: FarKey, From: key, To: tonal.Key{Tonic: -4}, Semitones: 8, Entry: CommonTone}
	home, minor, other := far, far, far
	home.Home, minor.To.Minor, other.Entry = true, true, Chromatic
	a := &harmony.Analysis{Chords: chords.Chords}
	for _, c := range []struct {
		name string
		x, y Event
		want bool
	}{
		{"two kinds", Event{Kind: Hemiola}, Event{Kind: Elision}, false},
		{"two hemiolas", Event{Kind: Hemiola}, Event{Kind: Hemiola}, true},
		{"down and up", line(-1, 0, 1, 2, 3), line(1, 8, 9, 10, 11), false},
		{"down by the same steps", line(-1, 0, 1, 2), line(-1, 4, 5, 6), true}, // C B A, F E D
		{"down by other steps", line(-1, 0, 1, 2), line(-1, 1, 2, 3), false},   // B A G
		{"down as before", line(-1, 0, 1), line(-1, 4, 5), true},
		{"on the scale and by semitones", line(1, 8, 9, 10, 11), line(1, 12, 13, 14, 15), false},
		{"a longer one", line(-1, 0, 1), line(-1, 0, 1, 2), false},
		{"the same far key", far, far, true},
		{"the way back", far, home, false},
		{"into minor", far, minor, false},
		{"by another way", far, other, false},
		{"falling and rising", Event{Kind: Sequence, Step: -1}, Event{Kind: Sequence, Step: 1}, false},
		{"tonic and dominant", Event{Kind: Pedal, Degree: 1}, Event{Kind: Pedal, Degree: 5}, false},
		{"one numeral in two keys", Event{Kind: Borrowed, Chord: 1}, Event{Kind: Borrowed, Chord: 5}, true},
		{"two numerals", Event{Kind: Borrowed, Chord: 1}, Event{Kind: Borrowed, Chord: 2}, false},
		{"a semitone and a tone", Event{Kind: Appoggiatura, Step: -1, Notes: []int{0, 1}}, Event{Kind: Appoggiatura, Step: -1, Notes: []int{1, 2}}, false},
		{"two semitones", Event{Kind: Appoggiatura, Step: -1, Notes: []int{0, 1}}, Event{Kind: Appoggiatura, Step: -1, Notes: []int{3, 4, 5}}, true},
	} {
		if got := Alike(s, a, c.x, c.y); got != c.want {
			t.Errorf("%s: alike %v", c.name, got)
		}
	}
}
