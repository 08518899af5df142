package score

import (
	"strconv"
	"strings"
	"testing"
)

// counted is an upbeat of a quarter, a measure of 4/4, one of 6/8 and one of 2/2;
// 24 ticks in a quarter hold triplets and sixteenths.
func counted() *Score {
	return &Score{Division: 24, Measures: []Measure{
		{Number: "0", Length: 24, Nominal: 96, Beats: 4, BeatUnit: 4, Pickup: true},
		{Number: "1", Start: 24, Length: 96, Nominal: 96, Beats: 4, BeatUnit: 4},
		{Number: "2", Start: 120, Length: 72, Nominal: 72, Beats: 6, BeatUnit: 8},
		{Number: "3", Start: 192, Length: 96, Nominal: 96, Beats: 2, BeatUnit: 2},
	}}
}

// Beats as a player counts them, in the lower number of the time signature:
// common practice, no source.
func TestAtCountsBeats(t *testing.T) {
	s := counted()
	for at, want := range map[Tick]string{
		0: "0:4", 12: "0:4.5", 24: "1:1", 48: "1:2", 54: "1:2.25", 64: "1:2.67", 119: "1:4.96",
		120: "2:1", 132: "2:2", 186: "2:6.5", 192: "3:1", 240: "3:2", 288: "3:3",
	} {
		if got := s.At(at).String(); got != want {
			t.Errorf("tick %d is %s, want %s", at, got, want)
		}
	}
}

// A place that was printed is found again, thirds of a beat included, though two
// decimals are printed. 24 ticks a quarter: half a hundredth of a half note is
// under half a tick.
func TestFindReadsBackWhatIsPrinted(t *testing.T) {
	s := counted()
	for at := Tick(0); at < s.Length(); at++ {
		text := s.At(at).String()
		number, beat, _ := strings.Cut(text, ":")
		b, err := strconv.ParseFloat(beat, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := s.Find(number, b); !ok || got != at {
			t.Errorf("tick %d is printed %s and found at %d (%v)", at, text, got, ok)
		}
	}
}

func TestFindRefuses(t *testing.T) {
	s := counted()
	for _, c := range []struct {
		number string
		beat   float64
	}{{"1", 5}, {"1", 0.5}, {"2", 7}, {"0", 3}, {"0", 5}, {"4", 1}} {
		if at, ok := s.Find(c.number, c.beat); ok {
			t.Errorf("%s:%v is found at %d", c.number, c.beat, at)
		}
	}
}

// A moment on a bar line belongs to the measure that begins there; an empty
// measure at the end has no moment of its own.
func TestMeasureAt(t *testing.T) {
	s := counted()
	s.Measures = append(s.Measures, Measure{Number: "4", Start: 288, Beats: 2, BeatUnit: 2})
	for at, want := range map[Tick]int{-1: 0, 0: 0, 23: 0, 24: 1, 119: 1, 120: 2, 287: 3, 288: 3} {
		if got := s.MeasureAt(at); got != want {
			t.Errorf("tick %d is in measure %d, want %d", at, got, want)
		}
	}
}

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
