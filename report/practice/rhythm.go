package practice

import (
	"slices"

	"hairpin/score"
)

// slower is a score in so many times its length: each measure becomes as many
// measures of the same metre.
func slower(s *score.Score, times score.Tick) *score.Score {
	out := *s
	out.Measures, out.Notes, out.Keys, out.Times = nil, slices.Clone(s.Notes), slices.Clone(s.Keys), slices.Clone(s.Times)
	out.Dynamics, out.Words, out.Hairpins, out.Dashes = slices.Clone(s.Dynamics), slices.Clone(s.Words), slices.Clone(s.Hairpins), slices.Clone(s.Dashes)
	for _, m := range s.Measures {
		m.Start *= times
		for range times {
			out.Measures = append(out.Measures, m)
			m.Start += m.Length
			m.Pickup = false
		}
	}
	for i := range out.Notes {
		out.Notes[i].Onset *= times
		out.Notes[i].Duration *= times
	}
	for i := range out.Keys {
		out.Keys[i].At *= times
	}
	for i := range out.Times {
		out.Times[i].At *= times
	}
	for i := range out.Dynamics {
		out.Dynamics[i].At *= times
	}
	for i := range out.Words {
		out.Words[i].At *= times
	}
	for i := range out.Hairpins {
		out.Hairpins[i].Start *= times
		out.Hairpins[i].End *= times
	}
	for i := range out.Dashes {
		out.Dashes[i].Start *= times
		out.Dashes[i].End *= times
	}
	return &out
}

// struck strikes every chord again on each beat that it lasts.
func struck(s *score.Score) *score.Score {
	out := *s
	out.Notes = nil
	for _, n := range s.Notes {
		for at := n.Onset; at < n.End(); {
			next := min(nextBeat(s, at), n.End())
			x := n
			x.Onset, x.Duration = at, next-at
			out.Notes = append(out.Notes, x)
			at = next
		}
	}
	return &out
}

// nextBeat is the first beat or bar line after a moment.
func nextBeat(s *score.Score, at score.Tick) score.Tick {
	m := s.Measures[s.MeasureAt(at)]
	beat := m.Beat(s.Division)
	return min(at+beat-m.Into(at)%beat, m.End())
}

// figuration is what one part plays, on the book's staves.
func (b *book) figuration(s *score.Score, part int) *score.Score {
	staff := onStaff(s, part)
	out := &score.Score{Division: s.Division, Measures: s.Measures}
	for _, n := range s.Notes {
		if n.Part == part && !n.Unpitched && !n.Cue {
			n.Part, n.Staff = 0, staff(n.Staff)
			out.Notes = append(out.Notes, n)
		}
	}
	renumber(out.Notes)
	out.Keys = ofPart(s.Keys, part, staff, func(k *score.KeyMark) *score.Place { return &k.Place })
	for i := range out.Keys {
		out.Keys[i].Staff = 0
	}
	out.Times = ofPart(s.Times, part, staff, func(t *score.TimeMark) *score.Place { return &t.Place })
	out.Dynamics = ofPart(s.Dynamics, part, staff, func(d *score.Dynamic) *score.Place { return &d.Place })
	out.Words = ofPart(s.Words, part, staff, func(w *score.Words) *score.Place { return &w.Place })
	for _, h := range s.Hairpins {
		if h.Part == part {
			h.Part, h.Staff = 0, staff(h.Staff)
			out.Hairpins = append(out.Hairpins, h)
		}
	}
	for _, d := range s.Dashes {
		if d.Part == part {
			d.Part, d.Staff = 0, staff(d.Staff)
			out.Dashes = append(out.Dashes, d)
		}
	}
	for _, l := range s.Slurs {
		if l.Part == part {
			l.Part, l.Staff = 0, staff(l.Staff)
			out.Slurs = append(out.Slurs, l)
		}
	}
	return out
}

// renumber gives the first voice of each staff the staff's number, as the
// chords have it, and further ones numbers of their own.
func renumber(notes []score.Note) {
	first := map[int]int{}
	for _, n := range notes {
		if v, ok := first[n.Staff]; !ok || n.Voice < v {
			first[n.Staff] = n.Voice
		}
	}
	const apart = 1000
	for i := range notes {
		if n := &notes[i]; n.Voice == first[n.Staff] {
			n.Voice = n.Staff
		} else {
			n.Voice += apart
		}
	}
}

// ofPart keeps the marks of one part and moves them to the book's staves.
func ofPart[M any](list []M, part int, staff func(int) int, place func(*M) *score.Place) (out []M) {
	for _, m := range list {
		if p := place(&m); p.Part == part {
			p.Part, p.Staff = 0, staff(p.Staff)
			out = append(out, m)
		}
	}
	return out
}

// onStaff says on which staff of the book a staff of the part stands: a part of
// one staff takes the upper or the lower, where its notes fit.
func onStaff(s *score.Score, part int) func(int) int {
	if s.Parts[part].Staves > 1 {
		return func(staff int) int { return max(staff, 1) }
	}
	const middle = 58 // a third below middle C
	sum, count := 0.0, 0.0
	for _, n := range s.Notes {
		if n.Part == part && n.Pitched() {
			sum, count = sum+n.Pitch.MIDI(), count+1
		}
	}
	if sum < middle*count {
		return func(int) int { return 2 }
	}
	return func(int) int { return 1 }
}
