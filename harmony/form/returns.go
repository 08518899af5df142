package form

import (
	"fmt"
	"sort"
)

// What counts as a return. Choices of ours.
const (
	leastBars  = 4    // shorter returns belong to a phrase
	alike      = 0.5  // bars less like each other end a return
	allAlike   = 0.6  // a return is at least so like its first time on average
	sameNotes  = 0.95 // from here on it is exact, up to slips of the page
	mostPlaces = 8    // at which one bar's music is sought: see candidates
	leastTheme = 3    // bars of the opening theme are a return, if they come …
	themeAlike = 0.75 // … so like it, or moved exactly, after a section of other music
	mostBefore = 8    // bars of introduction that may stand before the theme
	farther    = 0.75 // what a transposed run weighs beside one in the old key
	compared   = 1e6  // pairs of bars that are compared at most, and each bar's share on top: see runs
	comparedOn = 20
)

// run is two stretches of bars that are alike.
type run struct {
	first, again, count int
	steps, semitones    int
	likeness            float64
}

// weight orders runs: much music, very like, in the same key.
func (r run) weight() float64 {
	w := float64(r.count) * r.likeness * r.likeness
	if r.moves() {
		w *= farther
	}
	return w
}

func (r run) moves() bool { return r.steps != 0 || r.semitones != 0 }

// between is how many bars of other music lie between the two stretches.
func (r run) between() int { return r.again - r.first - r.count }

// returns finds the music that comes back, each bar claimed by the best return
// that holds it.
func (p *page) returns() []Return {
	runs := p.runs()
	sort.SliceStable(runs, func(i, j int) bool {
		a, b := runs[i], runs[j]
		if a.weight() != b.weight() {
			return a.weight() > b.weight()
		}
		return a.again < b.again || a.again == b.again && a.first < b.first
	})
	claimed := make([]bool, len(p.bars))
	var out []Return
	for _, r := range runs {
		if r = r.free(claimed); !p.counts(r) {
			continue
		}
		for k := range r.count {
			claimed[r.again+k] = true
		}
		out = append(out, p.describe(r))
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Bar < out[j].Bar })
	p.markOpenings(out)
	return out
}

// counts reports whether a run is enough music to be a return.
func (p *page) counts(r run) bool {
	if r.count >= leastBars {
		return r.likeness >= allAlike
	}
	least := themeAlike
	if r.moves() {
		least = sameNotes
	}
	return r.count >= leastTheme && r.first <= p.firstBar() && r.likeness >= least && r.between() >= leastSection
}

// firstBar is the first bar that is no pickup and not silent.
func (p *page) firstBar() int {
	for i, b := range p.bars {
		if b.head == 0 && len(b.dots) > 0 {
			return i
		}
	}
	return 0
}

// markOpenings marks the returns, in the old key, of what the piece opens with: its
// first bar, or, after an introduction, the bar that most returns of the first bars start
// from, at least two. A return of a return goes back to its first time.
func (p *page) markOpenings(list []Return) {
	from := map[int]int{}
	first := p.firstBar()
	sources := make([]int, len(list))
	for i, r := range list {
		sources[i] = firstTime(list, r)
		if s := sources[i]; s > first && s <= first+mostBefore {
			from[s]++
		}
	}
	theme, most := first, 1
	for bar, n := range from {
		if n > most || n == most && n > 1 && bar < theme {
			theme, most = bar, n
		}
	}
	for i := range list {
		list[i].Opening = sources[i] >= 0 && (sources[i] <= first || sources[i] == theme)
	}
}

// firstTime is the bar that a return in the old key goes back to in the end, -1 for one in another.
func firstTime(list []Return, r Return) int {
	if !r.inKey() {
		return -1
	}
	bar := r.FirstBar
	for i := len(list) - 1; i >= 0; i-- { // a source lies before its return
		if q := list[i]; q.inKey() && q.Bar <= bar && bar < q.Bar+q.Count && q.Bar < r.Bar {
			bar += q.FirstBar - q.Bar
		}
	}
	return bar
}

// inKey reports whether the return stands on the old tones, in whatever octave.
func (r Return) inKey() bool { return r.Steps%7 == 0 && r.Semitones%12 == 0 }

// moves reports whether the return is transposed.
func (r Return) moves() bool { return r.Steps != 0 || r.Semitones != 0 }

// Between is how many bars of other music lie between the first time and the return.
func (r Return) Between() int { return r.Bar - r.FirstBar - r.Count }

// free is the longest part of a run whose return is not claimed yet.
func (r run) free(claimed []bool) run {
	best, from := run{}, 0
	for k := 0; k <= r.count; k++ {
		if k < r.count && !claimed[r.again+k] {
			continue
		}
		if k-from > best.count {
			best = r
			best.first, best.again, best.count = r.first+from, r.again+from, k-from
		}
		from = k + 1
	}
	return best
}

