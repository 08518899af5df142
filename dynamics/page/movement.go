package page

import (
	"math"
	"sort"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// MoveKind names what the printed level does over a stretch.
type MoveKind string

// The kinds of movement.
const (
	Grows    MoveKind = "grows"
	Falls    MoveKind = "falls"
	Swells   MoveKind = "swells"   // grows, then falls
	Dips     MoveKind = "dips"     // falls, then grows
	Terraced MoveKind = "terraced" // sudden changes, no slope: neither growth nor decline
	Level    MoveKind = "level"    // a mark stands in the stretch, and nothing moves
	Silent   MoveKind = "silent"   // nothing is printed in the stretch
)

// Move is what the page prints for the loudest that sound over a stretch.
type Move struct {
	Kind             MoveKind
	From, To, Peak   float64 // levels, guesses where no mark states them; Peak is farthest from both ends on the way
	FromMark, ToMark string  // the printed marks that state From and To; "" if none does
	PeakMark         string
	Jumps            int             // sudden changes by a mark
	Certainty        tonal.Certainty // of the kind: a slope's direction is printed, its size may be a guess
	Doubt            Doubt           // why it is less than sure, "" if it is sure
}

// Doubt is why a movement is less than sure.
type Doubt string

// The doubts.
const (
	Turning     Doubt = "turns on the way"
	ManyTurns   Doubt = "turns more than once"
	Brief       Doubt = "slope in a small part" // of the stretch
	Beside      Doubt = "sudden change beside the slope"
	SuddenMoves Doubt = "sudden changes"
)

// Moves reports whether a printed slope moves the level.
func (m Move) Moves() bool {
	return m.Kind == Grows || m.Kind == Falls || m.Kind == Swells || m.Kind == Dips
}

// placedMark is a printed level mark.
type placedMark struct {
	at   score.Tick
	part int
}

// ensemble notes what the loudest sounding parts are told from cut to cut, and
// where level marks stand. A part that rests does not count.
func (p *Page) ensemble(s *score.Score, marked []int) {
	for _, e := range gather(s, func(int) bool { return true }) {
		if e.act.kind == setLevel && e.act.pass != 2 || e.act.kind == step {
			p.levels = append(p.levels, placedMark{e.at, e.part})
		}
	}
	if len(distinctCurves(p, marked)) <= 1 {
		p.led = p.Whole.Segments
		return
	}
	cuts := p.cuts(s, marked)
	sounds := sounding(s, cuts, len(s.Parts))
	for i := 0; i+1 < len(cuts); i++ {
		var playing []Segment
		for _, m := range marked {
			if sounds[i][m] || !anyOf(sounds[i], marked) {
				c := p.Parts[m]
				playing = append(playing, c.Segments[c.Find(cuts[i])].between(cuts[i], cuts[i+1]))
			}
		}
		p.led = append(p.led, leads(playing))
	}
}

// asLoud is how far below the loudest a part still counts as loudest, in steps:
// more than the one step that an open hairpin is guessed to take.
const asLoud = 1.25

// leads is what the loudest of the parts are told. Of those about as loud the
// majority that is told to move gives the way.
func leads(playing []Segment) Segment {
	top := 0.0
	for _, g := range playing {
		top = max(top, max(g.From, g.To))
	}
	votes, n := 0, 0
	for _, g := range playing {
		if max(g.From, g.To) >= top-asLoud {
			n++
			if !g.Implied {
				votes += g.Slope
			}
		}
	}
	way := 0
	if 4*abs(votes) >= n {
		way = min(max(votes, -1), 1)
	}
	best := -1
	for i, g := range playing {
		if max(g.From, g.To) < top-asLoud {
			continue
		}
		if best < 0 || fits(g, way) && !fits(playing[best], way) || fits(g, way) == fits(playing[best], way) && g.From > playing[best].From {
			best = i
		}
	}
	return playing[best]
}

func fits(g Segment, way int) bool { return !g.Implied && g.Slope == way || way == 0 && g.Slope == 0 }

// turn is a piece of a movement: a printed slope, or a sudden change by a mark.
type turn struct {
	way    int
	amount float64 // steps
	time   score.Tick
	sudden bool
	sure   tonal.Certainty
}

// suddenMove is a sudden change by a mark that counts, in steps.
const suddenMove = 0.75

// Over is what the page prints from one moment up to another. A mark at the
// start counts; a slope reaches the mark that stands at the end, and a sudden
// mark there belongs to what comes next.
func (p *Page) Over(from, to score.Tick) Move {
	led := p.lead()
	c := Curve{Segments: led}
	if len(led) == 0 || to <= from {
		return Move{Kind: Silent, From: MF, To: MF, Peak: MF, Certainty: tonal.Sure}
	}
	var turns []turn
	var m Move
	first := c.Find(from)
	for i := first; i < len(led) && led[i].Start < to; i++ {
		g := led[i].between(max(led[i].Start, from), min(led[i].End, to))
		if i == first {
			m.From, m.FromMark, m.Peak = g.From, g.FromMark, g.From
		} else if jump := g.From - m.To; math.Abs(jump) >= suddenMove && p.markedAt(g.Start) {
			turns = append(turns, turn{way: sign(jump), amount: math.Abs(jump), sudden: true, sure: tonal.Likely})
			m.Jumps++
		}
		if g.Slope != 0 && !g.Implied {
			turns = joined(turns, turn{way: g.Slope, amount: math.Abs(g.To - g.From), time: g.End - g.Start, sure: directionOf(g)})
		}
		m.To, m.ToMark = g.To, g.ToMark
		m.farthest(g)
	}
	m.name(turns, to-from)
	if m.Kind == Silent && p.marksIn(from, to) {
		m.Kind = Level
	}
	return m
}

// lead is the curve of the loudest; the whole where it was not made from a score.
func (p *Page) lead() []Segment {
	if p.led == nil {
		return p.Whole.Segments
	}
	return p.led
}

// farthest keeps the level that lies farthest from where the stretch began.
func (m *Move) farthest(g Segment) {
	for _, x := range [...]struct {
		level float64
		mark  string
	}{{g.From, g.FromMark}, {g.To, g.ToMark}} {
		if !g.Implied && math.Abs(x.level-m.From) > math.Abs(m.Peak-m.From) {
			m.Peak, m.PeakMark = x.level, x.mark
		}
	}
}

// directionOf is how sure the direction of a slope is: as sure as it is printed.
func directionOf(g Segment) tonal.Certainty {
	if g.Implied {
		return tonal.Unsure
	}
	return tonal.Sure
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// joined adds a slope to the turns, or to the last one if that goes the same way.
func joined(turns []turn, t turn) []turn {
	if n := len(turns); n > 0 && !turns[n-1].sudden && turns[n-1].way == t.way {
		l := &turns[n-1]
		l.amount, l.time, l.sure = l.amount+t.amount, l.time+t.time, min(l.sure, t.sure)
		return turns
	}
	return append(turns, t)
}

// markedAt reports whether a level mark stands at t.
func (p *Page) markedAt(t score.Tick) bool { return p.marksIn(t, t+1) }

// marksIn reports whether a level mark stands in a stretch.
func (p *Page) marksIn(from, to score.Tick) bool {
	i := sort.Search(len(p.levels), func(i int) bool { return p.levels[i].at >= from })
	return i < len(p.levels) && p.levels[i].at < to
}

// Shares from which a slope counts; our own choice.
const (
	glimpse  = 0.08 // of the stretch: less is the end of what came before, unless it moves by a
	fullTurn = 1.0  // step or more
	mostOf   = 0.4  // of the stretch: from here the direction is sure
	outweigh = 3.0  // times as much as the way back: what it does from start to end is plain
)

// name finds the kind of movement from its turns.
func (m *Move) name(turns []turn, length score.Tick) {
	slopes, sudden := weighed(turns, length)
	m.Kind, m.Certainty = Silent, tonal.Sure
	up, down := sums(slopes)
	switch {
	case len(slopes) == 0 && sudden == jumps{}:
		return
	case len(slopes) == 0, sudden.outweighs(up, down):
		m.Kind, m.Certainty, m.Doubt = Terraced, tonal.Likely, SuddenMoves
		return
	case up.outweighs(down):
		m.Kind = Grows
	case down.outweighs(up):
		m.Kind = Falls
	case len(slopes) > 2 && m.FromMark != "" && m.ToMark != "" && math.Abs(m.To-m.From) >= 1:
		m.Kind = map[bool]MoveKind{true: Grows, false: Falls}[m.To > m.From]
	case slopes[0].way > 0, len(slopes) > 2: // more turns than two are small swells
		m.Kind = Swells
	default:
		m.Kind = Dips
	}
	for _, t := range slopes {
		m.Certainty = min(m.Certainty, t.sure)
	}
	m.doubt(slopes, up.time+down.time, length, sudden != jumps{})
}

// sums adds up the slopes each way.
func sums(slopes []turn) (up, down turn) {
	for _, t := range slopes {
		if t.way > 0 {
			up.amount, up.time = up.amount+t.amount, up.time+t.time
		} else {
			down.amount, down.time = down.amount+t.amount, down.time+t.time
		}
	}
	return up, down
}

// jumps are the sudden changes of a stretch, added up each way, in steps.
type jumps struct{ up, down float64 }

// leastTerrace is a sudden change that no nuance beside it hides, in steps; our own choice.
const leastTerrace = 2.0

// outweighs reports whether sudden changes against the slopes are larger than
// the slopes: p, dim. and then f at once is a change of terrace.
func (j jumps) outweighs(up, down turn) bool {
	against := j.down
	if down.amount > up.amount {
		against = j.up
	}
	return against >= leastTerrace && against >= max(up.amount, down.amount)
}

// outweighs reports whether the way back is so small that what the whole does is plain.
func (t turn) outweighs(back turn) bool {
	return back.amount == 0 || t.amount >= outweigh*back.amount && float64(t.time) >= outweigh*float64(back.time)
}

// doubt says why a movement is less than sure.
func (m *Move) doubt(slopes []turn, time, length score.Tick, sudden bool) {
	lower := func(c tonal.Certainty, d Doubt) {
		if c < m.Certainty {
			m.Certainty, m.Doubt = c, d
		}
	}
	if len(slopes) > 1 && (m.Kind == Grows || m.Kind == Falls) {
		lower(tonal.Likely, Turning)
	}
	if len(slopes) > 2 {
		lower(tonal.Likely, ManyTurns)
	}
	if float64(time) < mostOf*float64(length) {
		lower(tonal.Likely, Brief)
	}
	if sudden {
		lower(tonal.Unsure, Beside)
	}
}

// weighed are the slopes that count. A drop by a mark after a growth is its turn;
// every other sudden change is counted apart: louder at once after a fading is no growth.
func weighed(turns []turn, length score.Tick) (slopes []turn, sudden jumps) {
	for _, t := range turns {
		switch n := len(slopes); {
		case t.sudden && t.way < 0 && n > 0 && slopes[n-1].way > 0:
			t.sure = tonal.Sure
			slopes = append(slopes, t)
		case t.sudden && t.way < 0:
			sudden.down += t.amount
		case t.sudden:
			sudden.up += t.amount
		case float64(t.time) >= glimpse*float64(length) || t.amount >= fullTurn:
			slopes = joined(slopes, t)
		}
	}
	return slopes, sudden
}
