package hearing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A key is entered with the first measure that lies in it for more than half and has a
// chord that is not of the key before, or its tonic or dominant. Common practice, no source.
// A measure has eight ticks here, a chord four.
func TestWhereAKeyIsEntered(t *testing.T) {
	c, g, minor := tonal.Key{}, tonal.Key{Tonic: 1}, tonal.Key{Tonic: 0, Minor: true}
	type heard struct {
		key   tonal.Key
		roman string
	}
	for _, x := range []struct {
		name   string
		chords []heard
		want   score.Tick
	}{
		{"its tonic on the downbeat", []heard{{c, "I"}, {c, "V"}, {g, "I"}, {g, "ii"}}, 8},
		{"after two chords of both keys", []heard{{c, "I"}, {c, "V"}, {g, "IV"}, {g, "vi"}, {g, "V"}, {g, "I"}}, 16},
		{"a dominant as an upbeat to it", []heard{{c, "I"}, {g, "V7"}, {g, "I"}, {g, "I6"}}, 8},
		{"in the middle, for the rest of the piece", []heard{{c, "I"}, {c, "V"}, {c, "I"}, {g, "V7"}}, 12},
		{"in the other mode", []heard{{c, "I"}, {c, "V"}, {minor, "i"}, {minor, "iv"}}, 8},
		{"a chord foreign to the old key", []heard{{c, "I"}, {c, "V"}, {c, "I"}, {minor, "VI"}, {minor, "iv"}, {minor, "VI"}}, 16},
	} {
		var chords []tonal.Chord
		s := &score.Score{Division: 4}
		for i, h := range x.chords {
			chords = append(chords, chordAt(t, score.Tick(4*i), h.key, h.roman))
			if i%2 == 0 {
				s.Measures = append(s.Measures, score.Measure{Start: score.Tick(4 * i), Length: 8, Nominal: 8})
			}
		}
		keys := Keys(chords)
		Enter(s, chords, keys)
		if len(keys) != 2 || keys[0].Entered != 0 || keys[1].Entered != x.want {
			t.Errorf("%s: %+v, want the second at %d", x.name, keys, x.want)
		}
	}
}
