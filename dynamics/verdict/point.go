package verdict

import (
	"slices"
	"sort"

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
// Where they come at every beat, half measure or measure they are metre, and nothing is said.
func (j *judge) accents() {
	all := j.mergedAccents()
	for _, a := range all {
		i := j.momentAt(a.At)
		if i < 0 || j.metrical(all, a.At) {
			continue
		}
		if j.sixFour(a.At) {
			j.accentOnSixFour(a)
			continue
		}
		here := j.a.Moments[i].Tension.Total
		before := here
		if i > 0 {
			before = j.a.Moments[i-1].Tension.Total
		}
		after := j.lowestSoon(i, a.At)
		switch {
		case j.leans(a):
			j.accent(a, Supports, min(after-here, 0))
		case here-after >= accentMove && here >= before:
			j.accent(a, Supports, after-here)
		case before-here >= accentMove && after >= here-accentMove/2:
			j.accent(a, WorksAgainst, here-before)
		}
	}
}

// metreFrom is how many accents at equal distances make a metre.
const metreFrom = 4

// metrical reports whether an accent is one of a row at equal distances, of a beat
// or a measure, or its half measure one of a row that has an accent each: then
// the accents are the metre.
func (j *judge) metrical(all []page.Accent, t score.Tick) bool {
	length := j.s.Measures[j.s.MeasureAt(t)].Length
	return inRow(all, t, j.s.BeatAt(t)) || inRow(all, t, length) || j.everyHalf(all, t, length/2)
}

// inRow reports whether accents stand at t and at equal steps from it.
func inRow(all []page.Accent, t, step score.Tick) bool {
	if step <= 0 {
		return false
	}
	accented := func(at score.Tick) bool {
		i := sort.Search(len(all), func(i int) bool { return all[i].At >= at })
		return i < len(all) && all[i].At == at
	}
	n := 1
	for at := t - step; n < metreFrom && accented(at); at -= step {
		n++
	}
	for at := t + step; n < metreFrom && accented(at); at += step {
		n++
	}
	return n >= metreFrom
}

// everyHalf reports whether the half measure of t is one of a row that has an accent each.
func (j *judge) everyHalf(all []page.Accent, t, half score.Tick) bool {
	if half <= 0 {
		return false
	}
	stressed := func(from score.Tick) bool {
		i := sort.Search(len(all), func(i int) bool { return all[i].At >= from })
		return i < len(all) && all[i].At < from+half
	}
	m := j.s.Measures[j.s.MeasureAt(t)]
	here := m.Start + (t-m.Start)/half*half
	n := 1
	for from := here - half; from >= 0 && n < metreFrom && stressed(from); from -= half {
		n++
	}
	for from := here + half; from < j.s.Length() && n < metreFrom && stressed(from); from += half {
		n++
	}
	return n >= metreFrom
}

// leans reports whether an accent stands on an appoggiatura or a suspension: a
// note foreign to its chord that goes on by step to a note of it (common practice).
func (j *judge) leans(a page.Accent) bool {
	c := j.chordAt(a.At)
	if c == nil || len(c.Tones) == 0 {
		return false
	}
	for i := j.s.FirstNote(a.At); i < len(j.s.Notes) && j.s.Notes[i].Onset == a.At; i++ {
		n := j.s.Notes[i]
		if n.Part == a.Part && !n.Grace && !n.Unpitched && !slices.Contains(c.Tones, n.Pitch.Class()) && j.resolves(i, c) {
			return true
		}
	}
	return false
}

// resolves reports whether the next note of a note's voice lies a step away and in the chord.
func (j *judge) resolves(i int, c *tonal.Chord) bool {
	n := j.s.Notes[i]
	for _, o := range j.s.Notes[i+1:] {
		if o.Onset > n.End() || o.Onset >= c.End {
			return false
		}
		if o.Onset == n.End() && o.Part == n.Part && o.Voice == n.Voice && !o.Grace {
			d := o.Pitch.Key() - n.Pitch.Key()
			if d != 0 && d >= -2 && d <= 2 && slices.Contains(c.Tones, o.Pitch.Class()) {
				return true
			}
		}
	}
	return false
}

// accentOnSixFour judges an accent on a cadential six-four: it leans on the
// suspensions over the dominant.
func (j *judge) accentOnSixFour(a page.Accent) {
	v := Verdict{Start: a.At, End: a.At + Tolerance(j.s, a.At), Aspect: AtAccent, Kind: Supports,
		Level: a.Size, From: j.p.Whole.Before(a.At), Size: size(0, a.Size), Accent: &a, SixFour: true}
	v.Certainty = min(j.heard(a.At), tonal.Likely)
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
	v.Certainty = min(j.heard(a.At), tonal.Likely)
	if kind == WorksAgainst {
		v.Certainty = tonal.Unsure
	}
	j.out = append(j.out, v)
}

// heard is how surely the chord at t does what it seems to do.
func (j *judge) heard(t score.Tick) tonal.Certainty {
	if c := j.chordAt(t); c != nil {
		return doubtOf(c)
	}
	return tonal.Unsure
}

// peak compares a phrase's loudest place with its most tense one.
func (j *judge) peak(ph phrasing.Phrase) {
	lo, hi := j.beatAt(ph.Start), j.beatAt(ph.End-1)
	if hi-lo < 3 || !j.p.Over(ph.Start, ph.End).Moves() { // sudden changes have no peak
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
	v.Certainty = min(j.heard(at), tonal.CertaintyOf(ph.Confidence), tonal.Likely)
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

// taper looks at a phrase's end: the release into its cadence.
func (j *judge) taper(ph phrasing.Phrase) {
	if ph.Cadence < 0 || ph.Cadence >= len(j.a.Cadences) {
		return
	}
	c := j.a.Cadences[ph.Cadence]
	if c.Kind.IsHalf() || c.Kind == phrasing.Deceptive || c.Kind == phrasing.Evaded {
		return
	}
	last := j.beatAt(c.At)
	if last == 0 {
		return
	}
	from := j.beats[last-1].at
	drop := j.beats[last].tension - j.beats[last-1].tension
	m := PageMove{Move: j.p.Over(from, min(ph.End, c.At+j.s.Measures[j.s.MeasureAt(c.At)].Length))}
	m.fill()
	if drop > -tensionMove || m.Way == Still {
		return // the stretch's own verdict says that nothing is printed
	}
	v := Verdict{Start: from, End: ph.End, Aspect: AtTaper, Kind: Supports, Tension: drop, Level: m.Change, From: m.From,
		Size: size(drop, m.Change), Page: m, Cadence: &j.a.Cadences[ph.Cadence]}
	v.Certainty = min(j.heard(c.At), tonal.CertaintyOf(ph.Confidence), m.Certainty)
	if m.Way == Up {
		v.Kind, v.Certainty = WorksAgainst, min(v.Certainty, tonal.Likely)
	}
	j.out = append(j.out, v)
}

// contrasts names echo, subito and withheld climax, and says what the harmony
// does there. Louder at the start of a phrase is a new beginning.
func (j *judge) contrasts() {
	for _, c := range j.p.Contrasts {
		i := j.beatAt(c.At)
		change := j.beats[i].tension - j.beats[max(i-1, 0)].tension
		v := Verdict{Start: c.At, End: c.At + Tolerance(j.s, c.At), Aspect: AtContrast,
			Tension: change, Level: c.To - c.From, From: c.From, Contrast: &c, Kind: Independent}
		h, m := moves(change, tensionMove), moves(v.Level, page.LevelMove)
		switch {
		case h == Still || m == Still || m == Up && j.begins(c.At):
		case h == m:
			v.Kind = Supports
		default:
			v.Kind = WorksAgainst
		}
		v.Size = size(v.Tension, v.Level)
		v.Certainty = min(j.heard(c.At), tonal.Likely)
		j.out = append(j.out, v)
	}
}

// begins reports whether a phrase begins at t or within a beat of it.
func (j *judge) begins(t score.Tick) bool {
	for _, ph := range j.phrases() {
		if apart(ph.Start, t) <= Tolerance(j.s, t) {
			return true
		}
	}
	return false
}
