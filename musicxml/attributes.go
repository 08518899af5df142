package musicxml

import (
	"strings"

	"hairpin/score"
)

// transposition carries a written pitch to the sounding one.
type transposition struct {
	steps     int     // letters up
	semitones float64 // half tones up
}

// fifths is the transposition of a key: steps along the line of fifths, upward
// 7 half tones and 4 letters each.
func (t transposition) fifths() int { return 7*int(t.semitones) - 12*t.steps }

func (t transposition) apply(p score.Pitch) score.Pitch {
	if t == (transposition{}) {
		return p
	}
	sounding := p.MIDI() + t.semitones
	step := p.Step + t.steps
	q := score.Pitch{Step: mod(step, 7), Octave: p.Octave + (step-mod(step, 7))/7}
	q.Alter = sounding - q.MIDI()
	return q
}

func mod(a, n int) int {
	if a %= n; a < 0 {
		a += n
	}
	return a
}

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
		case "transpose":
			r.readTranspose(e)
		case "measure-style":
			if e.find("measure-repeat") != nil && e.find("measure-repeat").attr("type") != "stop" {
				r.warn("a sign to repeat the measure before; the measure was read as it is written out")
			}
		}
	}
	// A transposition in the same element is meant for its keys.
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

func (r *partReader) readTranspose(n *node) {
	semitones, ok := number(n.get("chromatic"))
	if !ok || semitones > 127 || semitones < -127 {
		r.fail("transposition of %s half tones", short(n.get("chromatic")))
		return
	}
	octaves := 0
	if s := n.get("octave-change"); s != "" {
		if octaves, ok = integer(s, -10, 10); !ok {
			r.fail("transposition of %s octaves", short(s))
			return
		}
	}
	steps, ok := integer(n.get("diatonic"), -70, 70)
	if sounds := 12.0 / 7 * float64(steps); !ok || semitones-sounds > 2 || sounds-semitones > 2 {
		steps = plainSteps(semitones)
	}
	t := transposition{steps + 7*octaves, semitones + 12*float64(octaves)}
	staff := r.number(n)
	if staff == 0 {
		clear(r.transpose)
	}
	r.transpose[staff] = t
}

// plainSteps is the number of letters in the plainest interval of so many half tones.
func plainSteps(semitones float64) int {
	if semitones < 0 {
		return -plainSteps(-semitones)
	}
	whole := int(semitones)
	return whole/12*7 + [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}[whole%12]
}

// transposed is the transposition of a staff, spelled so that its key keeps
// within seven signs.
func (r *partReader) transposed(staff int) transposition {
	t, ok := r.transpose[staff]
	if !ok {
		t = r.transpose[0]
	}
	if t == (transposition{}) {
		return t
	}
	key, ok := r.keys[staff]
	if !ok {
		key = r.keys[0]
	}
	switch sum := key.Written + t.fifths(); {
	case sum > 7:
		t.steps++
	case sum < -7:
		t.steps--
	}
	return t
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
		k.Fifths += r.transposed(k.Staff).fifths()
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
