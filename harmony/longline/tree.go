// Package longline hears which harmony a chord belongs to: it grows the tree in
// which every chord but one decorates, prepares or follows a firmer one near it,
// and lets tension be inherited through it.
//
// Start at [Grow]. The package knows no chord: it is handed events with their
// firmness, the groups in which they stand, and a distance.
//
// The tree is that of Lerdahl, F., & Jackendoff, R. (1983), A Generative Theory of
// Tonal Music, MIT Press, chapters 6 to 9, and Lerdahl, F. (2001), Tonal Pitch
// Space, Oxford UP, chapter 1: groups within groups, each with one head. The theory
// states preferences and no procedure; the numbers here are ours.
package longline

import (
	"math"
	"sort"

	"hairpin/score"
)

// Event is a chord as the tree sees it. Events are in order and do not overlap.
type Event struct {
	Start, End score.Tick
	Near       float64 // firmness in its local key: 1 its tonic at rest, 0 far from it
	Home       float64 // firmness in the home key, for the large groups
	Metre      float64 // metric weight of its start, 0–1
	Close      float64 // how surely a phrase comes to rest on it, 0–1
}

// Level is one way of dividing the piece, groups touching; the smaller levels come first.
type Level struct {
	Starts []score.Tick // where groups start, sorted
	Large  bool         // sections and more: the home key decides
	Within bool         // inside phrases: a close outweighs everything
}

// Branch is an event's place in the tree.
type Branch struct {
	Over      int        // the event that it belongs to, -1 for the one on top
	Reach     score.Tick // how long a stretch it governs
	Height    int        // the level at which it gives way, counted from 0
	Steps     float64    // its distance from the event over it
	Inherited float64    // the same for its whole chain, see Inherit
}

// What makes the head of a group. Ours, in the order of Lerdahl and Jackendoff's
// time-span reduction preference rules: stability (rule 2) first, metre (rule 1)
// between equals, the close of a phrase kept until the phrase is complete (rule 7).
const (
	byMetre = 0.2
	byClose = 1.0 // inside the phrase that it closes
	byRest  = 0.3 // above
)

func (e Event) firmness(l Level) float64 {
	x := e.Near
	if l.Large {
		x = e.Home
	}
	x += byMetre * e.Metre
	if l.Within {
		return x + byClose*e.Close
	}
	return x + byRest*e.Close
}

// head is an event that still governs a stretch.
type head struct {
	event int
	span  [2]score.Tick
}

// Grow makes the tree, one branch an event. The last level is followed by one group
// that holds everything.
func Grow(events []Event, levels []Level) []Branch {
	tree := make([]Branch, len(events))
	heads := make([]head, len(events))
	for i, e := range events {
		heads[i] = head{i, [2]score.Tick{e.Start, e.End}}
		tree[i] = Branch{Over: -1, Reach: e.End - e.Start}
	}
	levels = append(levels[:len(levels):len(levels)], Level{Large: true})
	for h, l := range levels {
		heads = join(events, heads, l, h, tree)
	}
	for _, x := range heads {
		tree[x.event].Height = len(levels)
	}
	return tree
}

// join lets one head of each group stay.
func join(events []Event, heads []head, l Level, height int, tree []Branch) []head {
	var out []head
	for from := 0; from < len(heads); {
		to := from + 1
		group := l.group(events[heads[from].event].Start)
		for to < len(heads) && l.group(events[heads[to].event].Start) == group {
			to++
		}
		best := from
		for i := from + 1; i < to; i++ {
			if events[heads[i].event].firmness(l) > events[heads[best].event].firmness(l)+1e-9 {
				best = i
			}
		}
		stay := head{heads[best].event, [2]score.Tick{heads[from].span[0], heads[to-1].span[1]}}
		for i := from; i < to; i++ {
			if i != best {
				b := &tree[heads[i].event]
				b.Over, b.Height = stay.event, height
			}
		}
		tree[stay.event].Reach = stay.span[1] - stay.span[0]
		out = append(out, stay)
		from = to
	}
	return out
}

// group is the number of the group that a moment lies in.
func (l Level) group(t score.Tick) int {
	return sort.Search(len(l.Starts), func(i int) bool { return l.Starts[i] > t })
}

// Inherit sums up, for every event, what lies between it and the event on top: the
// distance of each step of its chain, weighted by how long the stretch is that the
// step leads away. half is the length that weighs a half. It is Lerdahl, F., &
// Krumhansl, C. L. (2007), Modeling tonal tension, Music Perception 24(4), 329–366:
// T_glob = δ(above → this) + what the one above inherits; the weight is ours.
func Inherit(tree []Branch, half score.Tick, distance func(above, this int) float64) {
	done := make([]bool, len(tree))
	for i := range tree {
		var chain []int // from i up to the first event that is done
		for j := i; j >= 0 && !done[j]; j = tree[j].Over {
			chain = append(chain, j)
		}
		for k := len(chain) - 1; k >= 0; k-- {
			b := &tree[chain[k]]
			done[chain[k]] = true
			if b.Over >= 0 {
				b.Steps = distance(b.Over, chain[k])
				b.Inherited = tree[b.Over].Inherited + lasting(b.Reach, half)*b.Steps
			}
		}
	}
}

// lasting is how much something counts that lasts so long: a half after half, 1 at last.
func lasting(time, half score.Tick) float64 {
	return 1 - math.Exp2(-float64(time)/float64(max(half, 1)))
}
