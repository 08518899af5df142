package report

import (
	"fmt"

	"hairpin/dynamics/advice"
	"hairpin/dynamics/page"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// peakOf is the climax of the piece, nil if no phrase has a goal: in a song never
// before the voice enters or after its last measure.
func peakOf(p *advice.Plan, s *score.Score) *advice.Climax {
	from := entry(s)
	list := p.Climaxes([]advice.Span{{Start: from, End: exit(s, from)}})
	if len(list) == 0 {
		return nil
	}
	return &list[0]
}

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
	return &climax{At: r.At(c.At), place: r.place(c.At), Onset: r.quarters(c.At), Level: level, Mark: c.Mark, Certainty: c.Certainty.String()}
}

// summit is the climax of the piece, with the places that vie with it.
func (r *Reading) summit(c *advice.Climax) *climax {
	if c == nil {
		return nil
	}
	out := r.climax(*c)
	for _, t := range r.loudMarks() {
		if c.Mark != "" && !r.sameMeasure(t, c.At) {
			out.Others = append(out.Others, r.At(t))
		}
	}
	if t, ok := r.Tensest(); ok && r.apart(t, c.At) {
		out.Tensest = r.At(t)
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

// apart reports whether two moments are more than a measure from each other.
func (r *Reading) apart(a, b score.Tick) bool {
	i, j := r.Score.MeasureAt(a), r.Score.MeasureAt(b)
	return i-j > 1 || j-i > 1
}

// climaxSentence says where the piece is loudest, by the page if it says so, and
// where the harmony is most tense if that is another place.
func (r *Reading) climaxSentence(c advice.Climax) string {
	text := r.loudestText(c)
	if t, ok := r.Tensest(); ok && r.apart(t, c.At) {
		text += "; " + r.TensestWords(t)
	}
	return text
}

func (r *Reading) loudestText(c advice.Climax) string {
	places, sure := len(r.loudMarks()), c.Certainty > tonal.Unsure
	soft := c.Mark != "" && r.Page.Range.High < page.MF
	switch {
	case soft && !sure:
		return "no place stands out as the climax"
	case c.Mark != "" && places == 1 && sure:
		return fmt.Sprintf("all of it leads to %s (%s), the only printed %s", r.place(c.At), c.Certainty, c.Mark)
	case c.Mark != "" && places == 1:
		return fmt.Sprintf("the loudest printed mark is %s, once, %s", c.Mark, r.at(c.At))
	case c.Mark != "" && sure:
		return fmt.Sprintf("of %s places marked %s, %s weighs most (%s)", several(places), c.Mark, r.place(c.At), c.Certainty)
	case c.Mark != "":
		return fmt.Sprintf("the print has %s at %s places, none of which stands out", c.Mark, several(places))
	case sure:
		return fmt.Sprintf("all of it leads to %s (%s)", r.place(c.At), c.Certainty)
	}
	return "no place stands out as the climax"
}

// several is a number, or "many" where nobody would count.
func several(n int) string {
	const most = 9
	if n > most {
		return "many"
	}
	return fmt.Sprint(n)
}
