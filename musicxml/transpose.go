package musicxml

import (
	"cmp"
	"slices"

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

// transposing is a transposition from a moment of the measure on.
type transposing struct {
	at    score.Tick // from the start of the measure
	order int        // among those of the measure
	transposition
}

func (t transposing) before(u transposing) int {
	return cmp.Or(cmp.Compare(t.at, u.at), cmp.Compare(t.order, u.order))
}

// readTranspositions finds the transpositions of a measure, in the order of
// time: a player who changes the instrument does so in every voice, wherever
// the document writes the change.
func (r *partReader) readTranspositions(measure *node) {
	r.leaveTranspositions()
	if !transposes(measure) {
		return
	}
	c, order := r.cursor, 0
	c.odd = nil
	for e := measure.child; e != nil; e = e.next {
		c.pass(e, r.b.limits.Divisions)
		if e.name != "attributes" {
			continue
		}
		for t := e.child; t != nil; t = t.next {
			if t.name == "transpose" {
				r.readTranspose(t, c.pos, order)
				order++
			}
		}
	}
	for _, list := range r.transpositions {
		slices.SortFunc(list, transposing.before)
	}
}

// leaveTranspositions keeps what is in force at the end of a measure.
func (r *partReader) leaveTranspositions() {
	all, whole := r.transpositions[0], len(r.transpositions[0]) > 0
	if whole {
		clear(r.transpose)
		r.transpose[0] = all[len(all)-1].transposition
	}
	for staff, list := range r.transpositions {
		last := list[len(list)-1]
		if staff > 0 && (!whole || all[len(all)-1].before(last) < 0) {
			r.transpose[staff] = last.transposition
		}
	}
	clear(r.transpositions)
}

// lastTransposing is the latest transposition of a staff up to a moment of the measure.
func (r *partReader) lastTransposing(staff int, at score.Tick) (last transposing, ok bool) {
	for _, s := range [...]int{0, staff} {
		list := r.transpositions[s]
		i, _ := slices.BinarySearchFunc(list, at, func(t transposing, at score.Tick) int {
			if t.at <= at {
				return -1
			}
			return 1
		})
		if i > 0 && (!ok || last.before(list[i-1]) < 0) {
			last, ok = list[i-1], true
		}
	}
	return last, ok
}

func transposes(measure *node) bool {
	for e := measure.child; e != nil; e = e.next {
		if e.name == "attributes" && e.find("transpose") != nil {
			return true
		}
	}
	return false
}

func (r *partReader) readTranspose(n *node, at score.Tick, order int) {
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
	r.transpositions[staff] = append(r.transpositions[staff], transposing{at, order, t})
}

// plainSteps is the number of letters in the plainest interval of so many half tones.
func plainSteps(semitones float64) int {
	if semitones < 0 {
		return -plainSteps(-semitones)
	}
	whole := int(semitones)
	return whole/12*7 + [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}[whole%12]
}

// transposed is the transposition of a staff at a moment of the measure,
// spelled so that its key keeps within seven signs.
func (r *partReader) transposed(staff int, at score.Tick) transposition {
	t, ok := r.transpose[staff]
	if !ok {
		t = r.transpose[0]
	}
	if c, ok := r.lastTransposing(staff, at); ok {
		t = c.transposition
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
