package longline

import "hairpin/score"

// Arc is the way to a goal and on from it: a stretch that asks for its close the
// more the nearer its goal comes, and is let go by it.
type Arc struct {
	Start, Goal, End score.Tick
	Arrival          score.Tick // from here on nothing is awaited; End if the close is no full one
	Kept             float64    // what is still awaited at the end, 0–1
	Sure             float64    // that the goal is one, 0–1
	Why              string
}

// At is how strongly the close is awaited, 0 to 1: it rises to 1 at the goal, fast
// at first, and falls to Kept, slowly at first. The shape, a parabola each way, is
// that of Friberg, A. (1995), Matching the rule parameters of phrase arch to
// performances of "Träumerei", STL-QPSR (from memory). After the arrival and
// outside it is 0.
func (a Arc) At(t score.Tick) float64 {
	switch {
	case t < a.Start || t >= a.Arrival || t >= a.End:
		return 0
	case t < a.Goal:
		x := float64(a.Goal-t) / float64(a.Goal-a.Start)
		return 1 - x*x
	}
	x := float64(t-a.Goal) / float64(a.End-a.Goal)
	return 1 - (1-a.Kept)*x*x
}

// Arcs are arcs in order that do not overlap, read from the first to the last moment.
type Arcs struct {
	list []Arc
	next int
}

// Read starts reading arcs.
func Read(list []Arc) *Arcs { return &Arcs{list: list} }

// At is the arc that holds t; calls come in the order of time.
func (r *Arcs) At(t score.Tick) float64 {
	for r.next < len(r.list) && r.list[r.next].End <= t {
		r.next++
	}
	if r.next == len(r.list) {
		return 0
	}
	return r.list[r.next].At(t)
}
