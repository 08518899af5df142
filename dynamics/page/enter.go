package page

import (
	"sort"

	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// systemMarks gives for every part the level marks of the other instruments.
func systemMarks(players []player, parts int) [][]event {
	out := make([][]event, parts)
	for i, pl := range players {
		var others []event
		for k, o := range players {
			for _, e := range o.events {
				if k != i && e.act.kind == setLevel && e.act.pass != 2 {
					others = append(others, e)
				}
			}
		}
		sort.SliceStable(others, func(a, b int) bool { return others[a].at < others[b].at })
		for _, part := range pl.parts {
			out[part] = others
		}
	}
	return out
}

// rest is a stretch in which an instrument does not play.
type rest struct{ start, end score.Tick }

// enter reads once more the instruments that come in after a rest without a
// mark, while others have been given one: they take what their neighbours have
// (common practice).
func (p *Page) enter(s *score.Score, phrases []phrasing.Phrase, players []player) {
	if len(players) < 2 {
		return
	}
	added := make([][]event, len(players))
	for i, pl := range players {
		for _, r := range restsOf(s, pl.parts) {
			if e, ok := p.entry(s, pl, r); ok {
				added[i] = append(added[i], e)
			}
		}
	}
	for i, more := range added {
		if len(more) == 0 || len(players[i].events) == 0 {
			continue
		}
		pl := players[i]
		pl.events = append(append([]event(nil), pl.events...), more...)
		sort.SliceStable(pl.events, func(a, b int) bool { return before(pl.events[a], pl.events[b]) })
		p.Inferences = dropPart(p.Inferences, pl.parts[0])
		p.dropContrasts(pl.parts[0])
		p.instrument(s, phrases, pl, players[:i])
	}
}

func (p *Page) dropContrasts(part int) {
	out := p.Contrasts[:0]
	for _, c := range p.Contrasts {
		if c.Part != part {
			out = append(out, c)
		}
	}
	p.Contrasts = out
}

// restsOf are the stretches of a measure or more in which none of the parts
// plays, between notes that they play.
func restsOf(s *score.Score, parts []int) []rest {
	var out []rest
	end := score.Tick(-1)
	for _, n := range s.Notes { // in order of onset
		if n.Part < parts[0] || n.Part > parts[len(parts)-1] {
			continue
		}
		if end >= 0 && n.Onset-end >= s.Measures[s.MeasureAt(end)].Length {
			out = append(out, rest{end, n.Onset})
		}
		end = max(end, n.End())
	}
	return out
}

// entry is the level that an instrument takes from its neighbours after a rest;
// false if it has a mark of its own by then, or nobody else has got one.
func (p *Page) entry(s *score.Score, pl player, r rest) (event, bool) {
	for _, e := range pl.events {
		if e.act.kind == setLevel && e.at >= r.start && e.at <= r.end+s.BeatAt(r.end) {
			return event{}, false
		}
	}
	var best event
	found := false
	for _, e := range p.system[pl.parts[0]] {
		if e.at <= r.start || e.at > r.end {
			continue
		}
		if !found || abs(e.part-pl.parts[0]) <= abs(best.part-pl.parts[0]) {
			best, found = e, true
		}
	}
	if !found {
		return event{}, false
	}
	c := p.Parts[best.part]
	g := c.Segments[c.Find(r.end)].between(r.end, r.end)
	level := action{kind: setLevel, level: g.From, text: partName(s, best.part), from: AsPart, as: g.FromMark}
	return event{at: r.end, part: pl.parts[0], recalled: true, act: level}, true
}
