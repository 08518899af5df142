package musicxml

import (
	"strings"

	"hairpin/score"
)

func (r *partReader) readAttributes(n *node) {
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "divisions":
			if e != n.find("divisions") {
				r.warn("divisions are given twice; the first count")
				continue
			}
			r.divisions(e.text, r.b.limits.Divisions)
		case "staves":
			if i, ok := integer(e.text, 1, 99); ok {
				r.staves = max(r.staves, i)
			} else {
				r.fail("staves of %s", short(e.text))
			}
		case "measure-style":
			r.readStyle(e)
		}
	}
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "key":
			r.readKey(e)
		case "time":
			r.readTime(e)
		}
	}
	if n.find("transpose") != nil && n.find("key") == nil {
		r.restateKeys()
	}
}

// readStyle warns of signs that stand for music elsewhere.
func (r *partReader) readStyle(n *node) {
	for _, sign := range [...]struct{ name, what string }{{"measure-repeat", "measure"}, {"beat-repeat", "beat"}} {
		if e := n.find(sign.name); e != nil && e.attr("type") != "stop" {
			r.warn("a sign to repeat the %s before; it was read as it is written out", sign.what)
		}
	}
}

// number is the staff that an attribute is for: 0 for all.
func (r *partReader) number(n *node) int {
	s := n.attr("number")
	if s == "" {
		return 0
	}
	i, ok := integer(s, 1, 99)
	if !ok {
		r.warn("<%s> for staff %s was read as for all staves", n.name, short(s))
	}
	return i
}

func (r *partReader) readKey(n *node) {
	staff := r.number(n)
	k := score.KeyMark{
		Place: score.Place{At: r.now(), Part: r.part, Staff: staff},
		Mode:  strings.ToLower(n.get("mode")),
	}
	if f := n.find("fifths"); f != nil {
		fifths, ok := integer(f.text, -28, 28)
		if !ok {
			r.fail("a key of %s fifths", short(f.text))
			return
		}
		k.Written = fifths
	} else if k.NonStandard = keySteps(n); k.NonStandard == "" {
		r.warn("a key signature without content was read as one without signs")
	}
	if staff == 0 {
		clear(r.keys)
	}
	r.keys[staff] = k
	r.addKey(k)
}

// addKey states a key at concert pitch.
func (r *partReader) addKey(k score.KeyMark) {
	k.Fifths = k.Written
	if k.NonStandard == "" {
		k.Fifths += r.transposed(k.Staff, k.At-r.start).fifths()
	}
	r.s.Keys = append(r.s.Keys, k)
}

// restateKeys gives the keys in force anew after a transposition changed.
func (r *partReader) restateKeys() {
	for staff := 0; staff <= r.staves; staff++ {
		if k, ok := r.keys[staff]; ok && k.NonStandard == "" {
			k.At = r.now()
			r.addKey(k)
		}
	}
}

// keySteps names the signs of a non-traditional key: "F# Bb".
func keySteps(n *node) string {
	var signs []string
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "key-step":
			signs = append(signs, trim(e.text))
		case "key-alter":
			if a, ok := number(e.text); ok && len(signs) > 0 {
				signs[len(signs)-1] += alterSign(a)
			}
		}
	}
	return oneLine(strings.Join(signs, " "))
}

// alterSign spells an alteration: "#", "bb"; a microtone as a number, "+0.5".
func alterSign(a float64) string {
	n := int(a)
	switch {
	case float64(n) != a || n > 9 || n < -9:
		return formatAlter(a)
	case n < 0:
		return strings.Repeat("b", -n)
	}
	return strings.Repeat("#", n)
}
