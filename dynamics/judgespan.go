package dynamics

import (
	"fmt"
	"math"
	"sort"

	"hairpin/harmony"
	"hairpin/score"
)

// span judges one stretch.
func (j *judge) span(sp span, m pageMove) {
	b, e := j.beats[sp.first], j.beats[sp.last]
	v := Verdict{Start: b.at, End: e.end, Aspect: OverSpan, Tension: j.change(b, e), Level: m.change(), From: m.from}
	v.Kind = kindOf(v.Tension, m.way())
	v.Harmony, v.Page = j.harmonyMove(b, e), j.pageText(m)
	if v.Swells = m.way() == 0 && math.Abs(m.swell()) >= levelMove; v.Swells {
		v.Page = swellText(m)
		if v.Kind == Calm {
			v.Kind, v.Level = Independent, m.swell()
		}
	}
	v.Size = size(v.Tension, v.Level)
	v.Certainty = j.certainty(v)
	switch swell := math.Abs(m.swell()); {
	case v.Swells:
		v.Certainty = min(v.Certainty, harmony.Likely)
	case m.way() != 0 && swell >= max(math.Abs(m.change()), levelMove): // most of what it does is undone
		v.Certainty = harmony.Unsure
	}
	v.Sentence = j.spanSentence(v, e.tension)
	j.out = append(j.out, v)
}

// swellText says how the page goes away and comes back.
func swellText(m pageMove) string {
	verb := "swells"
	if m.swell() < 0 {
		verb = "sinks"
	}
	return verb + " " + fromTo(m.from, m.peak-m.from) + " and comes back"
}

// kindOf compares tension with the way of the page: 1 up, 0 still, -1 down.
func kindOf(tension float64, l int) Kind {
	t := moves(tension, tensionMove)
	switch {
	case t == 0 && l == 0:
		return Calm
	case t == 0:
		return Independent
	case l == 0:
		return Unshaped
	case t == l:
		return Supports
	}
	return WorksAgainst
}

// moves is 1, 0 or -1: up, still, down.
func moves(change, threshold float64) int {
	switch {
	case change >= threshold:
		return 1
	case change <= -threshold:
		return -1
	}
	return 0
}

// harmonyMove says it in a row: "builds, 12 to 58, to V7", "holds, 9 to 8, on I".
func (j *judge) harmonyMove(b, e beat) string {
	way := moves(j.change(b, e), tensionMove)
	verb, onto := [...]string{"releases", "holds", "builds"}[1+way], ", to "
	at := max(e.end-1, e.at) // the chord that the sentence names, where two share the last beat
	if way == 0 {
		onto = ", on "
	}
	if j.waits(b, e) {
		verb, at = "waits", e.at
	}
	text := fmt.Sprintf("%s, %.0f to %.0f", verb, b.tension, e.tension)
	if c := j.chordAt(at); c != nil {
		text += onto + c.Roman()
	}
	return text
}

// change is how far tension goes from one beat to another. A fall onto a
// cadential six-four counts for nothing: fourth and sixth hang over the
// dominant as suspensions, and what was awaited before is awaited still
// (common practice; Aldwell & Schachter, Harmony and Voice Leading, on the
// cadential six-four; citation from memory).
func (j *judge) change(b, e beat) float64 {
	if j.waits(b, e) {
		return 0
	}
	return e.tension - b.tension
}

// waits reports whether tension falls only because a cadential six-four has come.
func (j *judge) waits(b, e beat) bool {
	return e.tension < b.tension && j.sixFour(e.at)
}

// sixFour reports whether a cadential six-four sounds at t.
func (j *judge) sixFour(t score.Tick) bool {
	c := j.chordAt(t)
	return c != nil && c.Numeral.Cadential
}

func (j *judge) chordAt(t score.Tick) *harmony.Chord {
	chords := j.a.Chords
	i := sort.Search(len(chords), func(i int) bool { return chords[i].End > t })
	if i < len(chords) && chords[i].Start <= t {
		return &chords[i]
	}
	return nil
}

func (j *judge) pageText(m pageMove) string {
	if !j.p.Marked {
		return "prints nothing"
	}
	by := ""
	if math.Abs(m.swell()) >= peakMove {
		by = ", by way of " + Mark(m.peak)
	}
	switch m.way() {
	case 1:
		return "grows " + fromTo(m.from, m.change()) + by
	case -1:
		return "falls " + fromTo(m.from, m.change()) + by
	}
	return "stays " + Mark(m.from)
}

// OneMark is a change from which the level reached is named by another mark.
const OneMark = 0.75

