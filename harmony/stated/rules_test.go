package stated

import (
	"fmt"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Roots as letters, functions and degrees of a key, altered by their signs; others are none.
func TestSymbolRoots(t *testing.T) {
	g, a := tonal.Key{Tonic: 1}, tonal.Key{Tonic: 3, Minor: true}
	for _, c := range []struct {
		text string
		key  tonal.Key
		want string // "" none
	}{
		{"Bb", g, "Bb"}, {"function:V", g, "D"}, {"function:V7", g, "D"}, {"function:ii", g, "A"}, {"numeral:1", g, "G"}, {"numeral:7", g, "F#"}, {"numeral:4", a, "D"}, {"numeral:7", a, "G"}, {"numeral:#4", g, "C#"}, {"numeral:b2", g, "Ab"},
		{"numeral:0", g, ""}, {"numeral:8", g, ""}, {"numeral:12", g, ""}, {"numeral:", g, ""}, {"function:x", g, ""}, {"H", g, ""}, {"", g, ""},
	} {
		got, ok := symbolRoot(c.text, c.key)
		if ok != (c.want != "") || ok && got.String() != c.want {
			t.Errorf("%q in %s: %s %v, want %q", c.text, c.key.Name(), got, ok, c.want)
		}
	}
}

// The bass or inversion of a symbol: a tone of the chord is its inversion, up to the third;
// a foreign one a pedal; an inversion that the chord has not is passed over.
func TestSymbolBass(t *testing.T) {
	for _, c := range []struct {
		bass             string
		inversion, usual int
		want             string
	}{
		{"", -1, 0, "C 0 false"}, {"E", -1, 0, "E 1 false"}, {"G", -1, 0, "G 2 false"}, {"Bb", -1, 0, "Bb 3 false"}, {"D", -1, 0, "D 3 false"}, {"F", -1, 0, "C 0 true"}, {"", 1, 0, "E 1 false"}, {"", 3, 0, "Bb 3 false"}, {"", 4, 0, "C 0 false"}, {"", 0, 1, "C 0 false"}, {"", -1, 1, "E 1 false"}, {"", 9, 0, "C 0 false"},
	} {
		x := tonal.Chord{Root: 0, Tones: []score.Class{0, 4, 1, -2, 2}}
		setBass(&x, score.ChordSymbol{Bass: c.bass, Inversion: c.inversion}, c.usual)
		if got := fmt.Sprint(x.Bass, x.Inversion, x.Pedal); got != c.want {
			t.Errorf("bass %q, inversion %d, usual %d: %s, want %s", c.bass, c.inversion, c.usual, got, c.want)
		}
	}
}

// A chord that is cut at a moment goes on from there; in a gap a nameless one begins in the key
// before it, up to the next; at the end there is nothing to begin.
func TestSplitAt(t *testing.T) {
	g := tonal.Key{Tonic: 1}
	list := func() []tonal.Chord {
		return []tonal.Chord{{Start: 4, End: 8, Root: 2, Key: g}, {Start: 12, End: 16, Root: 3}}
	}
	for at, want := range map[score.Tick]string{4: "4-8 12-16", 6: "4-6 6-8 12-16", 8: "4-8 8-12 12-16", 10: "4-8 10-12 12-16", 12: "4-8 12-16", 0: "0-4 4-8 12-16", 16: "4-8 12-16 16-20", 20: "4-8 12-16"} {
		got := ""
		for _, c := range splitAt(list(), at, 20) {
			got += fmt.Sprintf(" %d-%d", c.Start, c.End)
			if c.Start == at && (at == 6 || at == 8 || at == 10 || at == 0) && c.Key != g {
				t.Errorf("at %d it begins in %s", at, c.Key.Name())
			}
			if c.Start == at && (at == 6) != (c.Root == 2) && at != 4 {
				t.Errorf("at %d the chord on %s begins", at, c.Root)
			}
		}
		if got[1:] != want {
			t.Errorf("at %d: %s, want %s", at, got[1:], want)
		}
	}
}

// A # that starts a line or follows white space begins a remark, unless a numeral follows.
func TestCutComment(t *testing.T) {
	for text, want := range map[string]string{"12 3 G V # sure": "12 3 G V", "# all": "", "12 3 F# V": "12 3 F# V", "12 3 c #iv": "12 3 c #iv", "12 3 c ##IV": "12 3 c ##IV", "12 3 G V\t#x": "12 3 G V", "12 3 G V#x": "12 3 G V#x", "12 3 G V #": "12 3 G V", "": ""} {
		if got, _, _ := cutComment(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// Tones above a root by letter: root, third, fifth, seventh, then ninth, eleventh, thirteenth.
func TestHeightOfTones(t *testing.T) {
	order := []score.Class{0, 4, 1, 5, 2, -1, 3} // C E G B D F A
	for i := 1; i < len(order); i++ {
		if height(order[i]) <= height(order[i-1]) {
			t.Errorf("%s is not above %s", order[i], order[i-1])
		}
	}
	for _, c := range []struct {
		number, semitones int
		want              string
	}{{3, 4, "E"}, {3, 3, "Eb"}, {5, 6, "Gb"}, {5, 8, "G#"}, {7, 10, "Bb"}, {7, 11, "B"}, {7, 9, "Bbb"}, {9, 14, "D"}, {9, 13, "Db"}, {9, 15, "D#"}, {11, 17, "F"}, {11, 18, "F#"}, {13, 21, "A"}, {13, 20, "Ab"}, {1, 0, "C"}} {
		if got := spellInterval(c.number, c.semitones); got.String() != c.want {
			t.Errorf("interval %d of %d semitones: %s, want %s", c.number, c.semitones, got, c.want)
		}
	}
}
