package events

import "hairpin/score"

// lines links every note with its neighbours in the same voice: the nearest note of
// the attack before and of the one after, -1 where a rest longer than a quarter lies
// between. It is as the tension links them.
type lines struct{ before, after []int }

// voice names a voice of a staff of a part.
type voice struct{ part, staff, voice int }

func voiceOf(n *score.Note) voice { return voice{n.Part, n.Staff, n.Voice} }

// attack are the notes of one voice that start together.
type attack []int

func linkLines(s *score.Score) lines {
	l := lines{make([]int, len(s.Notes)), make([]int, len(s.Notes))}
	for i := range s.Notes {
		l.before[i], l.after[i] = -1, -1
	}
	for _, attacks := range attacksOf(s) {
		for i := 1; i < len(attacks); i++ {
			l.join(s, attacks[i-1], attacks[i])
		}
	}
	return l
}

// attacksOf sorts the pitched notes into the attacks of every voice.
func attacksOf(s *score.Score) map[voice][]attack {
	out := map[voice][]attack{}
	for i := range s.Notes {
		n := &s.Notes[i]
		if !n.Pitched() || n.Cue {
			continue
		}
		v := voiceOf(n)
		if last := len(out[v]) - 1; last >= 0 && s.Notes[out[v][last][0]].Onset == n.Onset {
			out[v][last] = append(out[v][last], i)
			continue
		}
		out[v] = append(out[v], attack{i})
	}
	return out
}

// join links two attacks that follow each other, note by note.
func (l lines) join(s *score.Score, from, to attack) {
	for _, a := range from {
		for _, b := range to {
			if s.Notes[a].End()+s.Division < s.Notes[b].Onset {
				continue
			}
			if o := l.before[b]; o < 0 || gap(s, a, b) < gap(s, o, b) {
				l.before[b] = a
			}
			if o := l.after[a]; o < 0 || gap(s, a, b) < gap(s, a, o) {
				l.after[a] = b
			}
		}
	}
}

// gap is the distance between two notes in semitones.
func gap(s *score.Score, a, b int) int {
	d := s.Notes[a].Pitch.Key() - s.Notes[b].Pitch.Key()
	return max(d, -d)
}

// step is how far b lies from a if it is a step of the staff: -1 or 1, otherwise 0.
func step(s *score.Score, a, b int) int {
	p, q := s.Notes[a].Pitch, s.Notes[b].Pitch
	d := staffStep(q) - staffStep(p)
	if k := q.Key() - p.Key(); d*d != 1 || k*d < 1 || k*d > 2 {
		return 0
	}
	return d
}
