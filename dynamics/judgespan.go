package dynamics

import (
	"fmt"
	"math"
	"sort"

	"hairpin/harmony"
	"hairpin/score"
)

// span judges one stretch.
func (j *judge) span(sp span) {
	b, e := j.beats[sp.first], j.beats[sp.last]
	v := Verdict{Start: b.at, End: e.end, Aspect: OverSpan, Tension: e.tension - b.tension}
	v.Level = j.levelChange(b.at, e.at)
	v.Kind = kindOf(v.Tension, v.Level)
	v.Size = size(v.Tension, v.Level)
	v.Harmony, v.Page = j.harmonyMove(b, e), j.pageMove(v)
	v.Certainty = j.certainty(v)
	v.Sentence = j.spanSentence(v)
	j.out = append(j.out, v)
}

// levelChange is the printed change between two moments. Where nothing changes
// right there, a change within the tolerance on either side counts.
func (j *judge) levelChange(from, to score.Tick) float64 {
	c := j.p.Whole
	d := c.At(to) - c.At(from)
	if math.Abs(d) >= levelMove {
		return d
	}
	best := d
	t1, t2 := Tolerance(j.s, from), Tolerance(j.s, to)
	for _, x := range [...]float64{c.At(to+t2) - c.At(from), c.At(to) - c.At(max(from-t1, 0))} {
		if math.Abs(x) > math.Abs(best) {
			best = x
		}
	}
	return best
}

func kindOf(tension, level float64) Kind {
	t, l := moves(tension, tensionMove), moves(level, levelMove)
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

func (j *judge) harmonyMove(b, e beat) string {
	verb := [...]string{"releases", "holds", "builds"}[1+moves(e.tension-b.tension, tensionMove)]
	text := fmt.Sprintf("%s, %.0f to %.0f", verb, b.tension, e.tension)
	if c := j.chordAt(e.at); c != nil {
		text += ", to " + c.Roman()
	}
	return text
}

func (j *judge) chordAt(t score.Tick) *harmony.Chord {
	chords := j.a.Chords
	i := sort.Search(len(chords), func(i int) bool { return chords[i].End > t })
	if i < len(chords) && chords[i].Start <= t {
		return &chords[i]
	}
	return nil
}

func (j *judge) pageMove(v Verdict) string {
	if !j.p.Marked {
		return "prints nothing"
	}
	from := LevelBefore(j.s, j.p.Whole, v)
	switch moves(v.Level, levelMove) {
	case 1:
		return "grows from " + Mark(from) + " to " + beyond(from, v.Level)
	case -1:
		return "falls from " + Mark(from) + " to " + beyond(from, v.Level)
	}
	return "stays " + Mark(from)
}

// LevelBefore is the printed level from which a verdict's change starts: the
// change may stand beside the stretch, within the tolerance that judges it.
func LevelBefore(s *score.Score, c Curve, v Verdict) float64 {
	best, off := c.At(v.Start), math.Inf(1)
	near := Tolerance(s, v.Start)
	for _, from := range [...]float64{c.At(v.Start), c.Before(v.Start), c.At(max(v.Start-near, 0))} {
		for _, to := range [...]float64{c.Before(v.End), c.At(v.End), c.At(v.End + near)} {
			if d := math.Abs(to - from - v.Level); d < off-0.1 {
				best, off = from, d
			}
		}
	}
	return best
}

// beyond names the level reached; inside one mark it says so.
func beyond(from, change float64) string {
	if m := Mark(from + change); m != Mark(from) {
		return m
	}
	if change > 0 {
		return "a little more"
	}
	return "a little less"
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

func margin(v Verdict) harmony.Certainty {
	t, l := math.Abs(v.Tension)/tensionMove, math.Abs(v.Level)/levelMove
	worst := 9.0
	for _, x := range [...]float64{t, l} {
		if x < 1 { // still: the margin is how far below the threshold it is
			x = 1 / max(x, 0.2)
		}
		worst = min(worst, x)
	}
	switch {
	case worst >= 2:
		return harmony.Sure
	case worst >= 1.3:
		return harmony.Likely
	}
	return harmony.Unsure
}

func (j *judge) pageCertainty(from, to score.Tick) harmony.Certainty {
	out := harmony.Sure
	c := j.p.Whole
	if len(c.Segments) == 0 {
		return harmony.Unsure
	}
	for i := c.find(from); i < len(c.Segments) && c.Segments[i].Start < to; i++ {
		out = min(out, c.Segments[i].Certainty)
	}
	return out
}

// spanSentence says it to a student.
func (j *judge) spanSentence(v Verdict) string {
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
		return place + " the harmony lets go, and the page " + v.Page + ": let the sound relax with it."
	case WorksAgainst:
		if v.Tension > 0 {
			return place + " " + chord + " and wants to go on, but the page " + v.Page + ": contrast intended? Then keep the line alive in the softer sound."
		}
		return place + " the harmony comes to rest, but the page " + v.Page + ": contrast intended? Then let the sound, not the chord, drive on."
	case Unshaped:
		if v.Tension > 0 {
			return place + " " + chord + ", and the page is silent about it: lean into it a little."
		}
		return place + " the harmony relaxes, and the page is silent about it: let the sound relax a little."
	case Independent:
		return place + " the page " + v.Page + " over harmony that stays as it is: the change is a matter of sound and line."
	}
	return place + " neither harmony nor page moves: keep it even, or shape the line by its melody."
}

// between names a stretch: "Measures 5–8:".
func between(s *score.Score, from, to score.Tick) string {
	a, b := s.At(from), s.At(max(to-1, from))
	if a.Number == b.Number {
		return "In measure " + a.Number + ","
	}
	return "In measures " + a.Number + "–" + b.Number + ","
}
