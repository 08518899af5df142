package advice

import (
	"cmp"
	"math"
	"slices"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
)

// Chances is how likely each beat of the phrase is the one that players make
// loudest: the weighted quantities, as odds (a conditional logit; McFadden 1974,
// "Conditional logit analysis of qualitative choice behavior", from memory).
func (w Way) Chances(weights []float64) []float64 {
	out := make([]float64, len(w.Beats))
	for k, v := range w.Values {
		for i, x := range v {
			out[i] += weights[k] * x
		}
	}
	return softmax(out)
}

func softmax(v []float64) []float64 {
	top, sum := math.Inf(-1), 0.0
	for _, x := range v {
		top = max(top, x)
	}
	for i, x := range v {
		v[i] = math.Exp(x - top)
		sum += v[i]
	}
	for i := range v {
		v[i] /= sum
	}
	return v
}

// Within is the chance that the loudest beat lies within the tolerance of each beat.
func (w Way) Within(chances []float64) []float64 {
	n, tol := len(chances), w.Tolerance()
	out := make([]float64, n)
	for i := range out {
		for _, x := range chances[max(i-tol, 0):min(i+tol+1, n)] {
			out[i] += x
		}
	}
	return out
}

// Goal is the beat that a phrase is going to, and the chance that the loudest lies
// near it: of the beats within the tolerance of which it most likely lies, the
// middle one by their chances; where the page says which beats are its loudest, one
// of those; never one that is barred. It gives the chances of all beats as well.
func (w Way) Goal(weights []float64) (at int, chance float64, within []float64) {
	chances := w.Chances(weights)
	within = w.Within(chances)
	at = w.loud(w.later(w.open(within)))
	chance = within[at]
	if w.Softer == nil {
		at = w.middle(chances, at)
	}
	return w.crowned(w.crest(w.held(w.grown(w.firm(w.pointed(w.free(at))))))), chance, within
}

// Of two peaks nearly equal the later is the goal: a phrase goes on (common practice, no
// source). What counts as nearly is a share of the likelier one's chance; in the first
// full measure, where few phrases are going to, the earlier one needs more. Chosen on the
// performances of tools/fit/advice: of unsure goals more are met, of the others no fewer.
const nearly, nearlyFirst = 0.85, 0.6

// later is the likeliest beat, or the likeliest past its tolerance that is nearly as likely.
func (w Way) later(chances []float64) int {
	at := best(chances, -1, 0)
	least, out := nearly*chances[at], at
	if w.opens(at) {
		least = nearlyFirst * chances[at]
	}
	for i := at + w.Tolerance() + 1; i < len(chances); i++ {
		if chances[i] >= least && (out == at || chances[i] > chances[out]) {
			out = i
		}
	}
	return out
}

// open are the chances without those of the barred beats, if any is left.
func (w Way) open(within []float64) []float64 {
	if !slices.Contains(w.Barred, false) {
		return within
	}
	out := slices.Clone(within)
	for i, x := range w.Barred {
		if x {
			out[i] = -1
		}
	}
	return out
}

// barred reports whether nobody goes to a beat.
func (w Way) barred(at int) bool { return at < len(w.Barred) && w.Barred[at] }

// softer reports whether a beat lies outside the reach of the piece's loudest mark.
func (w Way) softer(at int) bool { return w.Softer != nil && w.Softer[at] }

// nearest is the beat nearest to one, the later of two and no more than far away, that will
// do; that one if none will.
func (w Way) nearest(at, far int, do func(i int) bool) int {
	for d := range far + 1 {
		for _, i := range [...]int{at + d, at - d} {
			if i >= 0 && i < len(w.Beats) && do(i) {
				return i
			}
		}
	}
	return at
}

// free is the nearest beat that is not barred.
func (w Way) free(at int) int {
	return w.nearest(at, len(w.Beats), func(i int) bool { return !w.barred(i) })
}

// middle is the middle beat, by their chances, of those within the tolerance of one.
func (w Way) middle(chances []float64, mid int) int {
	left, at := 0.0, max(mid-w.Tolerance(), 0)
	for _, x := range chances[at:min(mid+w.Tolerance()+1, len(chances))] {
		left += x / 2
	}
	for ; at < mid+w.Tolerance() && left > chances[at]; at++ {
		left -= chances[at]
	}
	return min(at, len(chances)-1)
}

// pointed is the nearest beat within the tolerance of one that has a mark, an accent or the
// top of the line.
func (w Way) pointed(at int) int {
	return w.nearest(at, w.Tolerance(), func(i int) bool { return w.Points != nil && w.Points[i] && !w.barred(i) && !w.softer(i) })
}

// loud is the nearest beat at which the page is not softer than elsewhere in the phrase.
func (w Way) loud(at int) int {
	if w.Softer == nil {
		return at
	}
	return w.nearest(at, len(w.Beats), func(i int) bool { return !w.softer(i) && !w.barred(i) })
}

// Goals are the goals of the phrases by the weights of a table.
func (t *Table) Goals(ways []Way) []Goal {
	out := make([]Goal, len(ways))
	for i, w := range ways {
		out[i] = t.goal(w)
	}
	t.share(ways, out)
	return out
}

