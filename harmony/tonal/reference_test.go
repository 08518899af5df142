package tonal_test

import (
	"testing"

	"github.com/go-music-theory/music-theory/chord"
	"github.com/go-music-theory/music-theory/key"
	"github.com/go-music-theory/music-theory/note"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// The module's chord tones as an independent reference for ours, by pitch class.
func TestChordTonesAgreeWithMusicTheory(t *testing.T) {
	names := map[tonal.Quality]string{
		tonal.Major: "", tonal.Minor: "m", tonal.Diminished: "dim", tonal.Augmented: "aug", tonal.DominantSeventh: "7", tonal.MajorSeventh: "maj7",
		tonal.MinorSeventh: "m7", tonal.HalfDiminished: "m7b5", tonal.DiminishedSeventh: "dim7", tonal.Suspended: "sus4",
	}
	for pc := 0; pc < 12; pc++ {
		root := tonal.KeyAt(pc, false).Tonic
		for q, text := range names {
			theirs := chord.Of(root.String() + text)
			var ours, reference tonal.Set
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
			for _, c := range written.Shift(written.Tones(t, tones), by) {
				weights[c.PC()]++
				notes = append(notes, note.C+note.Class(c.PC()))
			}
			ours, _ := bestKey(tonal.KrumhanslKessler, weights)
			theirs := key.FindKey(notes)
			if int(theirs.Root-note.C) != ours.Tonic.PC() || (theirs.Mode == key.Minor) != ours.Minor {
				t.Errorf("%s, moved %d fifths: ours %s, the module's %v", tones, by, ours, theirs)
			}
		}
	}
}
