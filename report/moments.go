package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hairpin/dynamics/page"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Moment names what a moment of the page asks of a player.
type Moment string

// The moments.
const (
	Hold   Moment = "fermata"
	Sudden Moment = "sudden change"
)

// The weights of moments among what there is to try, beside those of events and
// disagreements: our own.
const (
	holdWeight   = 0.5
	suddenWeight = 0.45
)

// leastSwitch is the least sudden change worth a word, in steps: from mf to p.
const leastSwitch = 1.75

// holds are the fermatas inside the piece, one a measure. Where most phrases end
// with one, as in a chorale, they are breaths and no holds.
func (r *Reading) holds() []score.Tick {
	last := r.Score.Length()
	if n := len(r.Score.Measures); n > 0 {
		last = r.Score.Measures[n-1].Start
	}
	var out []score.Tick
	for _, f := range r.Score.Fermatas {
		if f.At < last && r.Shows(f.At, f.At+1) && !r.atFine(f.At) && !slices.ContainsFunc(out, func(t score.Tick) bool { return r.sameMeasure(t, f.At) }) {
			out = append(out, f.At)
		}
	}
	slices.Sort(out)
	if 2*len(out) > len(r.Harmony.Phrases) && len(out) > 2 || r.breathed() {
		return nil
	}
	return out
}

// atFine reports whether a moment lies in the last measure of a dance that is taken again after
// its trio: a fermata there marks the end of all (common practice, no source).
func (r *Reading) atFine(t score.Tick) bool {
	f := r.Harmony.Form
	if !daCapo(f) {
		return false
	}
	i := slices.IndexFunc(f.Sections, func(s form.Section) bool { return s.Name == form.Trio })
	return i > 0 && t < f.Sections[i].Start && t >= f.Sections[i].Start-r.measureAt(max(f.Sections[i].Start-1, 0))
}

// breathed reports whether two phrases in three end under a fermata, the last with them:
// the signs of a hymn, which mark its lines.
func (r *Reading) breathed() bool {
	list, ends := r.Harmony.Phrases, 0
	under := func(p phrasing.Phrase) bool {
		from := r.Score.Measures[r.Score.MeasureAt(max(p.End-1, p.Start))].Start
		return slices.ContainsFunc(r.Score.Fermatas, func(f score.Fermata) bool { return f.At >= from && f.At < p.End })
	}
	for _, p := range list {
		if under(p) {
			ends++
		}
	}
	return len(list) > 1 && 3*ends >= 2*len(list) && under(list[len(list)-1])
}

// holding asks to wait on a fermata, and says on what.
func (r *Reading) holding() []candidate {
	list := r.holds()
	if len(list) == 0 {
		return nil
	}
	t := list[0]
	for _, x := range list { // one on a waiting dominant says most
		if r.onDominant(x) {
			t = x
			break
		}
	}
	text := "The fermata " + r.at(t) + ": wait until the sound has done its work, and take up the tempo only after it"
	if r.onDominant(t) {
		text = "The fermata " + r.at(t) + " stands on the dominant: wait, let the question hang, and do not give the answer away"
	}
	var rest []string
	for _, x := range list {
		if x != t && len(rest) < 3 && r.onDominant(x) == r.onDominant(t) {
			rest = append(rest, r.at(x))
		}
	}
	if len(rest) > 0 {
		text += ". The same " + join(rest)
	}
	s := Suggestion{At: r.At(t), Onset: r.quarters(t), End: r.quarters(t + r.Score.BeatAt(t)), Measures: r.Span(t, t+1), Moment: Hold, Certainty: tonal.Sure.String(), Text: text + "."}
	return []candidate{{Suggestion: s, start: t, end: t + r.Score.BeatAt(t), weight: holdWeight}}
}

// onDominant reports whether the key's dominant sounds at a moment, and no full close has just
// been made on its root: such a dominant asks nothing (common practice, no source).
func (r *Reading) onDominant(t score.Tick) bool {
	c := r.chordAt(t)
	return c != nil && c.Numeral.Degree == 5 && c.Numeral.Target == 0 && !r.closedOn(t, c.Root)
}

// closedOn reports whether a full close on a root was made in the two measures up to a moment.
func (r *Reading) closedOn(t score.Tick, root score.Class) bool {
	near := 2 * r.Score.Measures[r.Score.MeasureAt(t)].Length
	return slices.ContainsFunc(r.Harmony.Cadences, func(x phrasing.Cadence) bool {
		c := r.chordAt(x.At)
		return x.Kind.Authentic() && x.At <= t && x.At >= t-near && c != nil && c.Root == root
	})
}

// changes are the sudden changes of the page, one a moment.
func (r *Reading) changes() []page.Contrast {
	var out []page.Contrast
	for _, c := range r.Page.Contrasts {
		if c.Kind == page.Echo || math.Abs(c.From-c.To) < leastSwitch || !r.Shows(c.At, c.At+1) || !r.switches(c) || c.Kind == page.Subito && c.To < c.From && r.sunk(c.At) {
			continue
		}
		if n := len(out); n == 0 || out[n-1].At != c.At {
			out = append(out, c)
		}
	}
	return out
}

// switches reports whether both levels of a sudden change are printed as marks, the
// second at the moment itself, and no crescendo has led from the first towards it.
func (r *Reading) switches(c page.Contrast) bool {
	before, after := false, false
	var since score.Tick
zones:
	for _, z := range r.Page.Zones {
		switch {
		case z.Start > c.At:
			break zones
		case z.Text == "":
		case z.Start < c.At:
			before, since = math.Abs(z.Level-c.From) < 0.5, z.Start
		case z.Start == c.At:
			after = math.Abs(z.Level-c.To) < 0.5
		}
	}
	for _, h := range r.Score.Hairpins {
		if c.To > c.From && h.Kind == score.Crescendo && h.Start >= since && h.Start < c.At && !h.Hidden {
			return false
		}
	}
	if c.Kind == page.Withheld {
		return after && r.grows(c.At)
	}
	return after && before
}

