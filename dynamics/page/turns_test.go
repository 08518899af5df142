package page

import (
	"slices"
	"testing"

	"hairpin/dynamics/written"
	"hairpin/score"
)

// Slopes at, under and over the gap that parts them (a beat of 12 ticks here), swells
// of two that touch, and those that only touch the stretch asked for. Measures of 48
// ticks, two whole ones asked for unless it is said.
func TestSlopes(t *testing.T) {
	const bar, beat = 48, 12
	for _, c := range []struct {
		name     string
		put      []string
		from, to score.Tick
		want     []Slope
	}{
		{"a gap of a beat parts them", []string{"1:1 p", "1:1 <1:3", "1:4 <2:2"}, 0, 2 * bar, []Slope{{0, 2 * beat, 1, false}, {3 * beat, 5 * beat, 1, false}}},
		{"a gap of half a beat does not", []string{"1:1 p", "1:1 <1:3", "1:3.5 <2:2"}, 0, 2 * bar, []Slope{{0, 5 * beat, 1, false}}},
		{"two in turn without a gap are a swell", []string{"1:1 p", "1:1 <1:3", "1:3 >2:1"}, 0, 2 * bar, []Slope{{0, bar, -1, true}}},
		{"a mark at the top parts them", []string{"1:1 p", "1:1 <1:3", "1:3 f", "1:3 >2:1"}, 0, 2 * bar, []Slope{{0, 2 * beat, 1, false}, {2 * beat, bar, -1, false}}},
		{"a gap parts the halves", []string{"1:1 p", "1:1 <1:3", "1:3.5 >2:1"}, 0, 2 * bar, []Slope{{0, 2 * beat, 1, false}, {30, bar, -1, false}}},
		{"what ends where the stretch begins is not of it", []string{"1:1 p", "1:1 <2:1"}, bar, 2 * bar, nil},
		{"nor what begins where it ends", []string{"1:1 p", "3:1 <4:1"}, 0, 2 * bar, nil},
		{"what reaches in is", []string{"1:1 p", "1:1 <2:2"}, bar, 2 * bar, []Slope{{0, 5 * beat, 1, false}}},
		{"and what reaches out", []string{"1:1 p", "2:4 <4:1"}, 0, 2 * bar, []Slope{{7 * beat, 3 * bar, 1, false}}},
	} {
		p := Printed(written.Score(t, c.put...), nil)
		if got := p.Slopes(c.from, c.to, beat); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A sudden change counts inside a stretch, not on its ends.
func TestJumps(t *testing.T) {
	p := Printed(written.Score(t, "1:1 p", "2:1 f", "3:1 p", "4:1 f"), nil)
	if got, want := p.Jumps(48, 144), []score.Tick{96}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := Printed(written.Score(t, "1:1 p", "1:1 <3:1", "3:1 f"), nil).Jumps(0, 300); len(got) != 0 {
		t.Errorf("a mark that a hairpin reaches is sudden at %v", got)
	}
}
