package practice

import (
	"bytes"
	"slices"

	"hairpin/harmony/reduction"
	"hairpin/musicxml"
	"hairpin/report"
	"hairpin/report/annotate"
	"hairpin/score"
)

// Reduction is the shown stretch in block chords at its harmonic rhythm, on two
// staves: printed dynamics kept, phrases as slurs, numerals and tension below.
func Reduction(r *report.Reading, names report.Names) (*musicxml.File, error) {
	s := score.Cut(blocks(r), score.Stretch{From: r.From, To: r.To})
	if r.From == 0 && r.To == r.Score.Length() {
		s = blocks(r)
	}
	s.Title = titled(r, "reduction")
	from := r.From
	return labelled(r, s, names, func(at score.Tick) score.Tick { return at - from })
}

// titled is the score's title with what was made of it.
func titled(r *report.Reading, what string) string {
	if r.Score.Title == "" {
		return what
	}
	return r.Score.Title + ", " + what
}

// blocks is the whole piece in block chords, with a slur over each phrase.
func blocks(r *report.Reading) *score.Score {
	red := reduction.Reduce(r.Score, r.Harmony.Chords, r.Harmony.Slices)
	red.Blocks = restruck(r.Score, onGrid(r.Score, red.Blocks))
	s := red.Score(r.Score)
	s.Slurs, s.Dynamics = nil, withoutRepeated(s)
	for _, ph := range r.Harmony.Phrases {
		start, end := score.Tick(-1), score.Tick(-1)
		for _, b := range red.Blocks {
			if b.Start >= ph.Start && b.Start < ph.End {
				if start < 0 {
					start = b.Start
				}
				end = b.End
			}
		}
		if start >= 0 {
			s.Slurs = append(s.Slurs, score.Slur{Span: score.Span{Start: start, End: end, Staff: 1}, Voice: 1})
		}
	}
	return s
}

// restruck strikes a chord again where a passage begins or is left: no tie leads
// over a repeat sign, a double bar line or into an ending.
func restruck(s *score.Score, blocks []reduction.Block) (out []reduction.Block) {
	seams := slices.Clone(s.DoubleBar)
	for _, p := range s.Repeats {
		seams = append(seams, p.At)
	}
	for _, e := range s.Endings {
		seams = append(seams, e.Start, e.End)
	}
	slices.Sort(seams)
	seams = slices.Compact(seams)
	for _, b := range blocks {
		for _, at := range seams {
			if b.Start < at && at < b.End {
				first := b
				first.End = at
				out = append(out, first)
				b.Start = at
			}
		}
		out = append(out, b)
	}
	return out
}

// onGrid moves chord changes that fall within runs and tuplets to the nearest
// sixteenth, so that the chords have simple note values.
func onGrid(s *score.Score, blocks []reduction.Block) (out []reduction.Block) {
	for _, b := range blocks {
		b.Start, b.End = toGrid(s, b.Start), toGrid(s, b.End)
		if b.Start < b.End {
			out = append(out, b)
		}
	}
	return out
}

// toGrid is the nearest sixteenth; bar lines, sixteenths and triplet eighths stay.
func toGrid(s *score.Score, at score.Tick) score.Tick {
	m := s.Measures[s.MeasureAt(at)]
	off, quarter := at-m.Start, s.Division
	if at >= m.End() || 4*off%quarter == 0 || 3*off%quarter == 0 {
		return at
	}
	unit := quarter
	for _, part := range [...]score.Tick{4, 2} {
		if quarter%part == 0 {
			unit = quarter / part
			break
		}
	}
	return min(m.Start+(off+unit/2)/unit*unit, m.End())
}

// withoutRepeated is the score's dynamics without levels that hold already:
// several parts print the same mark one after the other.
func withoutRepeated(s *score.Score) (out []score.Dynamic) {
	last, since := "", score.Tick(0)
	for _, d := range s.Dynamics {
		moved := slices.ContainsFunc(s.Hairpins, func(h score.Hairpin) bool { return h.End > since && h.Start < d.At })
		if !score.IsLevel(d.Mark) || d.Mark != last || moved {
			out = append(out, d)
		}
		if score.IsLevel(d.Mark) {
			last, since = d.Mark, d.At
		}
	}
	return out
}

// labelled writes a score of ours and puts numerals and tension under it; place
// says where a moment of the piece stands in it.
func labelled(r *report.Reading, s *score.Score, names report.Names, place func(score.Tick) score.Tick) (*musicxml.File, error) {
	var doc bytes.Buffer
	if err := musicxml.Write(&doc, s); err != nil {
		return nil, err
	}
	f, err := musicxml.Read(&doc, "", musicxml.Limits{})
	if err != nil {
		return nil, err
	}
	return annotate.Underlay(r, f, names, func(at score.Tick) score.Tick { return place(at) * f.Score.Division / s.Division })
}
