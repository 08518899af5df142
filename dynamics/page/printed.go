package page

import (
	"math"
	"sort"

	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Printed reads the page: the level of every part and of the whole. Phrases
// (may be nil) say where a crescendo without an end stops.
func Printed(s *score.Score, phrases []phrasing.Phrase) *Page {
	p := &Page{Parts: make([]Curve, len(s.Parts))}
	if len(s.Measures) == 0 {
		return p
	}
	p.reprises = reprises(Fingerprints(s))
	marked := p.instruments(s, phrases)
	p.Marked = len(marked) > 0
	p.lend(s, marked)
	p.Whole = whole(s, p, marked)
	p.Accents = accents(s, p)
	p.Zones = zones(s)
	p.Range = rangeOf(p.Zones)
	p.ensemble(s, marked)
	p.echoes(s)
	p.Range.hold(p.Contrasts)
	sort.SliceStable(p.Inferences, func(i, j int) bool { return p.Inferences[i].At < p.Inferences[j].At })
	sort.SliceStable(p.Contrasts, func(i, j int) bool { return p.Contrasts[i].At < p.Contrasts[j].At })
	return p
}

// instruments resolves every instrument, those that are marked first before
// those that follow them, and gives the parts for which anything is printed.
func (p *Page) instruments(s *score.Score, phrases []phrasing.Phrase) []int {
	players := playersOf(s)
	p.system = systemMarks(players, len(s.Parts))
	var marked []int
	for i, pl := range players {
		p.instrument(s, phrases, pl, players[:i])
	}
	p.enter(s, phrases, players)
	for _, pl := range players {
		if len(pl.events) > 0 {
			marked = append(marked, pl.parts...)
		}
	}
	sort.Ints(marked)
	return marked
}

// instrument resolves one instrument; before are those marked earlier.
func (p *Page) instrument(s *score.Score, phrases []phrasing.Phrase, pl player, before []player) {
	l := p.lender(s, pl, before)
	inf, con := len(p.Inferences), len(p.Contrasts)
	shared := p.resolve(s, phrases, pl.parts[0], leader(pl.events), l)
	if events, more := recall(s, p.reprises, leader(pl.events), Curve{Part: pl.parts[0], Segments: shared}); more {
		p.Inferences, p.Contrasts = p.Inferences[:inf], p.Contrasts[:con]
		shared = p.resolve(s, phrases, pl.parts[0], events, l)
	}
	for _, part := range pl.parts {
		p.Parts[part] = Curve{Part: part, Segments: shared}
	}
	if divided(pl.events) {
		p.divide(s, phrases, pl, l)
	}
}

func (p *Page) resolve(s *score.Score, phrases []phrasing.Phrase, part int, events []event, l *lender) []Segment {
	r := resolver{s: s, phrases: phrases, part: part, lender: l, system: p.system[part], events: append([]event(nil), events...)}
	r.run()
	p.Inferences = append(p.Inferences, r.inferences...)
	p.Contrasts = append(p.Contrasts, r.contrasts...)
	return r.segments
}

// leader keeps, of marks that differ between staves at one moment, the louder.
func leader(events []event) []event {
	var out []event
	for _, e := range events {
		if n := len(out); n > 0 && e.act.kind == setLevel && out[n-1].act.kind == setLevel && out[n-1].at == e.at && e.act.pass == out[n-1].act.pass {
			if e.act.level > out[n-1].act.level {
				out[n-1] = e
			}
			continue
		}
		out = append(out, e)
	}
	return out
}

// divided reports whether staves of one instrument are ever marked differently at one moment.
func divided(events []event) bool {
	for i, e := range events {
		if e.act.kind != setLevel {
			continue
		}
		for _, o := range events[i+1:] {
			if o.at != e.at {
				break
			}
			if o.act.kind == setLevel && o.act.pass == e.act.pass && stream(o) != stream(e) && o.act.level != e.act.level {
				return true
			}
		}
	}
	return false
}

type staffID struct{ part, staff int }

func stream(e event) staffID { return staffID{e.part, e.staff} }

// divide adds a curve for each staff that has marks of its own.
func (p *Page) divide(s *score.Score, phrases []phrasing.Phrase, pl player, l *lender) {
	for _, part := range pl.parts {
		for staff := 1; staff <= max(s.Parts[part].Staves, 1); staff++ {
			id := staffID{part, staff}
			before := len(p.Inferences)
			c := Curve{Part: part, Staff: staff}
			cs := len(p.Contrasts)
			c.Segments = p.resolve(s, phrases, part, eventsFor(pl.events, id, s.Division), l)
			p.Inferences, p.Contrasts = p.Inferences[:before], p.Contrasts[:cs]
			p.Parts = append(p.Parts, c)
		}
	}
	p.Inferences = append(p.Inferences, Inference{0, pl.parts[0], Cause{Kind: StavesApart}, tonal.Likely})
}

// eventsFor keeps a staff's own events and those of the others that it does not answer itself.
func eventsFor(events []event, id staffID, near score.Tick) []event {
	own := func(e event) bool { return stream(e) == id || e.staff == 0 && e.part == id.part }
	var out []event
	for _, e := range events {
		taken := own(e)
		if !taken {
			taken = true
			for _, o := range events {
				if own(o) && o.act.kind == e.act.kind && o.at > e.at-near && o.at < e.at+near {
					taken = false
				}
			}
		}
		if taken {
			out = append(out, e)
		}
	}
	return out
}

// lend gives unmarked parts the level of their nearest marked neighbour.
func (p *Page) lend(s *score.Score, marked []int) {
	if len(marked) == 0 {
		return
	}
	has := map[int]bool{}
	for _, m := range marked {
		has[m] = true
	}
	for i := range s.Parts {
		if has[i] {
			continue
		}
		best := marked[0]
		for _, m := range marked {
			if abs(m-i) < abs(best-i) {
				best = m
			}
		}
		p.Parts[i].Segments = p.Parts[best].Segments
		p.Inferences = dropPart(p.Inferences, i)
		p.Inferences = append(p.Inferences, Inference{0, i, Cause{Kind: AsPart, Text: partName(s, best)}, tonal.Unsure})
	}
}

func dropPart(in []Inference, part int) []Inference {
	out := in[:0]
	for _, v := range in {
		if v.Part != part {
			out = append(out, v)
		}
	}
	return out
}

func partName(s *score.Score, i int) string {
	if n := s.Parts[i].Name; n != "" {
		return n
	}
	return s.Parts[i].ID
}

func abs(n int) int { return max(n, -n) }

// whole is the level of all marked parts that sound together: the mean of
// their powers. Between two turning points of any part it is taken as a line.
func whole(s *score.Score, p *Page, marked []int) Curve {
	out := Curve{Part: -1}
	distinct := distinctCurves(p, marked)
	if len(distinct) <= 1 {
		if len(p.Parts) > 0 {
			out.Segments = p.Parts[firstOf(marked)].Segments
		}
		return out
	}
	cuts := p.cuts(s, marked)
	sounds := sounding(s, cuts, len(s.Parts))
	for i := 0; i+1 < len(cuts); i++ {
		a, b := cuts[i], cuts[i+1]
		from, to, n := 0.0, 0.0, 0.0
		loud := -1
		for _, m := range marked {
			if !sounds[i][m] && anyOf(sounds[i], marked) {
				continue
			}
			x, y := p.Parts[m].At(a), p.Parts[m].Before(b)
			if loud < 0 || x > p.Parts[loud].At(a) {
				loud = m
			}
			from, to, n = from+math.Pow(stepRatio, x), to+math.Pow(stepRatio, y), n+1
		}
		g := p.Parts[loud].Segments[p.Parts[loud].Find(a)]
		g.Start, g.End, g.From, g.To = a, b, log(from/n), log(to/n)
		out.Segments = append(out.Segments, g)
	}
	return out
}

func firstOf(marked []int) int {
	if len(marked) > 0 {
		return marked[0]
	}
	return 0
}

func anyOf(sounds []bool, parts []int) bool {
	for _, p := range parts {
		if sounds[p] {
			return true
		}
	}
	return false
}

func distinctCurves(p *Page, marked []int) map[*Segment]bool {
	out := map[*Segment]bool{}
	for _, m := range marked {
		if len(p.Parts[m].Segments) > 0 {
			out[&p.Parts[m].Segments[0]] = true
		}
	}
	return out
}

// cuts are the turning points of all parts and the bar lines.
func (p *Page) cuts(s *score.Score, marked []int) []score.Tick {
	seen := map[score.Tick]bool{s.Length(): true}
	for _, m := range marked {
		for _, g := range p.Parts[m].Segments {
			seen[g.Start] = true
		}
	}
	for _, m := range s.Measures {
		seen[m.Start] = true
	}
	out := make([]score.Tick, 0, len(seen))
	for t := range seen {
		out = append(out, t)
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}

// sounding says for each stretch between cuts which parts have a note in it.
func sounding(s *score.Score, cuts []score.Tick, parts int) [][]bool {
	out := make([][]bool, len(cuts))
	for i := range out {
		out[i] = make([]bool, parts)
	}
	for _, n := range s.Notes {
		i := sort.Search(len(cuts), func(i int) bool { return cuts[i] > n.Onset }) - 1
		for i = max(i, 0); i < len(cuts) && cuts[i] < max(n.End(), n.Onset+1); i++ {
			out[i][n.Part] = true
		}
	}
	return out
}

// zones are the reaches of printed level marks of the whole page.
func zones(s *score.Score) []Zone {
	out := []Zone{{Start: 0, End: s.Length(), Level: MF}}
	for _, e := range leader(gather(s, func(int) bool { return true })) {
		if e.act.kind != setLevel || e.act.pass == 2 {
			continue
		}
		z := Zone{e.at, s.Length(), e.act.text, e.act.level}
		last := &out[len(out)-1]
		if last.Start == e.at {
			*last = z
			continue
		}
		last.End = e.at
		out = append(out, z)
	}
	return out
}
