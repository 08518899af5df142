package stated

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Chords at 4 to 8 and 8 to 12: a moment on a change belongs to the new chord, one
// before all to the first.
func TestHeardAt(t *testing.T) {
	heard := []tonal.Chord{{Start: 4, End: 8, Root: 1}, {Start: 8, End: 12, Root: 2}}
	for at, want := range map[score.Tick]score.Class{0: 1, 4: 1, 7: 1, 8: 2, 11: 2, 99: 2} {
		if got := heardAt(heard, at); got.Root != want {
			t.Errorf("at %d: %s, want %s", at, got.Root, want)
		}
	}
	if got := heardAt(nil, 3); got.Tones != nil {
		t.Errorf("of nothing: %+v", got)
	}
	for at, want := range map[score.Tick][]score.Tick{4: nil, 5: {5}, 8: {8}, 9: {8, 9}, 12: {8, 12}, 20: {8, 12}} {
		got := until(heard, at)
		if len(got) != len(want) {
			t.Fatalf("until %d: %d chords, want %d", at, len(got), len(want))
		}
		for i := range got {
			if got[i].End != want[i] {
				t.Errorf("until %d: chord %d ends at %d, want %d", at, i, got[i].End, want[i])
			}
		}
	}
}
