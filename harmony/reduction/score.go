package reduction

import (
	"sort"

	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// Score lays the reduction out as a score of one part on two staves. Measures,
// signatures, tempos, repeats and bar lines are those of s. Dynamics, hairpins,
// dashes, words and fermatas are kept; where parts differ at one moment, the
// marks of the leading line's part stand. Slurs are those of that part, drawn
// over whole blocks.
func (r *Reduction) Score(s *score.Score) *score.Score {
	out := &score.Score{
		Title: s.Title, Composer: s.Composer, Division: s.Division,
		Parts:    []score.Part{{ID: "P1", Name: "Reduction", Staves: 2}},
		Measures: s.Measures, Tempos: s.Tempos, Repeats: s.Repeats,
		Endings: s.Endings, Jumps: s.Jumps, DoubleBar: s.DoubleBar,
	}
	for _, b := range r.Blocks {
		out.Notes = append(out.Notes, b.notes(s)...)
	}
	first := phrasing.LeadingPart(s)
	copyMarks(out, s, first)
	out.Slurs = r.slurs(s, first)
	return out
}

// notes writes the block as notes, from the bass upward.
func (b Block) notes(s *score.Score) []score.Note {
	var out []score.Note
	for hand, tones := range [][]score.Pitch{b.Left, b.Right} {
		for i, p := range tones {
			out = append(out, score.Note{
				Onset: b.Start, Duration: b.End - b.Start, Measure: s.MeasureAt(b.Start),
				Staff: 2 - hand, Voice: 2 - hand, Pitch: p, Chord: i > 0,
			})
		}
	}
	return out
}

// copyMarks carries the printed marks over, those of part first before others.
func copyMarks(out, s *score.Score, first int) {
	for _, k := range firstAt(s.Keys, first, func(k score.KeyMark) score.Place { return k.Place }) {
		k.Place = score.Place{At: k.At}
		k.Written = k.Fifths
		out.Keys = append(out.Keys, k)
	}
	for _, t := range firstAt(s.Times, first, func(t score.TimeMark) score.Place { return t.Place }) {
		t.Place = score.Place{At: t.At}
		out.Times = append(out.Times, t)
	}
	for _, d := range firstAt(s.Dynamics, first, func(d score.Dynamic) score.Place { return d.Place }) {
		d.Place, d.OnNote, d.Voice = upper(d.At), false, 0
		out.Dynamics = append(out.Dynamics, d)
	}
	for _, w := range firstAt(s.Words, first, func(w score.Words) score.Place { return w.Place }) {
		w.Place = upper(w.At)
		out.Words = append(out.Words, w)
	}
	for _, f := range firstAt(s.Fermatas, first, func(f score.Fermata) score.Place { return f.Place }) {
		out.Fermatas = append(out.Fermatas, score.Fermata{Place: upper(f.At)})
	}
	for _, h := range apart(s.Hairpins, first, func(h score.Hairpin) score.Span { return h.Span }) {
		h.Part, h.Staff = 0, 1
		out.Hairpins = append(out.Hairpins, h)
	}
	for _, d := range apart(s.Dashes, first, func(d score.Dashes) score.Span { return d.Span }) {
		d.Part, d.Staff = 0, 1
		out.Dashes = append(out.Dashes, d)
	}
}

// slurs are those of a part over whole blocks: each from the block in which it
// starts to the one in which it ends, none inside one block or over another's end.
func (r *Reduction) slurs(s *score.Score, part int) []score.Slur {
	var out []score.Slur
	var free score.Tick
	i := 0
	for _, u := range s.Slurs {
		for i < len(r.Blocks) && r.Blocks[i].End <= u.Start {
			i++
		}
		j := i
		for j < len(r.Blocks) && r.Blocks[j].End < u.End {
			j++
		}
		if u.Part != part || i == j || j >= len(r.Blocks) || r.Blocks[i].Start < free {
			continue
		}
		u.Span = score.Span{Start: r.Blocks[i].Start, End: r.Blocks[j].End, Staff: 1}
		u.Voice = 1
		free = u.End
		out = append(out, u)
	}
	return out
}

func upper(t score.Tick) score.Place { return score.Place{At: t, Staff: 1} }

// firstAt keeps one part's marks a moment: those of the given part if it has
// any, otherwise of the first that has. The result is sorted by time.
func firstAt[M any](marks []M, part int, place func(M) score.Place) []M {
	var out []M
	owner := map[score.Tick]int{}
	for _, own := range []bool{true, false} {
		for _, m := range marks {
			p := place(m)
			if has, taken := owner[p.At]; (p.Part == part) == own && (!taken || has == p.Part) {
				owner[p.At] = p.Part
				out = append(out, m)
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return place(out[i]).At < place(out[j]).At })
	return out
}

// apart keeps the stretches of the given part, and of the others those that
// touch none kept before. The result is sorted by time.
func apart[M any](marks []M, part int, span func(M) score.Span) []M {
	var out []M
	for _, own := range []bool{true, false} {
		for _, m := range marks {
			if sp := span(m); (sp.Part == part) == own && (own || free(out, sp, span)) {
				out = append(out, m)
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return span(out[i]).Start < span(out[j]).Start })
	return out
}

// free reports whether none of the kept stretches overlaps sp.
func free[M any](kept []M, sp score.Span, span func(M) score.Span) bool {
	for _, k := range kept {
		if x := span(k); x.Start < sp.End && sp.Start < x.End {
			return false
		}
	}
	return true
}