// sunk reports whether there is no sound to keep up before a sudden softer level: nothing
// sounds in the beat before, or the page fades in the measure before (common practice, no source).
func (r *Reading) sunk(t score.Tick) bool {
	beat, bar := r.Score.BeatAt(max(t-1, 0)), r.Score.Measures[r.Score.MeasureAt(t)].Length
	silent := !slices.ContainsFunc(r.Score.Notes[r.Score.FirstNote(t-r.longest):r.Score.FirstNote(t)], func(n score.Note) bool {
		return n.Pitched() && n.End() > t-beat
	})
	fades := slices.ContainsFunc(r.Page.Whole.Segments, func(g page.Segment) bool {
		return g.Slope < 0 && !g.Implied && g.Start < t && g.End > t-bar
	})
	return silent || fades
}

// grows reports whether the page grows up to a moment.
func (r *Reading) grows(t score.Tick) bool {
	for _, g := range r.Page.Whole.Segments {
		if g.Start < t && g.End >= t {
			return g.Slope > 0
		}
	}
	return false
}

// switching asks to keep a level up to a sudden change: of the kind that comes
// less often, the first, with the others like it.
func (r *Reading) switching() []candidate {
	const most = 3
	list := r.changes()
	if len(list) == 0 {
		return nil
	}
	c := list[0]
	for _, x := range list {
		if rank(x) > rank(c) {
			c = x
		}
	}
	var rest []string
	for _, x := range list {
		if x.At != c.At && x.Kind == c.Kind && markChange(&x) == markChange(&c) && len(rest) < most {
			rest = append(rest, r.at(x.At))
		}
	}
	text := strings.TrimSuffix(r.contrastSentence(c), ".")
	if len(rest) > 0 {
		text += ". The same " + join(rest)
	}
	s := Suggestion{At: r.At(c.At), Onset: r.quarters(c.At), End: r.quarters(c.At + r.Score.BeatAt(c.At)), Measures: r.Span(c.At, c.At+1), Moment: Sudden, Certainty: tonal.Sure.String(), Text: text + "."}
	return []candidate{{Suggestion: s, start: c.At, end: c.At + 1, weight: suddenWeight, keeps: c.To < c.From}}
}

// rank says which sudden change tells most: a climax withheld, then the deepest fall.
func rank(c page.Contrast) float64 {
	if c.Kind == page.Withheld {
		return 10 + c.From - c.To
	}
	return c.From - c.To
}

// contrastSentence says what a sudden change asks for.
func (r *Reading) contrastSentence(c page.Contrast) string {
	place, change, wait := "In "+r.where(c.At)+",", markChange(&c), ""
	if r.breathes(c.At) {
		wait = "wait a little, "
	}
	switch {
	case c.Kind == page.Echo:
		return fmt.Sprintf("%s the same music answers softer (%s): an echo; change the colour, keep the tempo.", place, change)
	case c.To < c.From && r.struck(c.At) != "":
		return fmt.Sprintf("%s arrive on the %s in full, and be soft at once after it.", place, r.struck(c.At))
	case c.Kind == page.Withheld:
		return fmt.Sprintf("%s a crescendo leads to a sudden %s: grow to the end, %sand do not give the soft arrival away.", place, page.Mark(c.To), wait)
	case c.To < c.From:
		return fmt.Sprintf("%s the level drops at once (%s): keep the sound up to the last moment, %sand do not give the drop away.", place, change, wait)
	}
	return fmt.Sprintf("%s the level springs up at once (%s): no crescendo before it.", place, change)
}

// struck is the sign at a moment that is loud first and soft then, fp or the like, "" if none
// stands there.
func (r *Reading) struck(at score.Tick) string {
	for _, a := range r.Page.Accents {
		if a.At == at && strings.Contains(a.Sign, "f") && strings.HasSuffix(a.Sign, "p") {
			return a.Sign
		}
	}
	return ""
}

// breathes reports whether a player can wait before a moment: no note sounds just
// before it, or a fermata stands there, or a phrase begins whose last note was longer
// than what follows. Inside notes that run on, nobody can (common practice, no source).
func (r *Reading) breathes(at score.Tick) bool {
	beat := r.Score.BeatAt(max(at-1, 0))
	for _, f := range r.Score.Fermatas {
		if f.At < at && f.At >= at-2*beat {
			return true
		}
	}
	silent, before, after := true, score.Tick(0), score.Tick(0)
	for _, n := range r.Score.Notes[r.Score.FirstNote(at-r.longest):r.Score.FirstNote(at+beat)] {
		switch {
		case n.Grace || n.Cue:
			continue
		case n.Onset < at && n.End() >= at:
			silent = false
			if before == 0 || n.Duration < before {
				before = n.Duration
			}
		case n.Onset >= at && (after == 0 || n.Duration < after):
			after = n.Duration
		}
	}
	return silent || before > after && r.begins(at, beat)
}

// begins reports whether a phrase begins at a moment, within a beat.
func (r *Reading) begins(at, beat score.Tick) bool {
	return slices.ContainsFunc(r.Harmony.Phrases, func(p phrasing.Phrase) bool { return p.Start >= at-beat && p.Start <= at+beat })
}
