package verdict

import (
	"math"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// span judges one stretch.
func (j *judge) span(sp span, m pageMove) {
	b, e := j.beats[sp.first], j.beats[sp.last]
	v := Verdict{Start: b.at, End: e.end, Aspect: OverSpan, Tension: j.change(b, e), Level: m.change(), From: m.from}
	v.Kind = kindOf(v.Tension, m.way())
	v.Harmony, v.Page, v.SixFour = j.harmonyMove(b, e), m.plain(), j.sixFour(max(e.end-1, b.at))
	if v.Swells = m.way() == Still && math.Abs(m.swell()) >= page.LevelMove; v.Swells && v.Kind == Calm {
		v.Kind, v.Level = Independent, m.swell()
	}
	v.Size = size(v.Tension, v.Level)
	v.Certainty = j.certainty(v)
	switch swell := math.Abs(m.swell()); {
	case v.Swells:
		v.Certainty = min(v.Certainty, tonal.Likely)
	case m.way() != Still && swell >= max(math.Abs(m.change()), page.LevelMove): // most of what it does is undone
		v.Certainty = tonal.Unsure
	}
	j.out = append(j.out, v)
}

// kindOf compares the ways of tension and page.
func kindOf(tension float64, page Way) Kind {
	switch t := moves(tension, tensionMove); {
	case t == Still && page == Still:
		return Calm
	case t == Still:
		return Independent
	case page == Still:
		return Unshaped
	case t == page:
		return Supports
	}
	return WorksAgainst
}

// moves is the way of a change that reaches the threshold.
func moves(change, threshold float64) Way {
	switch {
	case change >= threshold:
		return Up
	case change <= -threshold:
		return Down
	}
	return Still
}

// harmonyMove is what the harmony does from one beat to another.
func (j *judge) harmonyMove(b, e beat) HarmonyMove {
	out := HarmonyMove{From: b.tension, To: e.tension, End: e.end, Way: moves(j.change(b, e), tensionMove), Waits: j.waits(b, e)}
	at := max(e.end-1, e.at) // the later chord, where two share the last beat
	if out.Waits {
		at = e.at
	}
	out.Onto = j.chordAt(at)
	return out
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

func (j *judge) chordAt(t score.Tick) *tonal.Chord {
	chords := j.a.Chords
	i := sort.Search(len(chords), func(i int) bool { return chords[i].End > t })
	if i < len(chords) && chords[i].Start <= t {
		return &chords[i]
	}
	return nil
}

// certainty is the weakest of: how sure the chords at both ends are, how far
// the movement exceeds its threshold, and how sure the printed level is.
func (j *judge) certainty(v Verdict) tonal.Certainty {
	out := j.pageCertainty(v.Start, v.End)
	for _, t := range [...]score.Tick{v.Start, max(v.End-1, v.Start)} {
		if c := j.chordAt(t); c != nil {
			out = min(out, c.Certainty)
		} else {
			out = tonal.Unsure
		}
	}
	return min(out, margin(v))
}

// margin is how far tension and level lie from the thresholds on their side of
// them: a movement above, stillness below.
func margin(v Verdict) tonal.Certainty {
	t, l := math.Abs(v.Tension)/tensionMove, math.Abs(v.Level)/page.LevelMove
	if t < 1 {
		t = 1 / max(t, 0.2)
	}
	if l < 1 && (v.Kind == Unshaped || v.Kind == Calm) {
		l = 1 / max(l, 0.2)
	}
	switch worst := min(t, l); {
	case worst >= 2:
		return tonal.Sure
	case worst >= 1.3:
		return tonal.Likely
	}
	return tonal.Unsure
}

// pageCertainty is how sure the movement of the page is. A level may be a guess
// and yet surely stay: where nothing is printed, or nothing new between the two.
func (j *judge) pageCertainty(from, to score.Tick) tonal.Certainty {
	c := j.p.Whole
	if !j.p.Marked {
		return tonal.Sure
	}
	if len(c.Segments) == 0 {
		return tonal.Unsure
	}
	first := c.Find(from)
	if g := c.Segments[first]; g.End >= to && g.From == g.To {
		return tonal.Sure
	}
	out := tonal.Sure
	for i := first; i < len(c.Segments) && c.Segments[i].Start < to; i++ {
		out = min(out, c.Segments[i].Certainty)
	}
	return out
}
