package report

import (
	"fmt"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

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
		return fmt.Sprintf("the climax is %s (%s)%s: %s%s", r.Place(c.At), c.Certainty, r.onWord(c.At), join(c.why), r.louderThere(c.At))
	case c.Mark != "" && len(r.loudMarks()) == 1 && r.Page.Range.High >= page.F && !r.sameMeasure(c.At, advice.Entry(r.Score)):
		return fmt.Sprintf("the page is loudest %s, its only %s%s", r.at(c.At), c.Mark, r.onWord(c.At))
	}
	return ""
}

// louderThere says where players tend to be loudest, if that is not about the climax: it is
// the goal of the long line, and need not be the loudest place.
func (r *Reading) louderThere(climax score.Tick) string {
	l := r.Plan.Loudest
	if l == nil || l.Certainty == tonal.Unsure || r.loudAbout(climax) > tonal.Unsure {
		return ""
	}
	return "; players tend to be loudest about m. " + r.number(r.Score.Measures[l.Measure].Start)
}

// loudAbout is how sure players are to be loudest about a moment: unsure if they are so elsewhere.
func (r *Reading) loudAbout(at score.Tick) tonal.Certainty {
	const near = 2 // measures
	l := r.Plan.Loudest
	if l == nil {
		return tonal.Unsure
	}
	if d := r.Score.MeasureAt(at) - l.Measure; d < -near || d > near {
		return tonal.Unsure
	}
	return l.Certainty
}
