package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"hairpin/score"
)

// Bars are the printed numbers of a stretch's first and last measure.
type Bars struct{ First, Last string }

// String is "9" or "9–12".
func (b Bars) String() string {
	if b.First == b.Last {
		return b.First
	}
	return b.First + "–" + b.Last
}

// Named is "m. 9" or "mm. 9–12".
func (b Bars) Named() string { return named([]Bars{b}) }

// named lists stretches: "m. 9", "mm. 9–12, 15".
func named(list []Bars) string {
	texts := make([]string, len(list))
	for i, b := range list {
		texts[i] = b.String()
	}
	if len(list) == 1 && list[0].First == list[0].Last {
		return "m. " + texts[0]
	}
	return "mm. " + strings.Join(texts, ", ")
}

// Bars are the measures that a stretch touches.
func (r *Reading) Bars(start, end score.Tick) Bars {
	return Bars{r.number(start), r.number(max(end-1, start))}
}

// PhraseBars are the measures of a phrase or section as players count them: one
// that begins inside a measure, with an upbeat, is counted from its first full
// measure, so that no measure belongs to two. A piece that begins with a short rest has no upbeat.
func (r *Reading) PhraseBars(start, end score.Tick) Bars {
	out, ms := r.Bars(start, end), r.Score.Measures
	if len(ms) == 0 {
		return out
	}
	i := r.Score.MeasureAt(start)
	if inside := start > ms[i].Start && !r.opensLate(i, start) || ms[i].Head() > 0; inside && i+1 < len(ms) && ms[i+1].Start < end {
		out.First = numberOf(r.Score, i+1)
	}
	return out
}

// opensLate reports whether a moment in the first half of measure i is where the piece begins.
func (r *Reading) opensLate(i int, at score.Tick) bool {
	m, n := r.Score.Measures[i], r.Score.Notes
	return len(n) > 0 && n[0].Onset == at && 2*(at-m.Start) < m.Length
}

// At names a moment exactly: "12:3", "12:3.5".
func (r *Reading) At(t score.Tick) string { return r.Score.At(t).String() }

// Span names a stretch by its measures: "m. 9" or "mm. 9–12".
func (r *Reading) Span(start, end score.Tick) string { return r.Bars(start, end).Named() }

// Measures are the printed numbers of a stretch: "9" or "9–12".
func (r *Reading) Measures(start, end score.Tick) string { return r.Bars(start, end).String() }

// Place names a moment by its beat, as a sentence does: "12:3", or "after 12:3"
// for a moment between two beats.
func (r *Reading) Place(t score.Tick) string { return r.placed("", t) }

// at is Place with its preposition: "at 12:3", "after 12:3".
func (r *Reading) at(t score.Tick) string { return r.placed("at ", t) }

// placed names a moment, one on a beat after a word.
func (r *Reading) placed(on string, t score.Tick) string {
	p := r.Score.At(t)
	p.Number = r.number(t)
	return p.Counted(on)
}

// number is the printed number of the measure that a moment lies in, as numberOf has it.
func (r *Reading) number(t score.Tick) string {
	if len(r.Score.Measures) == 0 {
		return r.Score.At(t).Number
	}
	return numberOf(r.Score, r.Score.MeasureAt(t))
}

// numberOf is a measure's printed number; a second ending that the source counts apart,
// "X1", is "77b" after measure 77, as players say (common practice, no source).
func numberOf(s *score.Score, i int) string {
	number := s.Measures[i].Number
	if i == 0 || !strings.HasPrefix(number, "X") {
		return number
	}
	for _, e := range s.Endings {
		if e.First == i && len(e.Numbers) > 0 && e.Numbers[0] == 2 {
			return s.Measures[i-1].Number + "b"
		}
	}
	return number
}

// beat is the measure and the beat at or before a moment, and whether the moment lies after it.
func (r *Reading) beat(t score.Tick) (measure string, beat int, after bool) {
	p := r.Score.At(t)
	whole := math.Floor(p.Beat + 1e-9)
	return r.number(t), int(whole), p.Beat > whole+1e-9
}

// where names a moment in full: "measure 12, beat 3", "measure 12, after beat 3".
func (r *Reading) where(t score.Tick) string {
	measure, beat, after := r.beat(t)
	if after {
		return fmt.Sprintf("measure %s, after beat %d", measure, beat)
	}
	return fmt.Sprintf("measure %s, beat %d", measure, beat)
}

// between begins a sentence on a stretch: "In measures 5–8,".
func (r *Reading) between(from, to score.Tick) string {
	b := r.Bars(from, to)
	if b.First == b.Last {
		return "In measure " + b.First + ","
	}
	return "In measures " + b.String() + ","
}

// also names the places of a list beside one, up to three, each once: "mm. 2–3, 7"; "" for none.
func also(own Bars, list []Bars) string {
	const most = 3
	var out []Bars
	for _, b := range list {
		if len(out) < most && b != own && !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	if len(out) == 0 {
		return ""
	}
	return named(out)
}

// measureCount is how many measures the music has as a musician counts them: the last printed number
// where the numbers run from 0 or 1 without a gap, otherwise the measures that are no pickup, no
// rest of a split one and no second ending (common practice, no source).
func measureCount(s *score.Score) int {
	last, full, regular := -1, 0, true
	for i, m := range s.Measures {
		n, err := strconv.Atoi(m.Number)
		second := secondEnding(s, i)
		if m.Offset > 0 || second && (err != nil || n <= last) {
			continue
		}
		regular = regular && err == nil && (last < 0 && n <= 1 || n == last+1)
		if last = n; m.Head() == 0 && !second {
			full++
		}
	}
	if regular && last > 0 {
		return last
	}
	return full
}

// secondEnding reports whether a measure belongs to an ending that is not played the first time.
func secondEnding(s *score.Score, i int) bool {
	if strings.HasPrefix(s.Measures[i].Number, "X") {
		return true
	}
	return slices.ContainsFunc(s.Endings, func(e score.Ending) bool {
		return e.First <= i && i <= e.Last && len(e.Numbers) > 0 && !slices.Contains(e.Numbers, 1)
	})
}
