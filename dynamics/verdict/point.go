package verdict

import (
	"hairpin/dynamics/page"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
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
			j.accent(a, Supports, after-here)
		case before-here >= accentMove && after >= here-accentMove/2:
			j.accent(a, WorksAgainst, here-before)
		}
	}
}

// accentOnSixFour judges an accent on a cadential six-four: it leans on the
// suspensions over the dominant.
func (j *judge) accentOnSixFour(a page.Accent) {
	v := Verdict{Start: a.At, End: a.At + Tolerance(j.s, a.At), Aspect: AtAccent, Kind: Supports,
		Level: a.Size, From: j.p.Whole.Before(a.At), Size: size(0, a.Size), Accent: &a, SixFour: true}
	v.Certainty = min(j.certainty(v), tonal.Likely)
	j.out = append(j.out, v)
}

// mergedAccents is one accent a moment over all parts, the strongest.
func (j *judge) mergedAccents() []page.Accent {
	var out []page.Accent
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

// accent judges an accent by the change of tension that it stands beside.
func (j *judge) accent(a page.Accent, kind Kind, change float64) {
	v := Verdict{Start: a.At, End: a.At + Tolerance(j.s, a.At), Aspect: AtAccent, Kind: kind,
		Tension: change, Level: a.Size, From: j.p.Whole.Before(a.At), Size: size(change, a.Size), Accent: &a}
	v.Certainty = j.certainty(v)
	j.out = append(j.out, v)
}

// peak compares a phrase's loudest place with its most tense one.
func (j *judge) peak(ph phrasing.Phrase) {
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
	if rise := j.beats[tense].tension - j.beats[least].tension; rise >= tensionMove && loud-softest >= page.LevelMove {
		j.comparePeaks(ph, tense, loud, rise, loud-softest)
	}
}

func (j *judge) comparePeaks(ph phrasing.Phrase, tense int, loud, rise, swing float64) {
	at := j.beats[tense].at
	here := j.p.Whole.At(at)
	v := Verdict{Start: ph.Start, End: ph.End, Aspect: AtPeak, Kind: Supports, Tension: rise, Level: here - loud, From: loud,
		Size: size(rise, swing), Tense: at, Loud: at}
	if loud-here >= peakMove {
		v.Loud = j.nearestLoud(ph, at, loud)
	}
	if apart(at, v.Loud) > Tolerance(j.s, at) {
		v.Kind = WorksAgainst
	}
	w := v
	w.Level = swing
	v.Certainty = min(j.certainty(w), phraseCertainty(ph))
	j.out = append(j.out, v)
}

func apart(a, b score.Tick) score.Tick { return max(a-b, b-a) }

// nearestLoud is the moment of the phrase's loudest level that lies nearest to at.
func (j *judge) nearestLoud(ph phrasing.Phrase, at score.Tick, loud float64) score.Tick {
	best, found := at, false
	for k := j.beatAt(ph.Start); k <= j.beatAt(ph.End-1); k++ {
		t := j.beats[k].at
		if j.p.Whole.At(t) >= loud-1e-9 && (!found || apart(t, at) < apart(best, at)) {
			best, found = t, true
		}
	}
	return best
}

func phraseCertainty(ph phrasing.Phrase) tonal.Certainty {
	switch {
	case ph.Confidence >= 0.75:
		return tonal.Sure
	case ph.Confidence >= 0.45:
		return tonal.Likely
	}
	return tonal.Unsure
}

// taper looks at a phrase's end: the release into its cadence.
func (j *judge) taper(ph phrasing.Phrase) {
	if ph.Cadence < 0 || ph.Cadence >= len(j.a.Cadences) {
		return
	}
	c := j.a.Cadences[ph.Cadence]
	if c.Kind == phrasing.Half || c.Kind == phrasing.Phrygian || c.Kind == phrasing.Deceptive || c.Kind == phrasing.Evaded {
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
		Size: size(drop, level), Page: m.plain(), Cadence: &j.a.Cadences[ph.Cadence]}
	v.Certainty = min(j.certainty(v), phraseCertainty(ph))
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
			Tension: j.change(before, j.beats[i]), Level: c.To - c.From, From: c.From, Contrast: &c}
		v.Kind, v.Size = kindOf(v.Tension, moves(v.Level, page.LevelMove)), size(v.Tension, v.Level)
		v.Certainty = min(j.certainty(v), j.pageCertainty(max(c.At-1, 0), c.At))
		j.out = append(j.out, v)
	}
}
