package performance

import (
	"math"
	"slices"

	"hairpin/performance/follow"
	"hairpin/performance/spectrum"
	"hairpin/score"
)

// How the loudness of a single note is told from sound: by how much its partials
// rise at its onset, over what rang before, those partials left out that another
// note struck with it has too.
const (
	aside   = 0.06 // seconds from the onset at which is listened
	decayed = 0.8  // of what rang before is still there after
	risen   = 0.05 // of what is there after is new at least
)

// notePartials are the overtones listened to, in semitones above the note.
var notePartials = [...]int{0, 12, 19, 24}

// noteEntries are the notes heard, with what their partials rose by.
func noteEntries(s *score.Score, runs []follow.Run, x []float32) (out []entry) {
	p := spectrum.NewPitches(x, spectrum.Tuning(x))
	for i, r := range runs {
		for _, h := range heardPlaces(s, r) {
			var before, after spectrum.Frame
			p.At(h.time-aside, &before)
			p.At(h.time+aside, &after)
			for _, n := range h.notes {
				l := spectrum.Decibels(noteRise(s, h.notes, n, &before, &after))
				out = append(out, entry{at: h.at, run: i, time: h.time, part: s.Notes[n].Part, level: l, note: n})
			}
		}
	}
	lessRegister(s, out)
	return out
}

// noteRise is by how much the power of a note's own partials rises.
func noteRise(s *score.Score, chord []int, n int, before, after *spectrum.Frame) (power float64) {
	key := s.Notes[n].Pitch.Key()
	for j, d := range notePartials {
		b := key + d - spectrum.Lowest
		if b < 0 || b >= spectrum.Bands || j > 0 && shared(s, chord, n, key+d) {
			continue
		}
		a := float64(after[b])
		power += max(a-decayed*float64(before[b]), risen*a)
	}
	return power
}

// shared reports whether another note of a chord has a partial at a key.
func shared(s *score.Score, chord []int, n, key int) bool {
	return slices.ContainsFunc(chord, func(m int) bool {
		return m != n && slices.Contains(notePartials[:], key-s.Notes[m].Pitch.Key())
	})
}

// registerWidth is over how many semitones on each side the usual level is taken.
const registerWidth = 4.0

// lessRegister fills in the relative levels: less the mean of the take at about the
// same pitch, since instruments, rooms and microphones favour some.
func lessRegister(s *score.Score, list []entry) {
	var sum, weight [keys]float64
	for _, e := range list {
		for k := range sum {
			if w := 1 - math.Abs(float64(k-s.Notes[e.note].Pitch.Key()))/registerWidth; w > 0 {
				sum[k] += w * e.level
				weight[k] += w
			}
		}
	}
	for i := range list {
		k := s.Notes[list[i].note].Pitch.Key()
		list[i].relative = list[i].level - sum[k]/weight[k]
	}
}
