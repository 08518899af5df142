package main

import (
	"fmt"

	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// mark is a close that an analyst marked.
type mark struct {
	at   score.Tick
	kind string
}

// kinds are the cadences compared.
var kinds = []string{"PAC", "IAC", "HC", "DC", "EC", "PC"}

// kindOf is the analysts' short name of a kind; a Phrygian half cadence is a half cadence.
func kindOf(k phrasing.CadenceKind) string {
	switch k {
	case phrasing.PerfectAuthentic:
		return "PAC"
	case phrasing.ImperfectAuthentic:
		return "IAC"
	case phrasing.Half, phrasing.Phrygian:
		return "HC"
	case phrasing.Deceptive:
		return "DC"
	case phrasing.Evaded:
		return "EC"
	}
	return "PC"
}

// agree reports whether a kind found is the kind marked.
func agree(found, marked string) bool {
	return found == marked
}

// printKinds counts the cadences found against those marked, kind by kind, in
// the pieces where kinds are marked, and the kinds found in place of others.
func printKinds(pieces []*piece, list bool) {
	found, marked, right, hit := map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}
	instead := map[string]map[string]int{}
	for _, p := range pieces {
		if !p.namesKinds() {
			continue
		}
		for _, c := range p.analysis.Cadences {
			kind := kindOf(c.Kind)
			found[kind]++
			m, ok := p.markNear(c.At)
			if ok && agree(kind, m.kind) {
				right[kind]++
			} else if list {
				fmt.Printf("  %-14s %s: found %s (%.2f, %s in %s), marked %s\n", p.name, p.score.At(c.At), c.Kind, c.Confidence, c.Why, c.Key.Name(), m.kind)
			}
		}
		for _, m := range p.marks {
			marked[m.kind]++
			c, _ := p.cadenceNear(m)
			if agree(c, m.kind) {
				hit[m.kind]++
			} else if list {
				fmt.Printf("  %-14s %s: marked %s, found %s\n", p.name, p.score.At(m.at), m.kind, c)
			}
			if instead[m.kind] == nil {
				instead[m.kind] = map[string]int{}
			}
			instead[m.kind][c]++
		}
	}
	for _, k := range kinds {
		fmt.Printf("  %-4s marked %3d found %3d  precision %.3f recall %.3f  found there %v\n", k, marked[k], found[k],
			share(right[k], found[k]), share(hit[k], marked[k]), instead[k])
	}
}

// namesKinds reports whether the kinds of the piece's cadences are marked.
func (p *piece) namesKinds() bool { return len(p.marks) > 0 && p.marks[0].kind != "END" }

// markNear is the mark within a quarter of t, the nearest.
func (p *piece) markNear(t score.Tick) (mark, bool) {
	best, near, ok := mark{kind: "none"}, p.score.Division+1, false
	for _, m := range p.marks {
		if d := max(m.at-t, t-m.at); d < near {
			best, near, ok = m, d, true
		}
	}
	return best, ok
}

// markIn is the mark within a quarter of the start of a chord or, since analysts mark
// the resolution where an appoggiatura stands over the last chord, inside it.
func (p *piece) markIn(start, end score.Tick) (mark, bool) {
	if m, ok := p.markNear(start); ok {
		return m, true
	}
	for _, m := range p.marks {
		if m.at >= start && m.at < end {
			return m, true
		}
	}
	return mark{kind: "none"}, false
}

// cadenceNear is the kind of the cadence found within a quarter of a mark, the
// right one if there are several, "none" if there is none.
func (p *piece) cadenceNear(m mark) (kind string, ok bool) {
	kind = "none"
	for _, c := range p.analysis.Cadences {
		if max(c.At-m.at, m.at-c.At) > p.score.Division {
			continue
		}
		if k := kindOf(c.Kind); !ok || agree(k, m.kind) {
			kind, ok = k, true
		}
	}
	return kind, ok
}
