package hearing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// A close in major as long as a section is a change of key, not a raised third.
func TestClosingKey(t *testing.T) {
	c, minor := tonal.Key{Tonic: 0, Minor: false}, tonal.Key{Tonic: 0, Minor: true}
	for _, x := range []struct {
		end  score.Tick
		want tonal.Key
	}{{1, minor}, {2, c}} {
		keys := []tonal.KeySpan{{Start: 0, End: 10, Key: minor, Confidence: 1}, {Start: 10, End: 10 + x.end, Key: c, Confidence: 1}}
		if got := closingKey(keys, 10+x.end); got != x.want {
			t.Errorf("close of %d in %d: %s, want %s", x.end, 10+x.end, got.Name(), x.want.Name())
		}
	}
	if got := closingKey([]tonal.KeySpan{{Start: 0, End: 4, Key: c, Confidence: 1}}, 4); got != c {
		t.Errorf("one key: %s", got.Name())
	}
}
