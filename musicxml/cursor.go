package musicxml

import (
	"fmt"

	"hairpin/score"
)

// cursor is the place in a measure that the document's order stands for: notes
// and forwards move it on, backups move it back. Its times count from the
// start of the measure.
type cursor struct {
	division score.Tick // ticks in a quarter note
	most     score.Tick // longest measure that is read
	num, den int64      // ticks in one division
	where    Where
	odd      func(text string) // told what is irregular; may be nil
	err      error             // the first value that could not be read

	pos   score.Tick // where the next note starts
	reach score.Tick // the furthest point so far
	last  score.Tick // onset of the last note that was not a chord member
	first bool       // no note yet in this measure
	left  bool       // the cursor was set elsewhere since that note
}

func newCursor(division score.Tick, limits Limits) cursor {
	return cursor{division: division, most: division * score.Tick(limits.Length), num: int64(division), den: 1}
}

// enter starts a measure.
func (c *cursor) enter() { c.pos, c.reach, c.last, c.first, c.left = 0, 0, 0, true, false }

// warn tells what is irregular and how it was read.
func (c *cursor) warn(format string, args ...any) {
	if c.odd != nil {
		c.odd(fmt.Sprintf(format, args...))
	}
}

// fail keeps the first error.
func (c *cursor) fail(format string, args ...any) {
	if c.err == nil {
		c.err = &MalformedError{Where: c.where, Text: fmt.Sprintf(format, args...)}
	}
}

// divisions takes a new number of divisions of the quarter note.
func (c *cursor) divisions(s string, most int64) {
	num, den, ok := decimal(s)
	if !ok || num <= 0 {
		c.fail("divisions of %s", short(s))
		return
	}
	if num/den > most {
		c.err = &UnsupportedError{Where: c.where, Text: fmt.Sprintf("more than %d divisions of a quarter note", most), Limit: "divisions"}
		return
	}
	c.num, c.den = int64(c.division)*den, num
	g := gcd(c.num, c.den)
	c.num, c.den = c.num/g, c.den/g
}

// ticks turns a duration in divisions into ticks.
func (c *cursor) ticks(what, s string) score.Tick {
	num, den, ok := decimal(s)
	if !ok || num/den > 1e9 || num/den < -1e9 {
		c.fail("%s of %s", what, short(s))
		return 0
	}
	t, ok := scale(num, c.num, den*c.den)
	if !ok {
		c.fail("%s of %s", what, short(s))
	}
	return score.Tick(t)
}

// duration is ticks for a value that cannot be negative.
func (c *cursor) duration(what, s string) score.Tick {
	t := c.ticks(what, s)
	if t < 0 {
		c.fail("%s of %s", what, short(s))
		return 0
	}
	return t
}

// pass moves the cursor over one element of a measure, with divisions up to most.
func (c *cursor) pass(e *node, most int64) {
	switch e.name {
	case "note":
		c.note(e)
	case "backup":
		c.backup(e)
	case "forward":
		c.forward(e)
	case "attributes":
		if d := e.find("divisions"); d != nil {
			c.divisions(d.text, most)
		}
	}
}

// noteTime is what a note element says about time.
type noteTime struct {
	onset, duration score.Tick
	grace, chord    bool
}

// note moves the cursor over a note element.
func (c *cursor) note(n *node) (t noteTime) {
	timed := false
scan:
	for e := n.child; e != nil; e = e.next {
		switch e.name {
		case "grace":
			t.grace = true
		case "chord":
			t.chord = true
		case "duration":
			t.duration, timed = c.duration("a note with a duration", e.text), true
			break scan
		case "notations":
			break scan
		}
	}
	if t.grace {
		t.duration = 0
	} else if !timed {
		t.duration = c.typeDuration(n)
		c.warn("a note without a duration was read by its printed value")
	}
	if t.chord && c.first {
		t.chord = false
		c.warn("a chord without a first note was read as a note of its own")
	}
	c.first = false
	if t.chord && c.left {
		c.warn("a chord is torn apart by a backup or forward; its notes were read together")
	}
	c.left = false
	if t.chord {
		t.onset = c.last
		c.arrive(t.onset + t.duration)
		return t
	}
	t.onset = c.pos
	c.last = c.pos
	c.move(t.duration)
	return t
}

func (c *cursor) move(d score.Tick) {
	c.arrive(c.pos + d)
	c.pos = min(c.pos+d, c.most)
}

// arrive notes that the measure reaches t.
func (c *cursor) arrive(t score.Tick) {
	if t > c.most && c.err == nil {
		c.err = &UnsupportedError{Where: c.where, Text: fmt.Sprintf("the measure is longer than %d quarter notes", c.most/c.division), Limit: "length"}
	}
	c.reach = max(c.reach, min(t, c.most))
}

func (c *cursor) forward(n *node) {
	c.left = true
	c.move(c.duration("a forward", n.get("duration")))
}

func (c *cursor) backup(n *node) {
	c.left = true
	c.pos -= c.duration("a backup", n.get("duration"))
	if c.pos < 0 {
		c.warn("a backup past the start of the measure was read as back to its start")
		c.pos = 0
	}
}

// typeDuration is the length of a note by its printed value.
func (c *cursor) typeDuration(n *node) score.Tick {
	num, den, ok := noteType(n.get("type"))
	if !ok {
		return 0
	}
	num *= int64(c.division)
	length, part := num, num
	for e := n.child; e != nil; e = e.next {
		if e.name == "dot" {
			part /= 2
			length += part
		}
	}
	if m := n.find("time-modification"); m != nil {
		actual, ok1 := integer(m.get("actual-notes"), 1, 1000)
		normal, ok2 := integer(m.get("normal-notes"), 1, 1000)
		if ok1 && ok2 {
			length, den = length*int64(normal), den*int64(actual)
		}
	}
	return score.Tick(divRound(length, den))
}

// noteType is a printed value in quarter notes, as a fraction.
func noteType(name string) (num, den int64, ok bool) {
	switch name {
	case "maxima":
		return 32, 1, true
	case "long":
		return 16, 1, true
	case "breve":
		return 8, 1, true
	case "whole":
		return 4, 1, true
	case "half":
		return 2, 1, true
	case "quarter":
		return 1, 1, true
	case "eighth":
		return 1, 2, true
	}
	var n int64 // "16th" to "1024th"
	if _, err := fmt.Sscanf(name, "%dth", &n); err != nil {
		if _, err = fmt.Sscanf(name, "%dnd", &n); err != nil {
			return 0, 0, false
		}
	}
	if n < 16 || n > 1024 || n&(n-1) != 0 {
		return 0, 0, false
	}
	return 1, n / 4, true
}