// fromTo names the levels at both ends; inside one mark it says so.
func fromTo(from, change float64) string {
	if m := Mark(from + change); m != Mark(from) && math.Abs(change) >= OneMark {
		return "from " + Mark(from) + " to " + m
	}
	return "a little from " + Mark(from)
}

// certainty is the weakest of: how sure the chords at both ends are, how far
// the movement exceeds its threshold, and how sure the printed level is.
func (j *judge) certainty(v Verdict) harmony.Certainty {
	out := j.pageCertainty(v.Start, v.End)
	for _, t := range [...]score.Tick{v.Start, max(v.End-1, v.Start)} {
		if c := j.chordAt(t); c != nil {
			out = min(out, c.Certainty)
		} else {
			out = harmony.Unsure
		}
	}
	return min(out, margin(v))
}

// margin is how far tension and level lie from the thresholds on their side of
// them: a movement above, stillness below.
func margin(v Verdict) harmony.Certainty {
	t, l := math.Abs(v.Tension)/tensionMove, math.Abs(v.Level)/levelMove
	if t < 1 {
		t = 1 / max(t, 0.2)
	}
	if l < 1 && (v.Kind == Unshaped || v.Kind == Calm) {
		l = 1 / max(l, 0.2)
	}
	switch worst := min(t, l); {
	case worst >= 2:
		return harmony.Sure
	case worst >= 1.3:
		return harmony.Likely
	}
	return harmony.Unsure
}

// pageCertainty is how sure the movement of the page is. A level may be a guess
// and yet surely stay: where nothing is printed, or nothing new between the two.
func (j *judge) pageCertainty(from, to score.Tick) harmony.Certainty {
	c := j.p.Whole
	if !j.p.Marked {
		return harmony.Sure
	}
	if len(c.Segments) == 0 {
		return harmony.Unsure
	}
	first := c.find(from)
	if g := c.Segments[first]; g.End >= to && g.From == g.To {
		return harmony.Sure
	}
	out := harmony.Sure
	for i := first; i < len(c.Segments) && c.Segments[i].Start < to; i++ {
		out = min(out, c.Segments[i].Certainty)
	}
	return out
}

// spanSentence says it to a student.
func (j *judge) spanSentence(v Verdict, end float64) string {
	place := between(j.s, v.Start, v.End)
	chord := "the harmony"
	if c := j.chordAt(max(v.End-1, v.Start)); c != nil && v.Tension > 0 {
		chord = "the harmony leads to " + c.Name() + " (" + c.Roman() + ")"
	}
	switch v.Kind {
	case Supports:
		if v.Tension > 0 {
			return place + " " + chord + ", and the page " + v.Page + ": let both grow together."
		}
		return place + " the harmony " + lets(end) + ", and the page " + v.Page + ": let the sound relax with it."
	case WorksAgainst:
		if v.Tension > 0 {
			return place + " " + chord + " and wants to go on, but the page " + v.Page + ": contrast intended? Then keep the line alive in the softer sound."
		}
		return place + " the harmony " + lets(end) + ", but the page " + v.Page + ": contrast intended? Then let the sound, not the chord, drive on."
	case Unshaped:
		if v.Swells && v.Tension > 0 {
			return place + " " + chord + ", and the page " + v.Page + " on the way: let the line arrive, not only the swell."
		}
		if v.Swells {
			return place + " the harmony " + lets(end) + ", and the page " + v.Page + " on the way: end softer than you began."
		}
		if v.Tension > 0 {
			return place + " " + chord + ", and the page is silent about it: lean into it a little."
		}
		return place + " the harmony " + lets(end) + ", and the page is silent about it: let the sound relax a little."
	case Independent:
		if j.sixFour(max(v.End-1, v.Start)) {
			return place + " the page " + v.Page + " into a cadential six-four, which still waits for its dominant: nothing is let go yet."
		}
		return place + " the page " + v.Page + " over harmony that stays as it is: the change is a matter of sound and line."
	}
	return place + " neither harmony nor page moves: keep it even, or shape the line by its melody."
}

// atRest is a tension below which nothing waits any more: a tonic, not in root
// position perhaps, without a dissonance. Our own choice.
const atRest = 25.0

// lets says how far a release goes: to rest, or only from more tension to less.
func lets(end float64) string {
	if end < atRest {
		return "comes to rest"
	}
	return "eases without coming to rest"
}

// between names a stretch: "Measures 5–8:".
func between(s *score.Score, from, to score.Tick) string {
	a, b := s.At(from), s.At(max(to-1, from))
	if a.Number == b.Number {
		return "In measure " + a.Number + ","
	}
	return "In measures " + a.Number + "–" + b.Number + ","
}
