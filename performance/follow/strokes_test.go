package follow_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"hairpin/performance/follow"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

const second = 1.0 / 24 // of a tick: half a second a quarter

// play is a stretch of a score as strokes from a time on, and the notes they are.
func play(s *score.Score, from, to score.Tick, at float64) (list []follow.Stroke, notes []int) {
	for i, n := range s.Notes {
		if n.Onset >= from && n.Onset < to && !n.Grace {
			list = append(list, follow.Stroke{On: at + second*float64(n.Onset-from), Key: n.Pitch.Key()})
			notes = append(notes, i)
		}
	}
	return list, notes
}

// right is the share of strokes found at the onset that they were played from.
func right(s *score.Score, f *follow.Following, notes []int) float64 {
	found := 0
	for _, m := range f.Matches {
		if notes[m.Stroke] >= 0 && s.Notes[m.Note].Onset == s.Notes[notes[m.Stroke]].Onset {
			found++
		}
	}
	total := 0
	for _, n := range notes {
		if n >= 0 {
			total++
		}
	}
	return float64(found) / float64(total)
}

func TestStrokesAsWritten(t *testing.T) {
	s := scoregen.Piano(16, 3)
	list, notes := play(s, 0, s.Length(), 1)
	f := follow.Strokes(s, list)
	if len(f.Runs) != 1 || right(s, f, notes) < 0.999 {
		t.Fatalf("%d runs, %v right", len(f.Runs), right(s, f, notes))
	}
	for _, p := range f.Runs[0].Points {
		if math.Abs(p.Time-1-second*float64(p.At)) > 1e-6 {
			t.Errorf("tick %d at %v s", p.At, p.Time)
		}
	}
}

// From the middle of measure 7, at a third of the tempo.
func TestStrokesFromAnywhere(t *testing.T) {
	s := scoregen.Piano(16, 3)
	list, notes := play(s, s.Measures[6].Start+24, s.Measures[11].Start, 0)
	for i := range list {
		list[i].On *= 3
	}
	f := follow.Strokes(s, list)
	if len(f.Runs) != 1 || right(s, f, notes) < 0.98 {
		t.Errorf("%d runs, %v right", len(f.Runs), right(s, f, notes))
	}
}

// A stop in measure 9 and a restart at measure 8.
func TestStrokesRestart(t *testing.T) {
	s := scoregen.Piano(16, 4)
	stop := s.Measures[8].Start + 30
	first, a := play(s, 0, stop, 0)
	again, b := play(s, s.Measures[7].Start, s.Length(), second*float64(stop)+1.5)
	f := follow.Strokes(s, append(first, again...))
	if len(f.Runs) != 2 || right(s, f, append(a, b...)) < 0.98 {
		t.Fatalf("%d runs, %v right", len(f.Runs), right(s, f, append(a, b...)))
	}
	if at := f.Runs[1].Points[0].At; at != s.Measures[7].Start {
		t.Errorf("goes on at tick %d", at)
	}
}

// Every twentieth note a neighbour's key, every twentieth missing, and a stray key a second.
func TestStrokesWithFaults(t *testing.T) {
	s := scoregen.Piano(24, 5)
	all, which := play(s, 0, s.Length(), 0)
	rnd := rand.New(rand.NewPCG(1, 2))
	type stroke struct {
		follow.Stroke
		note int
	}
	var list []stroke
	for i, x := range all {
		switch rnd.IntN(20) {
		case 0:
			x.Key += 1
			list = append(list, stroke{x, -1})
		case 1:
		default:
			list = append(list, stroke{x, which[i]})
		}
	}
	for i := range int(second * float64(s.Length())) {
		list = append(list, stroke{follow.Stroke{On: float64(i) + 0.37, Key: 40 + rnd.IntN(40)}, -1})
	}
	slices.SortStableFunc(list, func(a, b stroke) int { return int(math.Copysign(1, a.On-b.On)) })
	var strokes []follow.Stroke
	var notes []int
	for _, x := range list {
		strokes, notes = append(strokes, x.Stroke), append(notes, x.note)
	}
	if f := follow.Strokes(s, strokes); len(f.Runs) != 1 || right(s, f, notes) < 0.97 {
		t.Errorf("%d runs, %v right", len(f.Runs), right(s, f, notes))
	}
}

// A repeat is two runs if it is taken and one if it is not.
func TestStrokesRepeat(t *testing.T) {
	s := scoregen.Piano(8, 6)
	half := s.Measures[4].Start
	s.Repeats = []score.Repeat{{At: half, Measure: 3, Times: 2}}
	one, a := play(s, 0, half, 0)
	two, b := play(s, 0, s.Length(), second*float64(half))
	if f := follow.Strokes(s, append(one, two...)); len(f.Runs) != 2 || right(s, f, append(a, b...)) < 0.98 {
		t.Errorf("taken: %d runs, %v right", len(f.Runs), right(s, f, append(a, b...)))
	}
	plain, c := play(s, 0, s.Length(), 0)
	if f := follow.Strokes(s, plain); len(f.Runs) != 1 || right(s, f, c) < 0.98 {
		t.Errorf("not taken: %d runs", len(f.Runs))
	}
}

// Another piece is not found.
func TestStrokesOfAnotherPiece(t *testing.T) {
	s, other := scoregen.Piano(16, 3), scoregen.Piano(16, 3)
	for i := range other.Notes { // what is high goes down and the other way round, a tritone off
		k := 2*64 - other.Notes[i].Pitch.Key() + 6
		other.Notes[i].Pitch = score.Pitch{Step: 0, Alter: float64(k % 12), Octave: k/12 - 1}
	}
	list, _ := play(other, 0, other.Length(), 0)
	if f := follow.Strokes(s, list); f.Sure > 0.3 {
		t.Errorf("sure %v", f.Sure)
	}
}

func TestNothingToFollow(t *testing.T) {
	if f := follow.Strokes(&score.Score{Division: 1}, []follow.Stroke{{On: 0, Key: 60}}); len(f.Runs) > 0 {
		t.Error("found in an empty score")
	}
	if f := follow.Strokes(scoregen.Piano(2, 1), nil); len(f.Runs) > 0 {
		t.Error("found without a stroke")
	}
	if f := follow.Sound(scoregen.Piano(2, 1), make([]float32, 5000)); len(f.Runs) > 0 {
		t.Error("found in silence")
	}
}
