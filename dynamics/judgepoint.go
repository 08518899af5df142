package dynamics

import (
	"fmt"
	"math"

	"hairpin/harmony"
	"hairpin/score"
)

// momentAt is the index of the moment that sounds at t, -1 if none.
func (j *judge) momentAt(t score.Tick) int {
	lo, hi := 0, len(j.a.Moments)
	for lo < hi {
		if m := (lo + hi) / 2; j.a.Moments[m].Start <= t {
			lo = m + 1
		} else {
			hi = m
		}
	}
	if lo == 0 || j.a.Moments[lo-1].End <= t {
		return -1
	}
	return lo - 1
}

// accents judges printed accents that fall on a dissonance or on its release.
func (j *judge) accents() {
	for _, a := range j.mergedAccents() {
		i := j.momentAt(a.At)
		if i < 0 {
			continue
		}
		if j.sixFour(a.At) {
			j.accentOnSixFour(a)
			continue
		}
		here := j.a.Moments[i].Tension.Total
		before, after := here, here
		if i > 0 {
			before = j.a.Moments[i-1].Tension.Total
		}
		after = j.lowestSoon(i, a.At)
		switch {
		case here-after >= accentMove && here >= before:
			j.accent(a, Supports, after-here, "the tension falls by %.0f after it")
		case before-here >= accentMove && after >= here-accentMove/2:
			j.accent(a, WorksAgainst, here-before, "the tension has just fallen by %.0f")
		}
	}
}

// accentOnSixFour judges an accent on a cadential six-four: it leans on the
// suspensions over the dominant.
func (j *judge) accentOnSixFour(a Accent) {
	v := Verdict{Start: a.At, End: a.At + Tolerance(j.s, a.At), Aspect: AtAccent, Kind: Supports,
		Level: a.Size, From: j.p.Whole.Before(a.At), Size: size(0, a.Size),
		Harmony: "a cadential six-four hangs over the dominant", Page: "prints " + a.Sign}
	v.Certainty = min(j.certainty(v), harmony.Likely)
	v.Sentence = "In " + where(j.s, a.At) + ", " + a.Sign + " leans on the cadential six-four: accent it, and let the dominant after it be softer."
	j.out = append(j.out, v)
}

// mergedAccents is one accent a moment over all parts, the strongest.
func (j *judge) mergedAccents() []Accent {
	var out []Accent
	for _, a := range j.p.Accents {
		if n := len(out); n > 0 && out[n-1].At == a.At {
			if a.Size > out[n-1].Size {
				out[n-1] = a
			}
			continue
		}
		out = append(out, a)
	}
	return out
}

// lowestSoon is the lowest tension within a measure after moment i.
func (j *judge) lowestSoon(i int, at score.Tick) float64 {
	m := j.s.Measures[j.s.MeasureAt(at)]
	low := j.a.Moments[i].Tension.Total
	for k := i + 1; k < len(j.a.Moments) && j.a.Moments[k].Start <= at+m.Length; k++ {
		if j.a.Moments[k].Chord >= 0 {
			low = min(low, j.a.Moments[k].Tension.Total)
		}
	}
	return low
}

func (j *judge) accent(a Accent, kind Kind, change float64, what string) {
	v := Verdict{Start: a.At, End: a.At + Tolerance(j.s, a.At), Aspect: AtAccent, Kind: kind,
		Tension: change, Level: a.Size, From: j.p.Whole.Before(a.At), Size: size(change, a.Size),
		Harmony: fmt.Sprintf(what, math.Abs(change)), Page: "prints " + a.Sign}
	v.Certainty = j.certainty(v)
	place, sign := "In "+where(j.s, a.At), a.Sign
	if sign == ">" || sign == "^" {
		sign = "the accent " + sign
	}
	if kind == Supports {
		v.Sentence = place + ", " + sign + " leans on a dissonance that resolves after it: accent it, and let the resolution be softer."
	} else {
		v.Sentence = place + ", " + sign + " falls on the release, not on the tension before it: contrast intended? Then make the arrival a deliberate surprise."
	}
	j.out = append(j.out, v)
}

// peak compares a phrase's loudest place with its most tense one.
func (j *judge) peak(ph harmony.Phrase) {
	lo, hi := j.beatAt(ph.Start), j.beatAt(ph.End-1)
	if hi-lo < 3 {
		return
	}
	tense, least := lo, lo
	loud, softest := j.p.Whole.At(j.beats[lo].at), j.p.Whole.At(j.beats[lo].at)
	for k := lo; k <= hi; k++ {
		if j.beats[k].tension > j.beats[tense].tension {
			tense = k
		}
		if j.beats[k].tension < j.beats[least].tension {
			least = k
		}
		l := j.p.Whole.At(j.beats[k].at)
		loud, softest = max(loud, l), min(softest, l)
	}
	if rise := j.beats[tense].tension - j.beats[least].tension; rise >= tensionMove && loud-softest >= levelMove {
		j.comparePeaks(ph, tense, loud, rise, loud-softest)
	}
}

