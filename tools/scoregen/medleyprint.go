package scoregen

import (
	"strconv"

	"hairpin/score"
)

// print prints what stands less often over a phrase: second endings, pedals, playback
// levels, marks that are hidden, symbols of every kind, signs on held notes.
func (w *medley) print(from score.Tick, first int) {
	if n := len(w.s.Endings); n > 0 && w.s.Endings[n-1].First == first-1 && len(w.s.Endings[n-1].Numbers) == 1 && w.s.Endings[n-1].Numbers[0] == 1 {
		m := w.s.Measures[first]
		w.s.Endings = append(w.s.Endings, score.Ending{Start: m.Start, End: m.End(), First: first, Last: first, Numbers: []int{2}, Discontinue: w.chance(50)})
	}
	if w.chance(20) {
		p := w.place(from, w.end())
		w.s.Pedals = append(w.s.Pedals, score.Span{Start: p.At, End: min(p.At+2*w.beat(), w.end()), Part: 0, Staff: 2})
	}
	if w.chance(15) {
		w.s.Sounds = append(w.s.Sounds, score.SoundLevel{Place: score.Place{At: from}, Percent: float64(30 + w.rnd.IntN(100))})
	}
	if w.chance(10) {
		p := w.place(from, w.end())
		w.s.Dynamics = append(w.s.Dynamics, score.Dynamic{Place: p, Written: p.At, Mark: w.one("f", "p", "sfz"), Hidden: true})
	}
	if w.chance(25) {
		for m := first; m < len(w.s.Measures); m++ {
			w.symbol(w.s.Measures[m].Start)
		}
	}
	w.held(from)
}

// symbol prints a chord symbol.
func (w *medley) symbol(at score.Tick) {
	root := (w.tonic + score.Class(w.rnd.IntN(6)-2)).String()
	c := score.ChordSymbol{Place: score.Place{At: at, Staff: 1}, Root: root, WrittenRoot: root, Inversion: w.rnd.IntN(4) - 1,
		Kind: w.one("major", "minor", "dominant", "major-seventh", "minor-seventh", "half-diminished", "suspended-fourth", "dominant-ninth", "augmented",
			"diminished", "major-sixth", "minor-sixth", "power", "none", "other", "augmented-seventh", "Neapolitan", "Italian", "German", "French", "dominant-13th")}
	if w.chance(30) {
		c.Inversion = -1
		c.Bass = (w.tonic + score.Class(w.rnd.IntN(4))).String()
		c.WrittenBass = c.Bass
	}
	if w.chance(25) {
		c.Degrees = []score.Degree{{Value: []int{2, 4, 5, 9, 11, 13}[w.rnd.IntN(6)], Alter: float64(w.rnd.IntN(3) - 1), Type: w.one("add", "alter", "subtract")}}
	}
	w.s.Symbols = append(w.s.Symbols, c)
}

// held puts an accent into a note that is tied on over a beat, and velocities on notes.
func (w *medley) held(from score.Tick) {
	for i, n := range w.s.Notes {
		if n.Onset < from || n.Grace {
			continue
		}
		if n.Duration > w.beat() && w.chance(2) {
			w.s.Notes[i].Later = []score.LaterSign{{At: n.Onset + w.beat(), Signs: score.Accent}}
		}
		if w.chance(1) {
			w.s.Notes[i].Small = true
		}
	}
}

// jumps sends the player back from the end, now and then.
func (w *medley) jumps() {
	last := len(w.s.Measures) - 1
	if last < 4 || !w.chance(20) {
		return
	}
	end := func(m int, kind, label string) {
		w.s.Jumps = append(w.s.Jumps, score.Jump{At: w.s.Measures[m].End(), Measure: m, Kind: kind, Label: label})
	}
	if w.chance(50) {
		end(last/2, "fine", "Fine")
		end(last, "dacapo", "D.C. al Fine")
		return
	}
	sign := 1 + w.rnd.IntN(last/3)
	w.s.Jumps = append(w.s.Jumps, score.Jump{At: w.s.Measures[sign].Start, Measure: sign, Kind: "segno", Label: strconv.Itoa(1)})
	end(last, "dalsegno", "D.S.")
}
