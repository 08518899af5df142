package report

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"hairpin/dynamics/page"
	"hairpin/dynamics/verdict"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// VerdictSentence says a verdict to a student.
func (r *Reading) VerdictSentence(v verdict.Verdict) string {
	switch v.Aspect {
	case verdict.AtAccent:
		return r.accentSentence(v)
	case verdict.AtPeak:
		return r.peakSentence(v)
	case verdict.AtTaper:
		return r.taperSentence(v)
	case verdict.AtContrast:
		return r.contrastSentence(*v.Contrast)
	}
	return r.spanSentence(v)
}

func (r *Reading) accentSentence(v verdict.Verdict) string {
	place, sign := "In "+r.where(v.Start)+", ", v.Accent.Sign
	if v.SixFour {
		return place + sign + " leans on the cadential six-four: accent it, and let the dominant after it be softer."
	}
	if sign == ">" || sign == "^" {
		sign = "the accent " + sign
	}
	if v.Kind == verdict.Supports {
		return place + sign + " leans on a dissonance that resolves after it: accent it, and let the resolution be softer."
	}
	return place + sign + " stands on the release, not on the tension before it: an accent of the metre or the dance, or a surprise? Weigh it by that."
}

func (r *Reading) peakSentence(v verdict.Verdict) string {
	place := r.between(v.Start, v.End)
	if v.Kind == verdict.WorksAgainst {
		tense, loud := r.where(v.Tense), r.where(v.Loud)
		if !r.sameMeasure(v.Tense, v.Loud) { // a loud stretch holds for more than a beat
			tense, loud = "measure "+r.number(v.Tense), "measure "+r.number(v.Loud)
		}
		return place + " the harmony peaks in " + tense + ", the printed loudness in " + loud + ": decide which of the two is the goal."
	}
	return place + " the phrase is most tense and loudest together: aim at " + r.where(v.Tense) + "."
}

func (r *Reading) taperSentence(v verdict.Verdict) string {
	place := "At the phrase's end in measure " + r.number(v.Cadence.At) + " the print " + r.pageDoes(v)
	if v.Kind == verdict.WorksAgainst {
		return place + " although the cadence closes: carry the sound over into what follows."
	}
	return place + " as the cadence closes: taper the last note."
}

// markChange names a sudden change by its marks: "f to p".
func markChange(c *page.Contrast) string {
	return page.Mark(c.From) + " to " + page.Mark(c.To)
}

func (r *Reading) spanSentence(v verdict.Verdict) string {
	place := r.between(v.Start, v.Harmony.End)
	harmony, does := r.spanHarmony(v), r.pageDoes(v)
	switch v.Kind {
	case verdict.Supports:
		return place + " " + harmony + ", and the print " + does + supportAdvice(v)
	case verdict.WorksAgainst:
		if text := r.nuance(v); text != "" {
			return place + " " + harmony + ", and the print " + does + ": " + text
		}
		if v.Page.Way == verdict.Down {
			return place + " " + harmony + " and wants to go on, but the print " + does + ": contrast intended? Then keep the line alive in the softer sound."
		}
		return place + " " + harmony + ", but the print " + does + ": contrast intended? Then let the sound, not the chord, drive on."
	case verdict.Unshaped:
		return place + " " + harmony + ", and " + unshapedAdvice(v, does)
	case verdict.Independent:
		if v.SixFour {
			return place + " the print " + does + " into a cadential six-four, which still waits for its dominant: nothing is let go yet."
		}
		return place + " the print " + does + " over harmony that is as tense after as before: the change is a matter of sound and line."
	}
	return place + " neither harmony nor printed loudness moves: " + r.held(v)
}

// nuance says why a movement against the harmony is no contrast to ask about; ""
// if it is one: a fall at the end of a phrase is its taper, and a hairpin of one beat,
// or of one measure that leads to no mark, is a shade; a growth to a release that comes last
// leads to the arrival (common practice, no source).
func (r *Reading) nuance(v verdict.Verdict) string {
	switch {
	case v.Page.Way == verdict.Down && r.endsPhrase(v) && v.Harmony.Waits:
		return "taper, but let the dominant stay open; take time before what follows."
	case v.Page.Way == verdict.Down && r.endsPhrase(v):
		return "a taper at the phrase's end; let the line finish."
	case r.brief(v, r.Score.BeatAt):
		return "a shade of one beat inside the line, no change of level."
	case v.Page.ToMark == "" && r.brief(v, r.measureAt) && r.slight(v):
		return "a shade inside the measure: bend the sound, and keep the level."
	case v.Page.Way == verdict.Up && r.arrivesLate(v):
		return "it grows into the arrival: let the goal be the arrival itself."
	}
	return ""
}

