package follow

import "math"

// viterbi finds the most likely path over the places, an observation at a time.
// Memory is a byte a place and observation.
type viterbi struct {
	p         *page
	now, next []float64 // likelihood of the best path that ends at each place
	moves     [][]uint8 // by observation, the move into each place
	best      []int     // by observation, the likeliest place before it
}

func newViterbi(p *page, observations int) *viterbi {
	return &viterbi{
		p:     p,
		now:   make([]float64, len(p.places)),
		next:  make([]float64, len(p.places)),
		moves: make([][]uint8, observations),
		best:  make([]int, observations),
	}
}

// begin sets the first observation: the start is likeliest, then the bars.
func (v *viterbi) begin(enter []float64) {
	v.moves[0] = make([]uint8, len(v.now))
	for k := range v.now {
		v.now[k] = enter[k] - startCost - 5
		v.moves[0][k] = moveOn
	}
	for _, k := range v.p.bars {
		v.now[k] = enter[k] - startCost
	}
	v.now[0] = enter[0]
}

// strokes takes in a cluster: how it fits each place if entered or held, what it
// costs to be none, and what a jump costs.
func (v *viterbi) strokes(t int, enter, stay []float64, none, jump float64) {
	from := v.argmax()
	v.best[t] = from
	m := make([]uint8, len(v.now))
	for k := range v.next {
		best, move := v.now[from]-jump-insideCost, uint8(moveJump)
		missed := 0.0
		for d := range missedSteps + 1 {
			if k-1-d < 0 {
				break
			}
			if x := v.now[k-1-d] - skipCost[d] - missed; x > best {
				best, move = x, uint8(moveOn+d)
			}
			missed = 0.7 * float64(len(v.p.places[k-1].keys))
		}
		v.next[k], m[k] = best, move
	}
	v.leaps(m, jump, signCost)
	for k := range v.next {
		v.next[k] += enter[k]
		if x := v.now[k] - stayCost + stay[k]; x > v.next[k] {
			v.next[k], m[k] = x, moveStay
		}
		if x := v.now[k] + none; x > v.next[k] {
			v.next[k], m[k] = x, moveNone
		}
	}
	v.moves[t] = m
	v.now, v.next = v.next, v.now
}

// leaps betters the ways into bars and behind signs.
func (v *viterbi) leaps(m []uint8, jump, sign float64) {
	top := v.now[v.argmax()] - jump
	for _, k := range v.p.bars {
		if top > v.next[k] {
			v.next[k], m[k] = top, moveJump
		}
	}
	for i, l := range v.p.signs {
		if x := v.now[l.from] - sign; x > v.next[l.to] {
			v.next[l.to], m[l.to] = x, uint8(moveSign+i)
		}
	}
}

func (v *viterbi) argmax() int {
	at, top := 0, math.Inf(-1)
	for k, x := range v.now {
		if x > top {
			at, top = k, x
		}
	}
	return at
}

// path goes back from the likeliest end.
func (v *viterbi) path() []step {
	out := make([]step, len(v.moves))
	k := v.argmax()
	for t := len(out) - 1; t >= 0; t-- {
		move := v.moves[t][k]
		out[t] = step{k, move}
		switch {
		case t == 0 || move == moveStay || move == moveNone:
		case move == moveJump:
			k = v.best[t]
		case move >= moveSign:
			k = v.p.signs[move-moveSign].from
		default:
			k -= 1 + int(move-moveOn)
		}
	}
	return out
}
