package harmony

import (
	"slices"
	"testing"

	"github.com/go-music-theory/music-theory/chord"
	"github.com/go-music-theory/music-theory/key"
	"github.com/go-music-theory/music-theory/note"

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
		want := tonesOf(t, c.want)
		if !ok || !slices.Equal(spelled(got), spelled(want)) {
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
	k, _ := ParseKey("G")
	for kind, text := range map[string]string{"other": "m7b5", "min7b5": "m7b5"} {
		c, ok := symbolChord(score.ChordSymbol{Root: "F#", Kind: kind, Text: text, Inversion: -1}, k)
		if !ok || c.Quality != HalfDiminished || c.Roman() != "viiø7" {
			t.Errorf("kind %q, text %q: %v %s", kind, text, ok, c.Roman())
		}
	}
	if _, ok := symbolChord(score.ChordSymbol{Root: "F#", Kind: "none", Text: "N.C.", Inversion: -1}, k); ok {
		t.Error("N.C. is read as a chord")
	}
}

// The module's chord tones as an independent reference for ours, by pitch class.
func TestChordTonesAgreeWithMusicTheory(t *testing.T) {
	names := map[Quality]string{
		Major: "", Minor: "m", Diminished: "dim", Augmented: "aug", DominantSeventh: "7", MajorSeventh: "maj7",
		MinorSeventh: "m7", HalfDiminished: "m7b5", DiminishedSeventh: "dim7", Suspended: "sus4",
	}
	for pc := 0; pc < 12; pc++ {
		root := keyAt(pc, false).Tonic
		for q, text := range names {
			theirs := chord.Of(root.String() + text)
			var ours, reference set
			for _, c := range q.Tones(root) {
				ours |= 1 << c.PC()
			}
			for _, c := range theirs.Tones {
				if c == note.Nil {
					t.Fatalf("%s%s: the module knows no such chord", root, text)
				}
				reference |= 1 << int(c-note.C)
			}
			if ours != reference {
				t.Errorf("%s%s: ours %012b, the module's %012b", root, text, ours, reference)
			}
		}
	}
}

// The module's Krumhansl–Schmuckler key finding as an independent reference for ours.
func TestKeyFindingAgreesWithMusicTheory(t *testing.T) {
	for _, tones := range []string{
		"C D E F G A B", "C E G", "A C E", "A B C D E F G#", "G B D F", "C E G F A C G B D F C E G",
		"D F# A C# B G E", "Eb G Bb Ab C F D", "F Ab C Eb Db Bb E", "B D F# G E A# C#",
	} {
		for by := score.Class(-5); by <= 6; by++ {
			var weights [12]float64
			var notes []note.Class
			for _, c := range shift(tonesOf(t, tones), by) {
				weights[c.PC()]++
				notes = append(notes, note.C+note.Class(c.PC()))
			}
			ours, _ := bestKey(KrumhanslKessler, weights)
			theirs := key.FindKey(notes)
			if int(theirs.Root-note.C) != ours.Tonic.PC() || (theirs.Mode == key.Minor) != ours.Minor {
				t.Errorf("%s, moved %d fifths: ours %s, the module's %v", tones, by, ours, theirs)
			}
		}
	}
}
