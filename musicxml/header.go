package musicxml

import (
	"strings"

	"hairpin/score"
)

// header reads titles, names and the part list.
func (b *builder) header(root *node) {
	b.s.Title = title(root)
	b.s.Composer = composer(root)
	listed := map[string]*node{}
	if list := root.find("part-list"); list != nil {
		for c := list.child; c != nil; c = c.next {
			if c.name == "score-part" {
				listed[c.attr("id")] = c
			}
		}
	}
	b.s.Parts = make([]score.Part, len(b.sheet.parts))
	seen := map[string]bool{}
	for i, p := range b.sheet.parts {
		b.s.Parts[i] = score.Part{ID: oneLine(p.id), Name: partName(listed[p.id]), Staves: 1}
		switch {
		case listed[p.id] == nil:
			b.warn(Where{Part: p.id}, "the part is not in the part list")
		case seen[p.id]:
			b.warn(Where{Part: p.id}, "a second part of the same name was read as a part of its own")
		}
		seen[p.id] = true
	}
}

func title(root *node) string {
	work, movement := "", collapse(root.get("movement-title"))
	if w := root.find("work"); w != nil {
		work = collapse(w.get("work-title"))
	}
	switch {
	case movement == "" || strings.Contains(work, movement):
		return work
	case work == "" || strings.Contains(movement, work):
		return movement
	}
	return work + ": " + movement
}

func composer(root *node) string {
	id := root.find("identification")
	if id == nil {
		return ""
	}
	any := ""
	for c := id.child; c != nil; c = c.next {
		if c.name != "creator" {
			continue
		}
		switch kind := strings.ToLower(c.attr("type")); {
		case kind == "composer":
			return collapse(c.text)
		case kind == "" && any == "":
			any = collapse(c.text)
		}
	}
	return any
}

func partName(n *node) string {
	if n == nil {
		return ""
	}
	if name := collapse(n.get("part-name")); name != "" {
		return name
	}
	if i := n.find("score-instrument"); i != nil {
		if name := collapse(i.get("instrument-name")); name != "" {
			return name
		}
	}
	return collapse(n.get("part-abbreviation"))
}

// collapse trims a text and turns every run of white space into one blank.
func collapse(s string) string { return strings.Join(strings.Fields(s), " ") }
