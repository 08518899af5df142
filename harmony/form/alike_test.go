package form

import (
	"slices"
	"testing"
)

// Around a middle part the same sections in the same order are one first part. Laitz, The
// Complete Musician, on compound forms, from memory.
func TestHeadAgain(t *testing.T) {
	for text, want := range map[string]int{"ABCAB": 2, "ABABA": 0, "ABA": 0, "ABCBA": 0, "ABCDABC": 3, "ABCDAB": 2} {
		var letters []string
		for _, r := range text {
			letters = append(letters, string(r))
		}
		if got := headAgain(letters); got != want {
			t.Errorf("%s: %d, want %d", text, got, want)
		}
	}
}

// What comes back is divided as it was at first. Lerdahl and Jackendoff (1983), grouping
// preference rule 6, from memory.
func TestToldAlike(t *testing.T) {
	f := &Form{Returns: []Return{{FirstBar: 8, Bar: 24, Count: 16}}}
	for bar := 0; bar < 40; bar += 8 {
		f.Ideas = append(f.Ideas, Idea{Bar: bar})
	}
	if got := f.toldAlike([]int{0, 2}, 8); !slices.Equal(got, []int{0, 2, 4}) {
		t.Errorf("%v", got)
	}
}

// A bar or two that only close again belong to what they close. Common practice, no source.
func TestEchoes(t *testing.T) {
	f := &Form{Ideas: []Idea{{Count: 4}, {Count: 2}}}
	if !f.echoes([]Phrase{{Close: FullClose, Tonic: 1}, {Close: FullClose, Tonic: 1}}, 1) ||
		f.echoes([]Phrase{{Close: FullClose, Tonic: 1}, {Close: FullClose}}, 1) ||
		f.echoes([]Phrase{{Close: OpenClose, Tonic: 1}, {Close: FullClose, Tonic: 1}}, 1) {
		t.Error("an echo is a close in the key of the close before")
	}
}