func (t *Table) goal(w Way) Goal {
	at, chance, within := w.Goal(t.Weights)
	lack := Lack("")
	if first := best(within, -1, 0); w.barred(first) && w.fades(first) {
		at, chance, lack = first, within[first], Falls
	}
	g := Goal{Phrase: w.Phrase, Start: w.Start, End: w.End, At: w.Beats[at], Mark: w.Mark, Confidence: t.Confidence(chance)}
	if g.Lack = cmp.Or(lack, w.Lack(at)); g.Told() && g.Confidence < leastGoal && w.Mark == "" {
		g.Lack = Vague
	}
	if !g.Told() || w.Verse || w.Sung != nil && w.opens(at) { // no player was heard on a hymn, or on a song, whose first measure is seldom its goal
		g.Confidence = min(g.Confidence, noGoal)
	}
	g.Certainty = tonal.CertaintyOf(g.Confidence)
	g.Rival = g.At
	if r := best(within, at, 2*w.Tolerance()); r >= 0 {
		g.Rival = w.Beats[r]
	}
	g.Harmony, g.Line, g.Page = t.speaks(w, at)
	return g
}

// firm is beat 1 of the goal's measure, or of the next if the goal is the beat before
// it, where a mark stands there; else the goal.
func (w Way) firm(at int) int {
	for i := range w.Firm {
		if w.Firm[i] && !w.barred(i) && (w.Bars[i] == w.Bars[at] || i == at+1) && !w.softer(i) {
			return i
		}
	}
	return at
}

// noGoal is the most confidence in a goal that is none: players may be loudest at the
// start of a phrase that fades from there on, but nobody goes there (common practice, no
// source). It is told as unsure.
const noGoal = 0.5

// leastGoal is the least confidence of a goal that is told: players are loudest there
// about as often as not. A choice. The loudest mark of the piece is told in any case.
const leastGoal = 0.45

// Lack is why a beat is not told as the goal however likely it is, "" if it may be.
func (w Way) Lack(at int) Lack {
	switch {
	case w.fades(at):
		return Falls
	case w.barred(at) || w.turns(at):
		return Turns
	case w.Closing && w.sinks():
		return Rests
	case w.Measures <= shortPhrase && !w.Verse:
		return Short
	}
	return ""
}

// sinks reports whether the page is soft at the end of the phrase, and asks for more
// nowhere in it.
func (w Way) sinks() bool {
	for i := 1; i < len(w.Printed); i++ {
		if w.Printed[i] > w.Printed[i-1]+1e-9 {
			return false
		}
	}
	return w.Printed != nil && w.Printed[len(w.Printed)-1] < page.MF
}

// fades reports whether a beat stands in the first third of a phrase and the top of the line
// in its first measure, the page does not grow to the beat, falls from there and never asks
// for more again.
func (w Way) fades(at int) bool {
	if w.Printed == nil || at > max(w.Upbeat+1, len(w.Beats)/3) || w.opensLow() || w.growsAfter(at) || w.Printed[at] > w.Printed[0]+1e-9 {
		return false
	}
	least := w.Printed[at]
	for _, x := range w.Printed[at:] {
		if x > w.Printed[at]+1e-9 || x > least+again {
			return false
		}
		least = min(least, x)
	}
	return least <= w.Printed[at]-fallen
}

// opens reports whether a beat lies in the first full measure or before it.
func (w Way) opens(at int) bool {
	return w.Bars != nil && w.Bars[at] <= w.Bars[min(w.Upbeat, len(w.Bars)-1)]
}

// opensLow reports whether the line has its top after the first full measure.
func (w Way) opensLow() bool {
	return w.Bars != nil && w.Bars[w.Top] > w.Bars[min(w.Upbeat, len(w.Bars)-1)]
}

// growsAfter reports whether the page prints a growth at a beat or after it.
func (w Way) growsAfter(at int) bool {
	for i := at; i < len(w.Grown); i++ {
		if w.Grown[i] > i {
			return true
		}
	}
	return false
}

// turns reports whether a beat stands in the first full measure of a phrase, the page is as
// loud from its start on, and falls after it, whatever comes then.
func (w Way) turns(at int) bool {
	if w.Printed == nil || w.Bars[at] > w.Bars[min(w.Upbeat, len(w.Bars)-1)] || w.Printed[at] > w.Printed[0]+1e-9 {
		return false
	}
	return slices.Min(w.Printed[at:]) <= w.Printed[at]-fallen
}

// again is the most that the page grows where a phrase still counts as one that fades: a
// shade of half a step.
const again = 0.5

// fallen is the least fall that makes a phrase one that fades, in steps: ours.
const fallen = 0.75

// best is the first beat with the highest value, further than apart from another
// (-1 for none); -1 if there is no such beat.
func best(v []float64, from, apart int) int {
	at := -1
	for i, x := range v {
		far := from < 0 || i-from > apart || from-i > apart
		if far && (at < 0 || x > v[at]+1e-12) {
			at = i
		}
	}
	return at
}

// speaks is what harmony, page, and the line with its texture and metre say for a beat.
func (t *Table) speaks(w Way, at int) (harmony, line, page float64) {
	for k, q := range quantities() {
		x := t.Weights[k] * w.Values[k][at]
		switch q.group {
		case ByHarmony:
			harmony += x
		case ByPage:
			page += x
		default:
			line += x
		}
	}
	return harmony, line, page
}