// lateArrival is the share of a stretch after which it must be tense still, if its release is
// the arrival that a crescendo leads to: a choice of ours.
const lateArrival = 0.6

// arrivesLate reports whether a stretch that releases is in the upper half of its tension
// until late, so that the release is its end.
func (r *Reading) arrivesLate(v verdict.Verdict) bool {
	list := r.Harmony.Moments
	i := sort.Search(len(list), func(i int) bool { return list[i].End > v.Start })
	j := sort.Search(len(list), func(i int) bool { return list[i].Start >= v.End })
	if v.Harmony.Way != verdict.Down || i >= j {
		return false
	}
	half, last := (list[i].Tension.Total+list[j-1].Tension.Total)/2, v.Start
	for _, m := range list[i:j] {
		if m.Tension.Total > half {
			last = min(m.End, v.End)
		}
	}
	return float64(last-v.Start) >= lateArrival*float64(v.End-v.Start)
}

// Contrast reports whether a stretch works against its harmony so that a player
// must ask why: see nuance.
func (r *Reading) Contrast(v verdict.Verdict) bool {
	return v.Kind == verdict.WorksAgainst && (v.Aspect != verdict.OverSpan || r.nuance(v) == "")
}

// endsPhrase reports whether a stretch reaches the end of a phrase, but for a beat.
func (r *Reading) endsPhrase(v verdict.Verdict) bool {
	list := r.Harmony.Phrases
	i := sort.Search(len(list), func(i int) bool { return list[i].End > v.Start })
	if i == len(list) || v.Start < list[i].Start {
		return false
	}
	end := list[i].End
	if last := r.sectionEnd(i); last >= 0 && v.Page.Way == verdict.Down && r.staysSoft(v.End, last) {
		return true // the closing diminuendo of the piece, or of a section
	}
	return v.End >= end-r.Score.BeatAt(max(end-1, 0))
}

// sectionEnd is the end of the section, or of the piece, of which phrase i is the last;
// -1 if it is none.
func (r *Reading) sectionEnd(i int) score.Tick {
	list := r.Harmony.Phrases
	if i == len(list)-1 {
		return r.Score.Length()
	}
	for _, x := range r.Harmony.Form.Sections {
		if x.End == list[i].End {
			return x.End
		}
	}
	return -1
}

// staysSoft reports whether the page does not grow again between two moments.
func (r *Reading) staysSoft(from, until score.Tick) bool {
	const shade = 0.25
	for _, g := range r.Page.Whole.Segments {
		if g.End > from && g.Start < until && max(g.At(max(g.Start, from)), g.To) > r.Page.Whole.Before(from)+shade {
			return false
		}
	}
	return true
}

// measureAt is the length of the measure that holds a moment.
func (r *Reading) measureAt(t score.Tick) score.Tick {
	return r.Score.Measures[r.Score.MeasureAt(t)].Length
}

// slight reports whether the page moves by hardly more than a step, as a hairpin does
// that leads to no mark.
func (r *Reading) slight(v verdict.Verdict) bool {
	const most = 1.25 // steps
	return math.Abs(r.Page.Whole.Before(v.End)-r.Page.Whole.At(v.Start)) <= most
}

// brief reports whether no printed slope of a stretch lasts longer than a beat, or
// whatever is given for where it starts.
func (r *Reading) brief(v verdict.Verdict, most func(score.Tick) score.Tick) bool {
	slopes := r.Page.Slopes(v.Start, v.End, 0)
	for _, s := range slopes {
		if s.End-s.Start > most(s.Start) {
			return false
		}
	}
	return len(slopes) > 0
}

// supportAdvice ends the sentence of a span whose page goes with the harmony.
func supportAdvice(v verdict.Verdict) string {
	switch {
	case v.Swells:
		return " on the way: let it be fullest where the harmony is most tense."
	case v.Page.Way == verdict.Up:
		return ": let both grow together."
	case v.Harmony.Onto != nil && dominant(v.Harmony.Onto):
		return ": let the sound relax, and leave the end open."
	}
	return ": let the sound relax with it."
}

// tense is a tension from which a stretch that holds is called tense; our own choice.
const tense = 60.0

