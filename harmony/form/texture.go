package form

import "hairpin/score"

// clearTurn is how much the texture must change to be told: a choice of ours.
const clearTurn = 0.3

// Turns are the moments at which the texture changes, and how much, from clearTurn to 1.
func (r *Page) Turns() map[score.Tick]float64 {
	p := r.page
	out := map[score.Tick]float64{}
	for b := 2; b+1 < len(p.bars); b++ {
		if x := p.turn(b); x >= clearTurn {
			out[p.bars[b].span.Start] = x
		}
	}
	return out
}

// turn is how much the texture changes with a bar: how much less the rhythm of the two
// bars before has in common with that of the two from it on than either pair within itself;
// from -1 to 1. Beside silence there is nothing to compare.
func (p *page) turn(b int) float64 {
	for i := b - 2; i <= b+1; i++ {
		if len(p.bars[i].dots) == 0 {
			return 0
		}
	}
	within := (p.rhythm(b-2, b-1) + p.rhythm(b, b+1)) / 2
	across := (p.rhythm(b-2, b) + p.rhythm(b-2, b+1) + p.rhythm(b-1, b) + p.rhythm(b-1, b+1)) / 4
	return within - across
}

// rhythm is how much two bars have in common by where their notes start, as [common].
func (p *page) rhythm(i, j int) float64 {
	a, b := p.bars[i].dots, p.bars[j].dots
	if len(a)+len(b) == 0 {
		return 1
	}
	same := 0
	for k, l := 0, 0; k < len(a) && l < len(b); {
		switch {
		case a[k].at == b[l].at:
			same++
			k++
			l++
		case a[k].at < b[l].at:
			k++
		default:
			l++
		}
	}
	return 2 * float64(same) / float64(len(a)+len(b))
}
