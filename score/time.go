package score

import (
	"fmt"
	"math"
	"sort"
	"strconv"
)

func itoa(n int) string { return strconv.Itoa(n) }

// Quarters is a tick count in quarter notes.
func (s *Score) Quarters(t Tick) float64 { return float64(t) / float64(s.Division) }

// Length is the whole length of the piece as written.
func (s *Score) Length() Tick {
	if len(s.Measures) == 0 {
		return 0
	}
	return s.Measures[len(s.Measures)-1].End()
}

// MeasureAt is the index of the measure that sounds at t; before the start it
// is the first, after the end the last. The score must have a measure.
func (s *Score) MeasureAt(t Tick) int {
	i := sort.Search(len(s.Measures), func(i int) bool { return s.Measures[i].Start > t }) - 1
	for i > 0 && s.Measures[i].Length == 0 && s.Measures[i].Start == t {
		i--
	}
	return max(i, 0)
}

// FirstNote is the index of the first note that begins at t or later, the number
// of notes if there is none.
func (s *Score) FirstNote(t Tick) int {
	return sort.Search(len(s.Notes), func(i int) bool { return s.Notes[i].Onset >= t })
}

// LongestNote is the length of the longest note: those that sound at t begin at
// the index FirstNote(t - LongestNote()) or later.
func (s *Score) LongestNote() (longest Tick) {
	for _, n := range s.Notes {
		longest = max(longest, n.Duration)
	}
	return longest
}

// Position is a moment as a musician names it.
type Position struct {
	Measure int     // index into Score.Measures
	Number  string  // the printed measure number
	Beat    float64 // 1 is the first beat; beats are counted in the time signature's denominator
}

// At names the moment t. In a pickup the beats count from the end of the
// full measure it would be: a single quarter before a 4/4 measure is beat 4. The
// rest of a measure that a repeat sign splits goes on counting.
func (s *Score) At(t Tick) Position {
	if len(s.Measures) == 0 {
		return Position{Number: "1", Beat: 1}
	}
	i := s.MeasureAt(t)
	m := s.Measures[i]
	unit := max(m.BeatUnit, 1)
	return Position{i, m.Number, 1 + float64(m.Into(t))*float64(unit)/float64(4*s.Division)}
}

// String is "12:3" or "12:3.5": measure and beat.
func (p Position) String() string {
	return p.Number + ":" + FormatBeat(p.Beat)
}

// MarshalText is String, and empty for the zero Position.
func (p Position) MarshalText() ([]byte, error) {
	if p == (Position{}) {
		return nil, nil
	}
	return []byte(p.String()), nil
}

// Counted is the position as a player counts it: on a beat after a word, "at 12:3", else
// "after 12:3". Data name it exactly, by String.
func (p Position) Counted(on string) string {
	whole := math.Floor(p.Beat + 1e-9)
	if p.Beat > whole+1e-9 {
		on = "after "
	}
	return fmt.Sprintf("%s%s:%.0f", on, p.Number, whole)
}

// FormatBeat prints a beat with at most two decimals.
func FormatBeat(b float64) string {
	s := fmt.Sprintf("%.2f", b)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}

// Find is the tick of a printed measure number and beat; false if no such
// measure exists or the beat lies outside it.
func (s *Score) Find(number string, beat float64) (Tick, bool) {
	return s.FindFrom(0, number, beat)
}

// FindFrom is Find among the measures from an index on.
func (s *Score) FindFrom(first int, number string, beat float64) (Tick, bool) {
	for _, m := range s.Measures[first:] {
		if m.Number != number {
			continue
		}
		unit := max(m.BeatUnit, 1)
		off := Tick((beat-1)*float64(4*s.Division)/float64(unit) + 0.5)
		off -= m.Head()
		if off >= 0 && off < max(m.Length, 1) {
			return m.Start + off, true
		}
	}
	return 0, false
}
