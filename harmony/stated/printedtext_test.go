package stated

import (
	"slices"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

func TestTonesOfText(t *testing.T) {
	for _, c := range []struct{ root, text, want string }{
		{"C", "m7b5", "C Eb Gb Bb"}, {"F#", "m7b5", "F# A C E"}, {"Bb", "m", "Bb Db F"}, {"G", "7", "G B D F"},
		{"Eb", "maj7", "Eb G Bb D"}, {"D", "sus4", "D G A"}, {"A", "aug", "A C# E#"}, {"B", "dim", "B D F"},
		{"B", "dim7", "B D F Ab"}, {"C", "7#9", "C E G Bb D#"}, {"Db", "6", "Db F Ab Bb"}, {"E", "9", "E G# B D F#"},
	} {
		root, _ := score.ParseClass(c.root)
		got, ok := tonesOfText(root, c.text)
		want := written.Tones(t, c.want)
		slices.Sort(got)
		slices.Sort(want)
		if !ok || !slices.Equal(got, want) {
			t.Errorf("%s%s: %v %v, want %v", c.root, c.text, got, ok, want)
		}
	}
	for _, bad := range []string{"", "   ", "?", "hello", "!!"} {
		if got, ok := tonesOfText(0, bad); ok {
			t.Errorf("%q is read as %v", bad, got)
		}
	}
}

// A symbol whose kind is not MusicXML's own is read from its text.
func TestSymbolOfUnknownKind(t *testing.T) {
	k, _ := tonal.ParseKey("G")
	for kind, text := range map[string]string{"other": "m7b5", "min7b5": "m7b5"} {
		c, ok := symbolChord(score.ChordSymbol{Root: "F#", Kind: kind, Text: text, Inversion: -1}, k)
		if !ok || c.Quality != tonal.HalfDiminished || c.Roman() != "viiø7" {
			t.Errorf("kind %q, text %q: %v %s", kind, text, ok, c.Roman())
		}
	}
	if _, ok := symbolChord(score.ChordSymbol{Root: "F#", Kind: "none", Text: "N.C.", Inversion: -1}, k); ok {
		t.Error("N.C. is read as a chord")
	}
}
