package scoregen

import (
	"math/rand/v2"
	"strconv"

	"hairpin/score"
)

// Chorale is an invented hymn of so many lines for four voices, a chord on each
// beat, a fermata over the end of each line, the same for the same seed.
func Chorale(lines int, seed uint64) *score.Score {
	w := &medley{rnd: rand.New(rand.NewPCG(seed, 6)), s: &score.Score{Title: "Hymn " + strconv.FormatUint(seed, 10), Division: division}}
	w.minor, w.tonic, w.under = w.chance(50), score.Class(w.rnd.IntN(9)-4), 1
	w.beats, w.unit = 3+w.rnd.IntN(2), 4
	for _, name := range []string{"Soprano", "Alto", "Tenor", "Bass"} {
		w.s.Parts = append(w.s.Parts, score.Part{ID: name[:1], Name: name, Staves: 1})
	}
	w.s.Times = append(w.s.Times, score.TimeMark{Text: strconv.Itoa(w.beats) + "/4", Beats: w.beats, Unit: 4})
	w.key()
	for range lines {
		w.hymnLine()
	}
	w.sorted()
	return w.s
}

// hymnLine is a line of two to four measures on one of the phrases' plans, its last
// chord held.
func (w *medley) hymnLine() {
	plans := phrasePlans()
	plan := plans[w.rnd.IntN(len(plans))]
	measures := 2 + w.rnd.IntN(3)
	chords := (measures-1)*w.beats + 1 + w.rnd.IntN(w.beats)
	top := 7 + w.rnd.IntN(4)
	for i := range chords {
		if i%w.beats == 0 {
			w.measure(w.nominal())
		}
		m := w.s.Measures[len(w.s.Measures)-1]
		at, length := m.Start+score.Tick(i%w.beats)*quarter, score.Tick(quarter)
		if i == chords-1 {
			length = m.End() - at
			if w.chance(40) {
				w.s.Slurs = append(w.s.Slurs, score.Slur{Span: score.Span{Start: max(at-quarter, 0), End: m.End(), Staff: 1}, Voice: 1})
			}
			for part := range w.s.Parts {
				w.s.Fermatas = append(w.s.Fermatas, score.Fermata{Place: score.Place{At: at, Part: part, Staff: 1}})
			}
		}
		c := plan[(len(plan)*chords-chords+i)%len(plan)] // the plan's end falls on the line's
		top = w.voices(c.plain(), at, length, top)
	}
}

// voices writes a chord for four voices, the highest near where it was, now and then
// with a passing note or a suspension; it returns where the highest is.
func (w *medley) voices(c bar4, at, length score.Tick, top int) int {
	top = nearChordTone(min(max(top+w.rnd.IntN(5)-2, 5), 13), c.root)
	bass := c.root - 14 + [5]int{0, 0, 0, 2, 4}[w.rnd.IntN(5)]
	for part, step := range []int{top, nearChordTone(top-3, c.root), nearChordTone(top-6, c.root), bass} {
		alter := w.raise(step, c.root, c.raised)
		switch {
		case length == quarter && part > 0 && w.chance(12): // a step on the way
			w.note(part, at, length/2, 1, step, alter)
			w.note(part, at+length/2, length/2, 1, step-1, 0)
		case length == quarter && part < 3 && w.chance(8): // a tone late
			w.note(part, at, length/2, 1, step+1, 0)
			w.note(part, at+length/2, length/2, 1, step, alter)
		default:
			w.note(part, at, length, 1, step, alter)
		}
	}
	w.sung(1, at)
	return top
}
