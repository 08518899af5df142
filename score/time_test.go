package score

import "testing"

// The notes that sound at a moment are found from its first possible onset on, a
// long one under short ones included (by definition).
func TestNotesByTime(t *testing.T) {
	s := &Score{Division: 4, Notes: []Note{
		{Onset: 0, Duration: 16}, {Onset: 0, Duration: 4}, {Onset: 4, Duration: 4}, {Onset: 4, Duration: 2}, {Onset: 12, Duration: 4},
	}}
	for _, c := range []struct {
		at    Tick
		first int
	}{{-5, 0}, {0, 0}, {1, 2}, {4, 2}, {5, 4}, {12, 4}, {13, 5}} {
		if got := s.FirstNote(c.at); got != c.first {
			t.Errorf("the first note from %d on is %d, not %d", c.at, got, c.first)
		}
	}
	if got := s.LongestNote(); got != 16 {
		t.Errorf("the longest note has %d ticks", got)
	}
	if got := new(Score).LongestNote(); got != 0 {
		t.Errorf("without notes the longest has %d ticks", got)
	}
}