// held says what a calm stretch holds.
func (r *Reading) held(v verdict.Verdict) string {
	level := "no level is printed"
	switch {
	case v.Page.FromMark != "":
		level = v.Page.FromMark + " is held"
	case r.Page.Marked:
		level = "the level is held"
	}
	switch {
	case v.Harmony.Waits:
		return level + " while " + waiting(v.Harmony.Onto) + " waits: keep the tension, and shape the line by its melody."
	case v.Harmony.To >= tense:
		return level + " and so is the tension: keep it, and shape the line by its melody."
	case v.Page.Kind == page.Level:
		return level + ": keep it even, or shape the line by its melody."
	}
	return level + ", and nothing else is printed: keep it even, or shape the line by its melody."
}

// spanHarmony says where the harmony goes.
func (r *Reading) spanHarmony(v verdict.Verdict) string {
	switch c := v.Harmony.Onto; {
	case v.Harmony.Waits && v.SixFour:
		return "the six-four waits for its dominant"
	case v.Harmony.Waits:
		return waiting(c) + " waits"
	case v.Harmony.Way == verdict.Down && c != nil && tonicTriad(c) && c.Start >= v.Harmony.End:
		if r.halfBefore(c.Start) {
			return "the harmony settles on the dominant"
		}
		return "the harmony resolves to " + c.Roman() + " " + r.at(c.Start)
	case v.Harmony.Way == verdict.Down:
		return "the harmony " + lets(v.Harmony)
	case c != nil && v.Harmony.Way == verdict.Up:
		return "the harmony leads to " + numeralWords(c)
	case v.Harmony.Way == verdict.Up:
		return "the harmony grows more tense"
	case v.Swells:
		return "the harmony tightens and eases again"
	}
	return "the harmony holds"
}

// unshapedAdvice ends the sentence of a span that the page does not shape.
func unshapedAdvice(v verdict.Verdict, does string) string {
	up := v.Harmony.Way == verdict.Up
	switch {
	case v.Swells && up:
		return "the print " + does + " on the way: let the line arrive, not only the swell."
	case v.Swells:
		return "the print " + does + " on the way: end softer than you began."
	case v.Page.Kind == page.Terraced:
		return "the print " + does + ", which is no slope: keep each level, and let the line lead."
	case v.Page.Kind == page.Level && v.Page.FromMark != "" && up:
		return "the print only holds " + v.Page.FromMark + ": lean into it a little."
	case v.Page.Kind == page.Level && v.Page.FromMark != "":
		return "the print only holds " + v.Page.FromMark + ": let the sound relax a little."
	case up:
		return "nothing is printed for it: lean into it a little."
	}
	return "nothing is printed for it: let the sound relax a little."
}

// atRest is a tension below which nothing waits any more: a tonic, not in root
// position perhaps, without a dissonance. Our own choice.
const atRest = 25.0

// halfBefore reports whether a phrase that ends on its dominant ends at a moment, within a
// beat: the tonic after it begins anew, and resolves nothing.
func (r *Reading) halfBefore(t score.Tick) bool {
	beat := r.Score.BeatAt(max(t-1, 0))
	return slices.ContainsFunc(r.Harmony.Phrases, func(p phrasing.Phrase) bool {
		if p.Cadence < 0 || p.End < t-beat || p.End > t+beat {
			return false
		}
		kind := r.Harmony.Cadences[p.Cadence].Kind
		return kind == phrasing.Half || kind == phrasing.Phrygian
	})
}

// waiting names what waits over a stretch, by its last chord: the dominant, if none of another
// degree does.
func waiting(c *tonal.Chord) string {
	if c == nil || c.Numeral.Target == 0 && !c.Quality.AugmentedSixth() {
		return "the dominant"
	}
	return numeralWords(c)
}

// lets says how far a release goes: to rest on a tonic, to the dominant, which is no rest
// however calm it sounds, or only from more tension to less.
func lets(m verdict.HarmonyMove) string {
	c := m.Onto
	switch {
	case c != nil && dominant(c):
		return "settles on the dominant"
	case m.To < atRest && (c == nil || tonicTriad(c)):
		return "comes to rest"
	}
	return "eases without coming to rest"
}

// tonicTriad reports whether a chord is the tonic of its key, and no six-four.
func tonicTriad(c *tonal.Chord) bool {
	n := c.Numeral
	return n.Degree == 1 && n.Target == 0 && n.Alter == 0 && !n.Cadential && !n.Quality.Seventh()
}

