package harmony

import (
	"testing"

	"hairpin/score"
)

// A close in major as long as a section is a change of key, not a raised third.
func TestClosingKey(t *testing.T) {
	c, minor := Key{0, false}, Key{0, true}
	for _, x := range []struct {
		end  score.Tick
		want Key
	}{{1, minor}, {2, c}} {
		keys := []KeySpan{{0, 10, minor, 1}, {10, 10 + x.end, c, 1}}
		if got := closingKey(keys, 10+x.end); got != x.want {
			t.Errorf("close of %d in %d: %s, want %s", x.end, 10+x.end, got.Name(), x.want.Name())
		}
	}
	if got := closingKey([]KeySpan{{0, 4, c, 1}}, 4); got != c {
		t.Errorf("one key: %s", got.Name())
	}
}
