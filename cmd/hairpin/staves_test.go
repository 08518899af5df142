package main

import (
	"testing"

	"hairpin/report"
	"hairpin/report/html"
	"hairpin/score"
)

// A report draws as far as what it shows, and a large score for the desk alone.
func TestStavesDrawn(t *testing.T) {
	s := &score.Score{Division: 1, Notes: make([]score.Note, mostInBoth+1)}
	for m := range 10 {
		s.Measures = append(s.Measures, score.Measure{Start: score.Tick(4 * m), Length: 4})
	}
	s.Notes[mostInBoth].Onset = 20
	for _, c := range []struct {
		to       score.Tick
		measures int
		both     bool
	}{{40, 0, false}, {24, 6, false}, {20, 5, true}} {
		r := &report.Reading{Score: s, To: c.to}
		got := html.StavesOf(r)
		both := inBoth(r, got)
		if got.Measures != c.measures || both != c.both {
			t.Errorf("up to tick %d: %d measures, for a phone %v; want %d, %v", c.to, got.Measures, both, c.measures, c.both)
		}
	}
	r := &report.Reading{Score: s, To: 40}
	if got := forSome(r, html.StavesOf(r)); got != ", some 10 seconds or more" {
		t.Errorf("10,001 notes take%s", got)
	}
}