// runs follows every pair of bars with the same print forwards and backwards as
// long as the music agrees. Where the same few bars fill thousands, every pair agrees
// with every other; then the last part of the piece is not compared any more.
func (p *page) runs() []run {
	var out []run
	left := int(compared) + comparedOn*len(p.bars)
	seen := map[[3]int]int{} // by distance of the bars, steps: up to where it is known
	for _, c := range p.candidates() {
		id := [3]int{c.again - c.first, c.steps, c.semitones}
		if c.again < seen[id] || left <= 0 {
			continue
		}
		r := p.extend(c)
		left -= r.count
		seen[id] = r.again + r.count
		if p.counts(r) {
			out = append(out, r)
		}
	}
	return out
}

// candidates are pairs of bars whose melody moves alike: the same onsets and the
// same steps. At most mostPlaces earlier bars are tried for each, the first ones. The
// first bar of the piece is tried everywhere in its own key.
func (p *page) candidates() []run {
	places := map[uint64][]int{}
	var out []run
	first := p.firstBar()
	for j := range p.bars {
		if j > first && likeness(&p.bars[first], &p.bars[j], 0) >= allAlike && len(p.bars[j].dots) > 0 {
			out = append(out, run{first: first, again: j, count: 1})
		}
		print, ok := p.bars[j].print()
		if !ok {
			continue
		}
		for _, i := range places[print] {
			a, b := p.bars[i].top[0], p.bars[j].top[0]
			out = append(out, run{first: i, again: j, count: 1, steps: b.place - a.place, semitones: b.key - a.key})
		}
		if len(places[print]) < mostPlaces {
			places[print] = append(places[print], j)
		}
	}
	return out
}

// print sums up the rhythm and the steps of a bar's melody, by the method of
// Fowler, Noll and Vo (FNV-1a, 1991); ok is false if it has too few notes to be known by.
func (b *bar) print() (sum uint64, ok bool) {
	const fewest, prime = 2, 1099511628211
	if len(b.top) < fewest {
		return 0, false
	}
	sum = 14695981039346656037
	for _, d := range b.top {
		sum = (sum ^ uint64(d.at)) * prime
		sum = (sum ^ uint64(d.place-b.top[0].place)) * prime
	}
	return sum, true
}

// extend lengthens a pair of bars in both directions. One bar that differs may
// stand in between. The two stretches do not overlap.
func (p *page) extend(r run) run {
	apart := r.again - r.first
	like := func(k int) float64 { // of bar r.again+k to its model
		if r.first+k < 0 || r.again+k >= len(p.bars) {
			return 0
		}
		return likeness(&p.bars[r.first+k], &p.bars[r.again+k], r.steps)
	}
	from, to := 0, 1
	for to-from < apart && (like(to) >= alike || like(to+1) >= alike) && r.again+to < len(p.bars) {
		to++
	}
	for to-from < apart && (like(from-1) >= alike || like(from-2) >= alike) && r.first+from > 0 {
		from--
	}
	for ; to > 1 && like(to-1) < alike; to-- {
	}
	for ; from < 0 && like(from) < alike; from++ {
	}
	sum := 0.0
	for k := from; k < to; k++ {
		sum += like(k)
	}
	r.first, r.again, r.count = r.first+from, r.again+from, to-from
	r.likeness = sum / float64(r.count)
	return r
}

// kind names a likeness.
func kindOf(likeness float64, steps, semitones int) Kind {
	switch {
	case likeness < sameNotes:
		return Varied
	case steps != 0 || semitones != 0:
		return Transposed
	}
	return Exact
}

func (p *page) describe(r run) Return {
	last := r.count - 1
	out := Return{
		First:    Span{p.bars[r.first].span.Start, p.bars[r.first+last].span.End},
		Again:    Span{p.bars[r.again].span.Start, p.bars[r.again+last].span.End},
		FirstBar: r.first, Bar: r.again, Count: r.count,
		Kind: kindOf(r.likeness, r.steps, r.semitones), Steps: r.steps, Semitones: r.semitones,
		Likeness: r.likeness, Certainty: r.likeness * float64(r.count) / float64(r.count+1),
	}
	out.Why = fmt.Sprintf("%d bars, %.0f %% of the notes at the same places", r.count, 100*r.likeness)
	if r.steps != 0 || r.semitones != 0 {
		out.Why += ", " + moved(r.steps, r.semitones)
	}
	return out
}

var intervals = [7]string{"unison", "second", "third", "fourth", "fifth", "sixth", "seventh"}

// moved names a transposition: "a fifth higher".
func moved(steps, semitones int) string {
	way := "higher"
	if steps < 0 || steps == 0 && semitones < 0 {
		way = "lower"
	}
	n := abs(steps)
	switch {
	case n == 0:
		return "a semitone " + way
	case n%7 == 0:
		return "an octave " + way
	case n > 7:
		return "an octave and a " + intervals[n%7] + " " + way
	}
	return "a " + intervals[n] + " " + way
}
