package report

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// German and fixed-do names as taught (common practice, no source).
func TestNames(t *testing.T) {
	tests := []struct {
		names Names
		class string
		want  string
	}{
		{English, "F#", "F♯"}, {English, "Bb", "B♭"}, {English, "B", "B"}, {English, "Ebb", "E♭♭"},
		{German, "B", "H"}, {German, "Bb", "B"}, {German, "B#", "His"}, {German, "Eb", "Es"}, {German, "Ab", "As"},
		{German, "F#", "Fis"}, {German, "C##", "Cisis"}, {German, "Ebb", "Eses"}, {German, "Abb", "Ases"}, {German, "Gb", "Ges"},
		{German, "Bbb", "Heses"},
		{FixedDo, "C", "Do"}, {FixedDo, "G#", "Sol♯"}, {FixedDo, "Bb", "Si♭"},
	}
	for _, tt := range tests {
		c, ok := score.ParseClass(tt.class)
		if got := tt.names.Note(c); !ok || got != tt.want {
			t.Errorf("%q: %s is %s, want %s", tt.names, tt.class, got, tt.want)
		}
	}
	fis, b := tonal.Key{Tonic: 6, Minor: true}, tonal.Key{Tonic: -2}
	for _, tt := range []struct{ got, want string }{
		{English.Key(fis), "F♯ minor"}, {German.Key(fis), "Fis minor"}, {German.Key(b), "B major"}, {FixedDo.Key(b), "Si♭ major"},
		{English.ShortKey(fis), "f♯"}, {German.ShortKey(b), "B"},
	} {
		if tt.got != tt.want {
			t.Errorf("%s, want %s", tt.got, tt.want)
		}
	}
}

func TestParseNames(t *testing.T) {
	for text, want := range map[string]Names{"": English, "en": English, "de": German, "fixed-do": FixedDo} {
		if got, ok := ParseNames(text); !ok || got != want {
			t.Errorf("%q is read %q (%v)", text, got, ok)
		}
	}
	if _, ok := ParseNames("fr"); ok {
		t.Error("an unknown naming is read")
	}
}
