package tonal_test

import (
	"testing"

	"hairpin/harmony/tonal"
)

// A transposition keeps how many tones a set has, an octave changes nothing, and a
// tone is in the set moved with it.
func TestSetUp(t *testing.T) {
	for _, keys := range [][]int{nil, {0}, {11}, {60, 64, 67}, {0, 11}, {59, 60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70}} {
		s := tonal.SetOfKeys(keys)
		for n := -13; n <= 25; n++ {
			up := s.Up(n)
			if up.Size() != s.Size() || up.Up(-n) != s || up.Up(12) != up {
				t.Errorf("%012b up %d is %b", s, n, up)
			}
			for _, k := range keys {
				if !up.Has(k+n) || !s.Has(k) {
					t.Errorf("%012b up %d lacks %d", s, n, k+n)
				}
			}
		}
	}
	whole := tonal.SetOfKeys([]int{0, 2, 4, 6, 8, 10})
	if whole.Up(2) != whole || whole.Up(1)&whole != 0 {
		t.Errorf("the whole-tone scale, up a tone %012b, a semitone %012b", whole.Up(2), whole.Up(1))
	}
	if c := tonal.SetOfKeys([]int{60, 64}); !c.Within(tonal.SetOfKeys([]int{0, 4, 7})) || tonal.SetOfKeys([]int{0, 4, 7}).Within(c) {
		t.Error("a third is within its triad, not the other way round")
	}
}
