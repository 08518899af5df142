package harmony

import (
	"testing"

	"hairpin/harmony/longline"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// belonging is what is told of the first of three chords in C major, one a measure, of
// which the tree hangs chord i under over[i].
func belonging(t *testing.T, over [3]int, cadences []phrasing.Cadence, numerals ...string) string {
	t.Helper()
	s := &score.Score{Division: 1}
	a := &Analysis{}
	a.Cadences = cadences
	key, _ := tonal.ParseKey("C")
	for i, text := range numerals {
		n, ok := tonal.ParseNumeral(text, key)
		if !ok {
			t.Fatal(text)
		}
		c := tonal.Spell(n, key)
		c.Start, c.End = score.Tick(4*i), score.Tick(4*i+4)
		a.Chords = append(a.Chords, c)
		a.Tree = append(a.Tree, longline.Branch{Over: over[i]})
		s.Measures = append(s.Measures, score.Measure{Number: string(rune('1' + i)), Start: c.Start, Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
	}
	return a.belongs(s, 1)
}

// A dominant leads to the tonic after it, a neighbour belongs to the tonic before it, a
// six-four to its dominant (common practice, no source); where the tree joins what no
// musician hears as one, nothing is said.
func TestChordsBelongWhereAMusicianHearsIt(t *testing.T) {
	after, before := [3]int{-1, 2, -1}, [3]int{-1, 0, -1}
	closed := []phrasing.Cadence{{At: 0}}
	for _, c := range []struct {
		over     [3]int
		cadences []phrasing.Cadence
		numerals []string
		want     string
	}{
		{after, nil, []string{"I", "V7", "I"}, "V7 leads to I at 3:1"},
		{before, nil, []string{"I", "IV64", "I"}, "IV64 belongs to I at 1:1"},
		{before, nil, []string{"I", "Cad64", "V"}, "Cad64 belongs to V at 3:1"},
		{before, nil, []string{"I", "I", "V"}, ""},            // the same chord
		{before, nil, []string{"vi", "ii", "V"}, ""},          // no tonic
		{before, nil, []string{"I", "V", "vi"}, ""},           // a dominant goes on
		{before, nil, []string{"I", "V6/vi", "vi"}, ""},       // and so does an applied one
		{before, closed, []string{"I", "IV64", "I"}, ""},      // a close between
		{after, nil, []string{"I", "V7", "I64"}, ""},          // no rest
		{[3]int{-1, -1, 1}, nil, []string{"I", "V", "I"}, ""}, // the head of all
	} {
		if got := belonging(t, c.over, c.cadences, c.numerals...); got != c.want {
			t.Errorf("%v: %q, want %q", c.numerals, got, c.want)
		}
	}
}
