package page

import (
	"sort"

	"hairpin/score"
)

// accents lists what the page lifts out of the running level, one a moment and part.
func accents(s *score.Score, p *Page) []Accent {
	type key struct {
		at   score.Tick
		part int
	}
	best := map[key]Accent{}
	add := func(a Accent) {
		k := key{a.At, a.Part}
		if old, ok := best[k]; !ok || a.Size > old.Size {
			best[k] = a
		}
	}
	for _, e := range gather(s, func(int) bool { return true }) {
		if e.act.kind != accent {
			continue
		}
		size := e.act.steps
		if e.act.level > 0 {
			size = max(e.act.level-p.Parts[e.part].Before(e.at), sfSize)
		}
		add(Accent{e.at, e.part, e.staff, size, e.act.text, e.onNote})
	}
	for _, n := range s.Notes {
		if size, sign := NoteAccent(n.Signs); size > 0 && !n.Hidden {
			add(Accent{n.Onset, n.Part, n.Staff, size, sign, true})
		}
	}
	out := make([]Accent, 0, len(best))
	for _, a := range best {
		out = append(out, a)
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i].At != out[j].At {
			return out[i].At < out[j].At
		}
		return out[i].Part < out[j].Part
	})
	return out
}

// NoteAccent is the size in steps and the sign of the accent printed on a note; 0 if there is none.
func NoteAccent(s score.Sign) (float64, string) {
	switch {
	case s.Has(score.StrongAccent):
		return marcato, "^"
	case s.Has(score.Accent):
		return accentSize, ">"
	case s.Has(score.Stress):
		return accentSize, "stress"
	case s.Has(score.SoftAccent):
		return softAccent, "soft accent"
	}
	return 0, ""
}
