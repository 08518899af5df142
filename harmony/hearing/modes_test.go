package hearing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A minor key whose tonic sounds major again and again is major, if major rules the piece;
// a raised third at the end, or a minor tonic between, leaves it minor. Common practice,
// no source.
func TestTonicMakesTheMode(t *testing.T) {
	major, minor := tonal.Key{Tonic: -2}, tonal.Key{Tonic: -2, Minor: true}
	for _, x := range []struct {
		name   string
		rules  tonal.Key
		romans []string
		want   int // chords read in major
	}{
		{"major again and again", major, []string{"I", "V", "I", "V7", "I"}, 5},
		{"a raised third", major, []string{"i", "iv", "V7", "I"}, 0},
		{"after a minor tonic", major, []string{"i", "V", "I", "V", "I"}, 4},
		{"minor rules", minor, []string{"I", "V", "I", "V7", "I"}, 0},
	} {
		var chords []tonal.Chord
		at := score.Tick(0)
		add := func(k tonal.Key, roman string) {
			chords = append(chords, chordAt(t, at, k, roman))
			at += 4
		}
		for range 8 {
			add(x.rules, written(x.rules))
			add(tonal.Key{Tonic: 3}, "I")
		}
		first := len(chords)
		for _, r := range x.romans {
			add(minor, r)
		}
		hearModes(chords)
		got := 0
		for _, c := range chords[first:] {
			if c.Key == major {
				got++
			}
		}
		if got != x.want {
			t.Errorf("%s: %d chords in major, want %d", x.name, got, x.want)
		}
	}
}

// written is the tonic of a key.
func written(k tonal.Key) string {
	if k.Minor {
		return "i"
	}
	return "I"
}
