package musicxml

import (
	"slices"
	"strings"

	"hairpin/score"
)

// jumpMark is a sign or word that sends the player elsewhere.
type jumpMark struct {
	at      score.Tick
	measure int
	kind    string
	label   string
}

// soundJumps reads the jumps of a sound element.
func soundJumps(n *node, m jumpMark) (list []jumpMark) {
	for _, kind := range []string{"dacapo", "dalsegno", "segno", "coda", "tocoda", "fine"} {
		if v := n.attr(kind); v != "" && v != "no" {
			m.kind, m.label = kind, oneLine(v)
			list = append(list, m)
		}
	}
	return list
}

// mergeJumps adds the jumps of a sound to those of the direction it belongs
// to, where the same jump may be printed as a sign or in words.
func mergeJumps(printed, played []jumpMark) []jumpMark {
	for _, j := range played {
		i := slices.IndexFunc(printed, func(p jumpMark) bool { return p.kind == j.kind })
		if i < 0 {
			printed = append(printed, j)
		} else if printed[i].label == "" {
			printed[i].label = j.label
		}
	}
	return printed
}

// jumpWords tells which jump a text asks for, "" if none. What stands behind
// "D.C." and "D.S." with their full stops is how to play on: al Fine, senza rep.
func jumpWords(s string) string {
	dotted := strings.ToLower(strings.ReplaceAll(s, " ", ""))
	t := strings.ReplaceAll(dotted, ".", "")
	sends := func(short, long string) bool {
		return t == short || strings.HasPrefix(t, short+"al") || strings.HasPrefix(t, long) ||
			strings.HasPrefix(dotted, short[:1]+"."+short[1:]+".")
	}
	switch {
	case sends("dc", "dacapo"):
		return "dacapo"
	case sends("ds", "dalsegno"):
		return "dalsegno"
	case t == "tocoda", t == "allacoda", t == "alcoda":
		return "tocoda"
	case t == "fine":
		return "fine"
	}
	return ""
}

// jumpSet gathers the jumps of all parts, each once.
type jumpSet struct {
	list []jumpMark
	seen map[jumpKey]bool
}

type jumpKey struct {
	at   score.Tick
	kind string
}

func (s *jumpSet) add(list []jumpMark) {
	if s.seen == nil {
		s.seen = map[jumpKey]bool{}
	}
	for _, j := range list {
		if k := (jumpKey{j.at, j.kind}); !s.seen[k] {
			s.seen[k] = true
			s.list = append(s.list, j)
		}
	}
}
