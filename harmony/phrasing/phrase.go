package phrasing

import (
	"math"
	"slices"
	"strings"

	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Find fills in phrases and cadences from the chords, if there are any,
// and the notes. The two are found together, since a dominant that ends a phrase is
// a half cadence, and the same dominant followed by its tonic within the phrase is
// not. Part 0 hears all parts, otherwise only that part, counted from 1. [harmony.Analyse]
// calls it; call it again for chords or weights of your own.
//
// Phrases touch: a boundary lies where the next phrase starts. At every attack it
// weighs what marks a close (cadence, rest, long note, fermata, slur end, double
// bar) and a beginning (a passage that comes back), and takes the cut with the
// best sum of marks and lengths. The marks are those of Lerdahl and Jackendoff, A
// Generative Theory of Tonal Music (1983), grouping preference rules 2, 3 and 6,
// and of Temperley, The Cognition of Basic Musical Structures (2001), chapter 3,
// whose optimum over all cuts by dynamic programming this follows. A single line
// without harmony is cut by the same rules.
func Find(s *score.Score, part int, chords []tonal.Chord, w Weights) ([]Phrase, []Cadence) {
	return FindOn(form.Read(s, part), chords, w)
}

// FindOn is [Find] on a page that is read already.
func FindOn(page *form.Page, chords []tonal.Chord, w Weights) ([]Phrase, []Cadence) {
	a := &piece{Chords: chords}
	if v := surfaceOf(page, w); len(v.lines) > 0 && len(v.s.Measures) > 0 {
		a.phrases(v)
	}
	return a.Phrases, a.Cadences
}

// piece is the harmony that is cut into phrases, and what was found in it so far.
type piece struct {
	Chords   []tonal.Chord
	Phrases  []Phrase
	Cadences []Cadence
}

func (a *piece) phrases(v *surface) {
	if len(a.Chords) == 0 { // no cadence can speak for a boundary
		v.w.None += silentHarmony
	}
	endings := a.endings(v)
	list := a.boundaries(v, endings)
	cut, shares := v.cut(list)
	start := v.first
	for k, j := range cut {
		sure := v.w.certainty(&list[j], start, shares[k])
		a.Phrases = append(a.Phrases, Phrase{Start: start, End: list[j].at, Cadence: -1, Confidence: sure})
		start = list[j].at
	}
	a.Cadences = a.settle(v, endings, a.Phrases)
	a.nameAlike(v)
	a.tellEnds(v)
	for i, j := range cut {
		a.Phrases[i].Why = list[j].why(a.Phrases[i].Cadence >= 0)
	}
	last := &a.Phrases[len(a.Phrases)-1]
	last.Why, last.Confidence = last.Why+", end of the piece", 1
}

// silentHarmony makes up for the cadences that a line without harmony cannot show: a choice of ours.
const silentHarmony = 1

// strength is the log-odds the pause alone adds to a point of rest.
func (w Weights) strength(r rest) float64 {
	x := w.Lead*r.lead + w.All*r.all + w.Long*r.long + w.Held*r.held + w.Text*r.stop
	for _, m := range []struct {
		is     bool
		weight float64
	}{{r.fermata, w.Fermata}, {r.slur, w.Slur}, {r.bar, w.Bar}} {
		if m.is {
			x += m.weight
		}
	}
	return x
}

// words name the marks of a pause, the strongest first.
func (r rest) words() []string {
	var out []string
	for _, m := range []struct {
		is   bool
		word string
	}{
		{r.fermata, "fermata"}, {r.bar, "double bar or repeat"}, {r.all > 0.6 || r.lead >= 0.5, "rest"},
		{r.long >= 0.5, "long note"}, {r.stop > 0, "the words pause"}, {r.slur, "slur ends"},
	} {
		if m.is {
			out = append(out, m.word)
		}
	}
	return out
}

// bestRest is the strongest pause in (from, to], and where it is: at the end of
// the harmony, or at an attack of the leading line inside it.
func (v *surface) bestRest(from, to score.Tick) (rest, score.Tick) {
	best, at := v.restAt(to), to
	if v.lead < 0 {
		return best, at
	}
	l := v.lines[v.lead]
	for i := l.before(from+1) + 1; i < len(l.events) && l.events[i].onset < to; i++ {
		t := l.events[i].onset
		if r := v.restAt(t); v.w.strength(r) > v.w.strength(best) {
			best, at = r, t
		}
	}
	return best, at
}

// boundary is a moment at which a phrase may start.
type boundary struct {
	at   score.Tick
	gain float64 // log-odds of a boundary, without the harmony
	rest rest

	closing float64    // probability that a formula of the harmony closes here
	from    score.Tick // where the last chord of that formula starts

	opens   bool     // a fermata before it, a new signature or the entry of the leading line speaks for it
	follows []string // what speaks for a start here, in words
}

// boundaries lists the candidates from the first attack to the end, weighed.
func (a *piece) boundaries(v *surface, endings []ending) []boundary {
	var out []boundary
	ground, sixFours := v.grounds(), a.cadentialSixFours()
	prints := v.prints()
	for _, t := range a.candidates(v) {
		b := boundary{at: t, rest: v.restAt(t)}
		b.opens = b.rest.fermata
		b.rest.ground = ground[t]
		b.gain = v.w.None + v.w.strength(b.rest)
		if b.rest.echo {
			b.gain += v.w.Echo
		}
		if b.rest.ground {
			b.gain += v.w.Ground
		}
		if sixFours[t] {
			b.gain -= partedCadence
		}
		if prints[t] {
			b.gain += v.w.Print
		}
		if v.silent(t) {
			b.gain += v.w.Silence
		}
		if p := v.fugue.PartAt(t); p != nil && p.Start == t {
			b.gain += framed
		}
		out = append(out, b)
	}
	a.closeWith(v, endings, out)
	v.startOnBeat(out)
	a.await(v, out)
	v.judgeAlike(out)
	return v.frame(v.thin(out))
}

// partedCadence is what a phrase costs that starts on a cadential six-four, between
// the halves of one dominant: common practice, no source.
const partedCadence = 4

// cadentialSixFours are the moments at which one starts.
func (a *piece) cadentialSixFours() map[score.Tick]bool {
	out := map[score.Tick]bool{}
	for _, c := range a.Chords {
		if c.Numeral.Cadential {
			out[c.Start] = true
		}
	}
	return out
}

// thin drops the candidates without any mark inside measures.
func (v *surface) thin(list []boundary) []boundary {
	out := list[:0]
	for i, b := range list {
		if i == 0 || i == len(list)-1 || b.gain > v.w.None+0.1 || b.closing > 0.02 || v.phase(b.at) == 0 {
			out = append(out, b)
		}
	}
	return out
}

// candidates are the attacks of the leading line, those of any line on downbeats and the
// starts of chords, sorted, with the first attack before and the last release after them.
func (a *piece) candidates(v *surface) []score.Tick {
	at := []score.Tick{v.first, v.end}
	add := func(t score.Tick) {
		if t > v.first && t < v.end {
			at = append(at, t)
		}
	}
	for _, e := range v.lines[max(v.lead, 0)].events {
		add(e.onset)
	}
	for _, c := range a.Chords {
		add(c.Start)
	}
	for _, n := range v.s.Notes {
		if n.Pitched() && n.Onset == v.s.Measures[n.Measure].Start {
			add(n.Onset)
		}
	}
	if v.fugue != nil {
		for _, p := range v.fugue.Parts {
			add(p.Start)
		}
	}
	sortTicks(at)
	return slices.Compact(at)
}

// usualPause is what the pause after a close usually adds to its log-odds: the cut
// counts the pause by itself. Of 0, 1 and 2 it gave the best phrases in sonatas.
const usualPause = 1

// closeWith adds to each candidate the best formula it can close: fully at the
// strongest pause of its last harmony, half elsewhere in it.
func (a *piece) closeWith(v *surface, endings []ending, list []boundary) {
	j := 0
	for _, e := range endings {
		if e.kind == Evaded { // the phrase goes on
			continue
		}
		end := a.extent(e.i)
		for j < len(list) && list[j].at <= a.Chords[e.i].Start {
			j++
		}
		for k := j; k < len(list) && list[k].at <= end; k++ {
			p := logistic(e.odds + usualPause)
			if list[k].at != e.at {
				p /= 2
			}
			if b := &list[k]; p > b.closing {
				b.closing, b.from = p, a.Chords[e.i].Start
			}
		}
		if j > 0 && list[j-1].at == a.Chords[e.i].Start && v.elides(e.formula, list[j-1].at) {
			b := &list[j-1]
			b.closing, b.from = logistic(e.odds+usualPause), a.Chords[e.p].Start
		}
	}
}

// odds are the log-odds of a phrase from start to the boundary: a formula counts
// only if its last chord does not start the phrase.
func (w Weights) odds(b *boundary, start score.Tick) float64 {
	if start < b.from {
		return b.gain + w.Cadence*b.closing
	}
	return b.gain
}

// cut finds the indices of the candidates that end the phrases of the best division:
// for each usual length a phrase may have, the best cut; of these the best.
func (v *surface) cut(list []boundary) (ends []int, shares []float64) {
	pos := v.places(list)
	most, length := math.Inf(-1), 0.0
	for _, usual := range v.w.usualLengths() {
		if e, gain := v.w.bestCut(list, pos, usual); gain > most {
			ends, most, length = e, gain, usual
		}
	}
	return ends, v.shares(list, pos, ends, length)
}

// usualLengths are the lengths a phrase may usually have in a piece, in measures
// or beats. Common practice, no source.
func (w Weights) usualLengths() []float64 {
	if w.Bars {
		return []float64{4, 8}
	}
	return []float64{8, 12, 16}
}

// spot is how far a moment is from the start, in beats and in measures, each
// in the metre in force.
type spot struct{ beats, bars float64 }

func (v *surface) places(list []boundary) []spot {
	out := make([]spot, len(list))
	var sum spot
	m := 0
	for i, b := range list {
		for m < len(v.s.Measures) && v.s.Measures[m].End() <= b.at {
			sum = sum.add(v.s.Measures[m], v.s.Measures[m].Length, v.s.Division)
			m++
		}
		out[i] = sum
		if m < len(v.s.Measures) {
			out[i] = sum.add(v.s.Measures[m], b.at-v.s.Measures[m].Start, v.s.Division)
		}
	}
	return out
}

func (p spot) add(m score.Measure, time, division score.Tick) spot {
	whole := m.Nominal
	if whole <= 0 {
		whole = max(m.Length, 1)
	}
	return spot{
		p.beats + float64(time)/float64(m.Beat(division)),
		p.bars + float64(time)/float64(whole),
	}
}

// longestPhrase and longestBars are the beats and measures beyond which no phrase
// is tried, mostPlaces the places at which one may start: more than music has in
// so many measures, but a file may.
const longestPhrase, longestBars, mostPlaces = 48, 16, 1000

// bestCut finds the ends of the phrases with the largest sum of gains and
// lengths, if phrases usually last so many beats or measures.
func (w Weights) bestCut(list []boundary, pos []spot, usual float64) ([]int, float64) {
	n := len(list)
	best, from := make([]float64, n), make([]int, n)
	most := make([]float64, n) // the best up to each candidate
	at := make([]score.Tick, n)
	for i := range list {
		at[i] = list[i].at
	}
	costly := min(w.Length, w.Broken, w.Odd, w.Two, w.Open) >= 0
	for j := 1; j < n; j++ {
		best[j] = math.Inf(-1)
		gain := list[j].gain + max(0, w.Cadence*list[j].closing)
		for i := j - 1; i >= max(j-mostPlaces, 0); i-- {
			length, bars := pos[j].beats-pos[i].beats, pos[j].bars-pos[i].bars
			if i < j-1 && w.tooLong(length, bars) {
				break
			}
			if costly && most[i]+gain <= best[j] {
				break
			}
			if w.Bars {
				length = bars
			}
			x := best[i] + w.odds(&list[j], at[i])
			if costly && x <= best[j] {
				continue
			}
			cost := w.measureCost(bars)
			if costly && x-cost <= best[j] {
				continue
			}
			long := w.lengthCost(length / usual)
			if x = x - long - cost - w.openCost(&list[j], at[i], bars); x > best[j] {
				best[j], from[j] = x, i
			}
			if costly && length > usual && most[i]+gain-long <= best[j] {
				break // what lasts longer costs more
			}
		}
		most[j] = max(most[j-1], best[j])
	}
	var ends []int
	for j := n - 1; j > 0; j = from[j] {
		ends = append(ends, j)
	}
	slices.Reverse(ends)
	return ends, best[n-1]
}

// tooLong reports whether no phrase lasts so many beats, and in measured music so many measures.
func (w Weights) tooLong(beats, bars float64) bool {
	return beats > longestPhrase && (!w.Bars || bars > longestBars)
}

// lengthCost grows with the square of the number of octaves between a phrase
// and the usual length.
func (w Weights) lengthCost(ratio float64) float64 {
	x := math.Log2(math.Max(ratio, 1.0/64))
	return w.Length * x * x
}

// measureCost is what a phrase costs that does not run in two, four or eight whole
// measures. In measured music one that is longer or shorter by an upbeat counts as the
// nearest number, and costs a little more. Common practice, no source.
func (w Weights) measureCost(bars float64) float64 {
	n := math.Round(bars)
	uneven := math.Abs(bars-n) > 0.01
	switch {
	case n == 2 && w.Bars:
		return w.Two
	case uneven && !w.Bars:
		return w.Broken
	case n == 2:
		return w.Two
	}
	cost := 0.0
	if uneven {
		cost = w.Broken
	}
	if n != 4 && n != 8 {
		cost += w.Odd
	}
	return cost
}

// openCost is what a phrase costs from start to the boundary that lasts up to two measures
// and ends without a close: it is heard with its neighbour. Of such ends in 28 movements of
// Mozart's sonatas one in seven is marked (Hentschel, Neuwirth & Rohrmeier 2021).
func (w Weights) openCost(b *boundary, start score.Tick, bars float64) float64 {
	if bars > 2.5 || b.closing >= clearClose && start < b.from {
		return 0
	}
	return w.Open
}

// why names what marks a boundary, after a cadence or without.
func (b boundary) why(cadence bool) string {
	var out []string
	switch {
	case cadence:
		out = append(out, "cadence")
	case b.closing >= 0.3:
		out = append(out, "closing harmony")
	}
	out = append(out, b.rest.words()...)
	if b.rest.ground {
		out = append(out, "the ground bass starts again")
	}
	slices.Sort(b.follows)
	out = append(out, b.follows...)
	if b.rest.echo {
		out = append(out, "the next passage comes back elsewhere")
	}
	if len(out) == 0 {
		return "usual length of a phrase"
	}
	return strings.Join(out, ", ")
}
