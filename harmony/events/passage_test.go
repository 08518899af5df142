package events

import (
	"math"
	"testing"

	"hairpin/score"
)

// struckAt are notes one tick apart from a moment on, given by their steps of the
// staff; keys are twice the steps, which is enough here.
func struckAt(from score.Tick, steps ...int) passage {
	p := passage{from: from}
	for i, s := range steps {
		p.notes = append(p.notes, struck{from + score.Tick(i), s, 2 * s})
	}
	return p
}

// A passage that comes again higher or lower: by how much, and how much of it, counted
// in the longer of the two. Four notes in five are enough of one for the other (our own
// bound).
func TestMoved(t *testing.T) {
	p := struckAt(0, 1, 3, 2, 4, 5)
	for _, c := range []struct {
		name  string
		again passage
		only  int
		steps int
		share float64
	}{
		{"a step higher", struckAt(10, 2, 4, 3, 5, 6), 0, 1, 1},
		{"two lower", struckAt(10, -1, 1, 0, 2, 3), 0, -2, 1},
		{"as high as far goes", struckAt(10, 1+furthest, 3+furthest, 2+furthest, 4+furthest, 5+furthest), 0, furthest, 1},
		{"as low", struckAt(10, 1-furthest, 3-furthest, 2-furthest, 4-furthest, 5-furthest), 0, -furthest, 1},
		{"too high", struckAt(10, 2+furthest, 4+furthest, 3+furthest, 5+furthest, 6+furthest), 0, 0, 0},
		{"too low", struckAt(10, -furthest, 2-furthest, 1-furthest, 3-furthest, 4-furthest), 0, 0, 0},
		{"on the same pitch", struckAt(10, 1, 3, 2, 4, 5), 0, 0, 0},
		{"one note otherwise", struckAt(10, 2, 4, 3, 5, 5), 0, 1, 0.8},
		{"a note left out at the end", struckAt(10, 2, 4, 3, 5), 0, 1, 0.8},
		{"a note more", struckAt(10, 2, 4, 3, 5, 6, 7), 0, 1, 5 / 6.0},
		{"two left out", struckAt(10, 2, 4, 3), 0, 0, 0},
		{"two more", struckAt(10, 2, 4, 3, 5, 6, 7, 8), 0, 0, 0},
		{"by the step asked for", struckAt(10, 2, 4, 3, 5, 6), 1, 1, 1},
		{"by another than asked for", struckAt(10, 2, 4, 3, 5, 6), 2, 0, 0},
		{"nothing", struckAt(10), 0, 0, 0},
	} {
		steps, keys, share := p.moved(c.again, c.only)
		if steps != c.steps || math.Abs(share-c.share) > 1e-9 || keys != 2*c.steps {
			t.Errorf("%s: %d steps, %d keys, %.2f; want %d, %.2f", c.name, steps, keys, share, c.steps, c.share)
		}
	}
	if steps, _, share := struckAt(0).moved(p, 0); steps != 0 || share > 0 {
		t.Errorf("nothing comes again %d higher", steps)
	}
	if steps, _, _ := p.moved(struckAt(11, 2, 4, 3, 5, 6), 0); steps != 1 {
		t.Error("the moment a passage begins at does not count")
	}
	late := struckAt(10, 2, 4, 3, 5, 6)
	late.from = 9 // a rest before it
	if steps, _, _ := p.moved(late, 0); steps != 0 {
		t.Error("a passage that comes in later is the same")
	}
}

// Order of notes: by time from the start of their passage, then by height.
func TestBefore(t *testing.T) {
	p, q := passage{from: 100}, passage{from: 200}
	x := struck{105, 3, 0}
	for _, c := range []struct {
		y    struck
		want bool
	}{{struck{204, 9, 0}, true}, {struck{206, 1, 0}, false}, {struck{205, 4, 0}, true}, {struck{205, 5, 0}, false}, {struck{205, 6, 0}, false}} {
		if got := before(q, c.y, p, x, 2); got != c.want {
			t.Errorf("%+v: %v", c.y, got)
		}
	}
}
