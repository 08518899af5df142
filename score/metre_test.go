package score

import (
	"slices"
	"testing"
)

// Beats of the usual metres, eight ticks a quarter: common practice, no source.
func TestBeat(t *testing.T) {
	for _, c := range []struct {
		beats, unit int
		compound    bool
		want        Tick
	}{
		{4, 4, false, 8}, {3, 4, false, 8}, {2, 2, false, 16}, {3, 8, false, 4}, {5, 8, false, 4},
		{6, 8, true, 12}, {9, 8, true, 12}, {12, 16, true, 6}, {6, 4, false, 8}, {0, 0, false, 8},
	} {
		m := Measure{Beats: c.beats, BeatUnit: c.unit}
		if m.Compound() != c.compound || m.Beat(8) != c.want {
			t.Errorf("%d/%d: compound %v, beat %d; want %v, %d", c.beats, c.unit, m.Compound(), m.Beat(8), c.compound, c.want)
		}
	}
}

// A repeat sign splits a measure of 4/4 after its third beat: the rest goes on
// counting, so its start is beat 4, no downbeat.
func TestRestOfASplitMeasureIsNoDownbeat(t *testing.T) {
	s := &Score{Division: 2, Measures: []Measure{
		{Number: "1", Length: 6, Nominal: 8, Beats: 4, BeatUnit: 4},
		{Number: "1", Start: 6, Length: 2, Nominal: 8, Beats: 4, BeatUnit: 4, Offset: 6},
		{Number: "2", Start: 8, Length: 8, Nominal: 8, Beats: 4, BeatUnit: 4},
	}}
	if at, want := s.At(6).String(), "1:4"; at != want {
		t.Errorf("the rest starts at %s, want %s", at, want)
	}
	if rest, fourth, down := s.Weight(6), s.Weight(14), s.Weight(8); rest != fourth || rest >= down {
		t.Errorf("the rest weighs %.2f, a fourth beat %.2f, a downbeat %.2f", rest, fourth, down)
	}
}

func TestEvery(t *testing.T) {
	for _, c := range []struct {
		name string
		m    Measure
		step Tick
		want []Tick
	}{
		{"6/8 in two", Measure{Start: 24, Length: 24, Nominal: 24}, 12, []Tick{24, 36}},
		{"an upbeat of an eighth", Measure{Length: 4, Nominal: 24, Pickup: true}, 12, []Tick{0}},
		{"an upbeat of four eighths", Measure{Length: 16, Nominal: 24, Pickup: true}, 12, []Tick{0, 4}},
		{"the rest of a split measure", Measure{Start: 30, Length: 18, Nominal: 24, Offset: 6}, 12, []Tick{30, 36}},
		{"an empty measure", Measure{Start: 30}, 12, nil},
	} {
		if got := c.m.Every(c.step); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
