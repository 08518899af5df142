package main

import (
	"math"
	"testing"
)

// The upper ends of Wilson's interval, 19 in 20, for three shares in Newcombe (1998), Two-sided
// confidence intervals for the single proportion, Statistics in Medicine 17, table I
// (quoted from memory).
func TestAtMost(t *testing.T) {
	for _, c := range []struct {
		caught, tried int
		want          float64
	}{{81, 263, 0.3662}, {15, 148, 0.1605}, {0, 20, 0.1611}} {
		if got := atMost(c.caught, c.tried, 1.96); math.Abs(got-c.want) > 0.00005 {
			t.Errorf("at most %.4f of %d of %d, want %.4f", got, c.caught, c.tried, c.want)
		}
	}
	if got := atMost(0, 0, inHundred); got < 1 {
		t.Errorf("nothing tried rules out all over %.2f, want nothing ruled out", got)
	}
}