func (j *judge) comparePeaks(ph harmony.Phrase, tense int, loud, rise, swing float64) {
	at := j.beats[tense].at
	here := j.p.Whole.At(at)
	away := j.nearestLoud(ph, at, loud)
	v := Verdict{Start: ph.Start, End: ph.End, Aspect: AtPeak, Kind: Supports, Tension: rise, Level: here - loud, From: loud,
		Size: size(rise, swing), Harmony: "is most tense in " + where(j.s, at), Page: "is loudest there"}
	switch near := abs(int(away-at)) <= int(Tolerance(j.s, at)); {
	case loud-here < peakMove:
	case near:
		v.Page = "is loudest within a beat of it"
	default:
		v.Kind, v.Page = WorksAgainst, "is loudest in "+where(j.s, away)
	}
	w := v
	w.Level = swing
	v.Certainty = min(j.certainty(w), phraseCertainty(ph))
	v.Sentence = between(j.s, ph.Start, ph.End) + " the phrase is most tense and loudest together: aim at " + where(j.s, at) + "."
	if v.Kind == WorksAgainst {
		v.Sentence = between(j.s, ph.Start, ph.End) + " the harmony peaks in " + where(j.s, at) + ", the page in " + where(j.s, away) + ": contrast intended? Decide which of the two is the goal."
	}
	j.out = append(j.out, v)
}

// nearestLoud is the moment of the phrase's loudest level that lies nearest to at.
func (j *judge) nearestLoud(ph harmony.Phrase, at score.Tick, loud float64) score.Tick {
	best, found := at, false
	for k := j.beatAt(ph.Start); k <= j.beatAt(ph.End-1); k++ {
		t := j.beats[k].at
		if j.p.Whole.At(t) >= loud-1e-9 && (!found || abs(int(t-at)) < abs(int(best-at))) {
			best, found = t, true
		}
	}
	return best
}

func phraseCertainty(ph harmony.Phrase) harmony.Certainty {
	switch {
	case ph.Confidence >= 0.75:
		return harmony.Sure
	case ph.Confidence >= 0.45:
		return harmony.Likely
	}
	return harmony.Unsure
}

// taper looks at a phrase's end: the release into its cadence.
func (j *judge) taper(ph harmony.Phrase) {
	if ph.Cadence < 0 || ph.Cadence >= len(j.a.Cadences) {
		return
	}
	c := j.a.Cadences[ph.Cadence]
	if c.Kind == harmony.Half || c.Kind == harmony.Phrygian || c.Kind == harmony.Deceptive || c.Kind == harmony.Evaded {
		return
	}
	last := j.beatAt(c.At)
	if last == 0 {
		return
	}
	from := j.beats[max(last-1, 0)].at
	drop := j.beats[last].tension - j.beats[last-1].tension
	m := j.taperMove(from, max(min(ph.End-1, c.At+j.s.Measures[j.s.MeasureAt(c.At)].Length), from))
	level := m.change()
	if drop > -tensionMove || m.way() == 0 {
		return // the span's own verdict says that nothing is printed
	}
	v := Verdict{Start: from, End: ph.End, Aspect: AtTaper, Kind: kindOf(drop, m.way()), Tension: drop, Level: level, From: m.from,
		Size: size(drop, level), Harmony: "closes, " + string(c.Kind) + " cadence"}
	v.Page = j.pageText(m)
	v.Certainty = min(j.certainty(v), phraseCertainty(ph))
	place := "At the phrase's end in measure " + j.s.At(c.At).Number
	v.Sentence = place + " the page " + v.Page + " as the cadence closes: taper the last note."
	if v.Kind == WorksAgainst {
		v.Sentence = place + " the page " + v.Page + " although the cadence closes: contrast intended? Then carry the sound over into what follows."
	}
	j.out = append(j.out, v)
}

// taperMove reads the page over a phrase's end, from the beat before the cadence
// or, if nothing changes there, from one beat earlier. What the next phrase
// begins with is no part of it.
func (j *judge) taperMove(from, to score.Tick) pageMove {
	m := j.move(from, to)
	if near := j.move(max(from-Tolerance(j.s, from), 0), to); m.way() == 0 && near.way() != 0 {
		return near
	}
	return m
}

// contrasts names echo, subito and withheld climax, and says what the harmony does there.
func (j *judge) contrasts() {
	for _, c := range j.p.Contrasts {
		i := j.beatAt(c.At)
		before := j.beats[max(i-1, 0)]
		v := Verdict{Start: c.At, End: c.At + Tolerance(j.s, c.At), Aspect: AtContrast,
			Tension: j.change(before, j.beats[i]), Level: c.To - c.From, From: c.From}
		v.Kind, v.Size = kindOf(v.Tension, moves(v.Level, levelMove)), size(v.Tension, v.Level)
		v.Harmony = j.harmonyMove(before, j.beats[i])
		v.Page = fmt.Sprintf("%s: %s to %s", c.Kind, Mark(c.From), Mark(c.To))
		v.Certainty = min(j.certainty(v), j.pageCertainty(max(c.At-1, 0), c.At))
		v.Sentence = contrastSentence(where(j.s, c.At), c)
		j.out = append(j.out, v)
	}
}

func contrastSentence(place string, c Contrast) string {
	change := Mark(c.From) + " to " + Mark(c.To)
	switch c.Kind {
	case Echo:
		return "In " + place + " the same music answers softer (" + change + "): an echo; change the colour, keep the tempo."
	case Withheld:
		return "In " + place + " the page grows and then takes the goal away (" + change + "): a withheld climax; do not give it away before."
	}
	return "In " + place + " the page changes at once (" + change + "): keep the level until the last moment, then switch."
}
