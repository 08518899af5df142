package score

import "testing"

// Names, keys and places on the line of fifths: middle C is key 60 of the MIDI
// standard; the rest common practice, no source. Of a microtone the nearest key
// counts, a quarter tone belongs to the key above (our choice).
func TestPitch(t *testing.T) {
	for _, c := range []struct {
		p     Pitch
		name  string
		key   int
		class Class
	}{
		{Pitch{0, 0, 4}, "C4", 60, 0}, {Pitch{6, 0, 3}, "B3", 59, 5}, {Pitch{3, 1, 4}, "F#4", 66, 6}, {Pitch{6, -1, 4}, "Bb4", 70, -2},
		{Pitch{0, -1, 4}, "Cb4", 59, -7}, {Pitch{6, 1, 3}, "B#3", 60, 12}, {Pitch{3, 2, 2}, "F##2", 43, 13}, {Pitch{6, -2, 5}, "Bbb5", 81, -9},
		{Pitch{0, 0, -1}, "C-1", 0, 0}, {Pitch{0, -1, -1}, "Cb-1", -1, -7}, {Pitch{5, 0, 4}, "A4", 69, 3}, {Pitch{2, 0, 4}, "E4", 64, 4}, {Pitch{1, 0, 4}, "D4", 62, 2},
		{Pitch{4, 0, 4}, "G4", 67, 1},
		{Pitch{0, 0.4, 4}, "C4", 60, 0}, {Pitch{0, 0.6, 4}, "C#4", 61, 7}, {Pitch{0, -0.4, 4}, "C4", 60, 0}, {Pitch{0, -0.6, 4}, "Cb4", 59, -7},
		{Pitch{0, -1.6, 4}, "Cbb4", 58, -14}, {Pitch{0, 1.6, 4}, "C##4", 62, 14},
	} {
		if c.p.String() != c.name || c.p.Key() != c.key || c.p.Class() != c.class {
			t.Errorf("%v: %s, key %d, class %d; want %s, %d, %d", c.p, c.p, c.p.Key(), c.p.Class(), c.name, c.key, c.class)
		}
	}
}

// Every spelling is read as it is written, and stands 7 semitones from its neighbours.
func TestClassRoundTrip(t *testing.T) {
	for c := Class(-21); c <= 21; c++ {
		if back, ok := ParseClass(c.String()); !ok || back != c {
			t.Errorf("%d is written %s and read %d (%v)", c, c, back, ok)
		}
		if (c.PC()+7)%12 != (c + 1).PC() {
			t.Errorf("%s and %s are no fifth apart", c, c+1)
		}
	}
	for text, want := range map[string]Class{"f♯": 6, "E♭": -3, "Fx": 13, "F𝄪": 13, "B𝄫": -9, "Ebb": -10} {
		if got, ok := ParseClass(text); !ok || got != want {
			t.Errorf("%s is %d (%v), want %d", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "H", "#", "C+", "1", "d#b", "Gbx"} {
		if _, ok := ParseClass(text); ok {
			t.Errorf("%q is read", text)
		}
	}
}