// even is how much tension at both ends of a stretch may differ for it to be told as
// holding from one to the other, and must differ at least to be told as a move: less is
// not seen in two numbers. Our own choice.
const even = 10.0

// HarmonyDoes says a span's harmony in a row: "builds, 12 to 58, to V7", "holds, 9 to 8, on I".
// Where tension at both ends goes another way than what is heard over the whole, or hardly
// moves, it is left out.
func HarmonyDoes(m verdict.HarmonyMove) string {
	verb := map[verdict.Way]string{verdict.Up: "builds", verdict.Still: "holds", verdict.Down: "releases"}[m.Way]
	onto := ", to "
	if m.Way == verdict.Still {
		onto = ", on "
	}
	if m.Waits {
		verb = "waits"
	}
	text, from, to := verb, math.Round(m.From), math.Round(m.To)
	switch change := m.To - m.From; {
	case (m.Waits || m.Way == verdict.Still) && from == to:
		text += fmt.Sprintf(" at %.0f", from)
	case m.Waits, m.Way == verdict.Still && math.Abs(change) < even, change*float64(m.Way) >= even:
		text += fmt.Sprintf(", %.0f to %.0f", from, to)
	}
	if m.Onto != nil {
		text += onto + m.Onto.Roman()
	}
	return text
}

// pageDoes says what the page prints over a span or a taper: "falls from f to p".
// Only levels that a mark states are named.
func (r *Reading) pageDoes(v verdict.Verdict) string {
	m := v.Page
	switch m.Kind {
	case page.Grows, page.Falls:
		if !r.printsUpTo(v, m.ToMark) {
			m.ToMark = ""
		}
		return slope(m.Kind, m.FromMark, m.ToMark)
	case page.Swells, page.Dips:
		if (m.Peak > m.From) != (m.Kind == page.Swells) {
			m.PeakMark = "" // a mark on the way that is not its far point
		}
		verb := map[page.MoveKind]string{page.Swells: "swells", page.Dips: "sinks"}[m.Kind]
		return verb + fromTo(m.FromMark, m.PeakMark) + " and comes back"
	case page.Terraced:
		return terraces(m.Move)
	}
	switch {
	case !r.Page.Marked:
		return "has no dynamics"
	case m.FromMark != "":
		return "stays " + m.FromMark
	}
	return "has nothing new"
}

// printsUpTo reports whether a slope may be told to lead to a mark: not one that stands before
// its measures and not in them, to which the page only comes back.
func (r *Reading) printsUpTo(v verdict.Verdict, mark string) bool {
	before := false
	for _, z := range r.Page.Zones {
		if z.Text == mark && z.Start <= v.End && r.Score.MeasureAt(z.Start) >= r.Score.MeasureAt(v.Start) {
			return true
		}
		before = before || z.Text == mark && z.Start < v.Start
	}
	return !before
}

// slope says how a printed slope goes: "falls from f to p"; one whose end no mark states
// is a hairpin or its word: "has a diminuendo from f".
func slope(kind page.MoveKind, from, to string) string {
	if to != "" && to != from {
		return string(kind) + fromTo(from, to)
	}
	name := map[page.MoveKind]string{page.Grows: "has a crescendo", page.Falls: "has a diminuendo"}[kind]
	return name + fromTo(from, "")
}

// terraces says how sudden changes go: "changes at once from f to p", "changes at
// once from f to p and back", "alternates f and p".
func terraces(m page.Move) string {
	switch there := m.PeakMark != "" && m.PeakMark != m.FromMark && m.FromMark != ""; {
	case there && m.Jumps > 2 && (m.ToMark == m.FromMark || m.ToMark == m.PeakMark):
		return "alternates " + m.FromMark + " and " + m.PeakMark
	case there && m.Jumps == 2 && m.ToMark == m.FromMark:
		return "changes at once from " + m.FromMark + " to " + m.PeakMark + " and back"
	}
	return "changes at once" + fromTo(m.FromMark, m.ToMark)
}

// fromTo names the printed levels at both ends: " from p to f", " from p", "".
func fromTo(from, to string) string {
	switch {
	case from == to && from != "":
		return " from " + from
	case from == "" && to == "":
		return ""
	case from == "":
		return " to " + to
	case to == "":
		return " from " + from
	}
	return " from " + from + " to " + to
}
