package tonal_test

import (
	"slices"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
)

// Every chord of the vocabulary, spelled from one root, and its size of numeral:
// a small one where the third is small. Any harmony textbook; the augmented
// sixths over C are spelled from the raised fourth, the French from the second, the
// Swiss from the raised second degree.
func TestQualities(t *testing.T) {
	for _, c := range []struct {
		q     tonal.Quality
		tones string
		small bool
	}{
		{tonal.Major, "C E G", false}, {tonal.Minor, "C Eb G", true}, {tonal.Diminished, "C Eb Gb", true},
		{tonal.Augmented, "C E G#", false}, {tonal.DominantSeventh, "C E G Bb", false}, {tonal.MajorSeventh, "C E G B", false},
		{tonal.MinorSeventh, "C Eb G Bb", true}, {tonal.HalfDiminished, "C Eb Gb Bb", true},
		{tonal.DiminishedSeventh, "C Eb Gb Bbb", true}, {tonal.MinorMajorSeventh, "C Eb G B", true},
		{tonal.AugmentedMajorSeventh, "C E G# B", false}, {tonal.Suspended, "C F G", false},
		{tonal.Italian, "F# Ab C", false}, {tonal.French, "D F# Ab C", false}, {tonal.German, "F# Ab C Eb", false},
		{tonal.Swiss, "D# F# Ab C", false},
	} {
		want := written.Tones(t, c.tones)
		if got := c.q.Tones(want[0]); !slices.Equal(got, want) {
			t.Errorf("%s is spelled %v, want %v", c.q.ID(), got, want)
		}
		if c.q.Small() != c.small || c.q.Seventh() != (len(want) == 4 && !c.q.AugmentedSixth()) {
			t.Errorf("%s: small %v, seventh %v", c.q.ID(), c.q.Small(), c.q.Seventh())
		}
	}
}
