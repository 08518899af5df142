package report

import (
	"fmt"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// entry is where the voice of a song enters after its prelude, 0 without a voice. A
// voice that enters past the first third is no song's.
func entry(s *score.Score) score.Tick {
	const most = 3
	first := s.Length()
	for _, x := range s.Syllables {
		first = min(first, x.At)
	}
	if first >= s.Length()/most {
		return 0
	}
	return first
}

// exit is the end of the last sung measure of a song whose voice enters at from, else
// that of the piece.
func exit(s *score.Score, from score.Tick) score.Tick {
	if from == 0 {
		return s.Length()
	}
	last := from
	for _, y := range s.Syllables {
		last = max(last, y.At)
	}
	if m := s.Measures[s.MeasureAt(last)]; m.End() > s.Length()/2 {
		return m.End()
	}
	return s.Length()
}

func (r *Reading) climax(c advice.Climax) *climax {
	level := c.Mark
	if level == "" {
		level = page.Mark(c.Level)
	}
	return &climax{At: r.At(c.At), place: r.Place(c.At), Onset: r.quarters(c.At), Level: level, Mark: c.Mark, Certainty: c.Certainty.String()}
}

// told is the climax of the piece with its reasons, nil if nothing can be said of it.
func (r *Reading) told() *climax {
	if r.peak == nil {
		return nil
	}
	out := r.climax(r.peak.Climax)
	out.Why = r.peak.why
	for _, t := range r.loudMarks() {
		if r.peak.Mark != "" && !r.sameMeasure(t, r.peak.At) {
			out.Others = append(out.Others, r.At(t))
		}
	}
	return out
}

// loudMarks are the places of the loudest mark that the page prints, one a measure.
func (r *Reading) loudMarks() []score.Tick {
	var out []score.Tick
	for _, z := range r.Page.Zones {
		if z.Text == "" || z.Level < r.Page.Range.High {
			continue
		}
		if n := len(out); n == 0 || !r.sameMeasure(out[n-1], z.Start) {
			out = append(out, z.Start)
		}
	}
	return out
}

func (r *Reading) sameMeasure(a, b score.Tick) bool {
	return r.Score.MeasureAt(a) == r.Score.MeasureAt(b)
}

// climaxSentence names the climax and says why, "" where one place alone does not
// stand out: what the page prints at many places is no news.
func (r *Reading) climaxSentence() string {
	c := r.peak
	switch {
	case c == nil:
		return ""
	case c.Certainty > tonal.Unsure:
		return fmt.Sprintf("the climax is %s (%s)%s: %s", r.Place(c.At), c.Certainty, r.onWord(c.At), join(c.why))
	case c.Mark != "" && len(r.loudMarks()) == 1 && r.Page.Range.High >= page.F && !r.sameMeasure(c.At, entry(r.Score)):
		return fmt.Sprintf("the page is loudest %s, its only %s%s", r.at(c.At), c.Mark, r.onWord(c.At))
	}
	return ""
}
