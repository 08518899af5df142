package hearing

import (
	"testing"

	"hairpin/harmony/decode"
	"hairpin/score"
)

// The rest of a measure that a repeat sign splits goes on counting: its start
// is a beat, and only the next measure has a downbeat.
func TestSplitMeasureHasOneDownbeat(t *testing.T) {
	s := &score.Score{Division: 2, Measures: []score.Measure{
		{Number: "1", Length: 6, Nominal: 8, Beats: 4, BeatUnit: 4},
		{Number: "1", Start: 6, Length: 2, Nominal: 8, Beats: 4, BeatUnit: 4, Offset: 6},
		{Number: "2", Start: 8, Length: 8, Nominal: 8, Beats: 4, BeatUnit: 4},
	}}
	for at, want := range map[score.Tick]decode.Metric{0: decode.Downbeat, 4: decode.HalfBar, 6: decode.Beat, 8: decode.Downbeat} {
		if got, _ := place(s, at, at+2); got != want {
			t.Errorf("tick %d is heard as %v, want %v", at, got, want)
		}
	}
}
