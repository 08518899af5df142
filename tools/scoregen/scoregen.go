// Package scoregen invents piano scores of any length, to measure time and
// memory on. The music is our own: phrases of four measures over common
// progressions, a broken-chord left hand, a melody with neighbours, passing
// notes, grace notes and notes held over the bar, a new key every sixteen
// measures, slurs, articulations and printed dynamics.
package scoregen

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"strconv"

	"hairpin/score"
)

const (
	division = 12
	quarter  = score.Tick(division)
	bar      = 4 * quarter
)

// progressions are phrases of four measures: the scale degree of each
// measure's root, from 0. Common practice, no source.
var progressions = [...][4]int{
	{0, 3, 4, 0}, {0, 5, 1, 4}, {0, 4, 5, 3}, {0, 1, 4, 5}, {5, 3, 4, 0}, {0, 2, 3, 4},
}

// writer writes one score.
type writer struct {
	s     *score.Score
	rnd   *rand.Rand
	tonic score.Class
	line  int // the melody's place in scale steps above middle C
}

// Piano is a score of so many measures in common time, the same for the same seed.
func Piano(measures int, seed uint64) *score.Score {
	w := &writer{
		s: &score.Score{
			Title: "Invention " + strconv.FormatUint(seed, 10), Division: division,
			Parts: []score.Part{{ID: "P1", Name: "Piano", Staves: 2}},
			Times: []score.TimeMark{{Text: "4/4", Beats: 4, Unit: 4}},
		},
		rnd:  rand.New(rand.NewPCG(seed, 1)),
		line: 7,
	}
	for m := range measures {
		w.measure(m)
	}
	slices.SortStableFunc(w.s.Notes, func(a, b score.Note) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.Pitch.Key(), b.Pitch.Key()))
	})
	return w.s
}

func (w *writer) measure(m int) {
	start := score.Tick(m) * bar
	w.s.Measures = append(w.s.Measures, score.Measure{
		Number: strconv.Itoa(m + 1), Start: start, Length: bar, Nominal: bar, Beats: 4, BeatUnit: 4,
	})
	if m%16 == 0 {
		w.tonic = score.Class(w.rnd.IntN(7) - 3)
		w.s.Keys = append(w.s.Keys, score.KeyMark{Place: score.Place{At: start}, Fifths: int(w.tonic), Written: int(w.tonic), Mode: "major"})
	}
	phrase := progressions[(m/4+w.rnd.IntN(2))%len(progressions)]
	root := phrase[m%4]
	w.left(m, root)
	w.right(m, root)
	w.marks(m)
}

// left breaks the chord into eighths, its root first, the seventh on a fifth degree.
func (w *writer) left(m, root int) {
	pattern := [8]int{0, 4, 7, 4, 2, 4, 7, 4}
	for i, step := range pattern {
		if root == 4 && i == 6 {
			step = 6
		}
		w.note(m, score.Tick(i)*quarter/2, quarter/2, 2, root-14+step)
		if m%4 >= 2 && i%2 == 1 {
			w.sign(score.Staccato)
		}
	}
}

// right sings: a chord tone on each beat, a step to fill, now and then held over.
func (w *writer) right(m, root int) {
	for beat := score.Tick(0); beat < 4; beat++ {
		at := beat * quarter
		if m%8 == 7 && beat == 0 {
			continue // held over from the measure before
		}
		w.line = nearChordTone(w.line+w.rnd.IntN(5)-2, root)
		switch kind := w.rnd.IntN(4); {
		case m%8 == 6 && beat == 3:
			w.note(m, at, 2*quarter, 1, w.line)
		case m%4 == 3 && beat == 2:
			w.note(m, at, 0, 1, w.line+1)
			w.note(m, at, quarter, 1, w.line)
			w.sign(score.Tenuto)
		default:
			w.turn(m, at, kind)
		}
		if m%8 == 0 && beat == 0 {
			w.sign(score.Accent)
		}
	}
}

// turn fills a beat.
func (w *writer) turn(m int, at score.Tick, kind int) {
	switch kind {
	case 0:
		w.note(m, at, quarter, 1, w.line)
	case 1: // a neighbour after the tone
		w.note(m, at, quarter/2, 1, w.line)
		w.note(m, at+quarter/2, quarter/2, 1, w.line+1)
	case 2: // an appoggiatura before it
		w.note(m, at, quarter/2, 1, w.line+1)
		w.note(m, at+quarter/2, quarter/2, 1, w.line)
	default: // a triplet
		for i := range score.Tick(3) {
			w.note(m, at+i*quarter/3, quarter/3, 1, w.line+int(i%2))
		}
	}
}

// nearChordTone is the chord tone nearest below, kept within two octaves.
func nearChordTone(step, root int) int {
	step = min(max(step, 2), 15)
	for mod(step-root, 7) != 0 && mod(step-root, 7) != 2 && mod(step-root, 7) != 4 {
		step--
	}
	return step
}

// note adds a note by scale steps above the tonic's scale at middle C; without
// a length it is a grace note.
func (w *writer) note(m int, at, length score.Tick, staff, step int) {
	w.s.Notes = append(w.s.Notes, score.Note{
		Onset: score.Tick(m)*bar + at, Duration: length, Staff: staff, Voice: 4*staff - 3, Measure: m,
		Pitch: w.pitch(step), Grace: length == 0,
	})
}

// sign marks the note added last.
func (w *writer) sign(s score.Sign) { w.s.Notes[len(w.s.Notes)-1].Signs |= s }

// pitch spells a step of the key's major scale.
func (w *writer) pitch(step int) score.Pitch {
	letter := w.tonic.Step() + step
	c := w.tonic + score.Class([7]int{0, 2, 4, -1, 1, 3, 5}[mod(step, 7)])
	return score.Pitch{Step: c.Step(), Alter: float64(c.Alter()), Octave: 4 + (letter-mod(letter, 7))/7}
}

// marks prints a level every eight measures, a hairpin in every phrase, a slur
// over every other measure, words now and then.
func (w *writer) marks(m int) {
	at := score.Tick(m) * bar
	here := score.Place{At: at, Staff: 1}
	if m%8 == 0 {
		mark := [...]string{"p", "mf", "f", "pp", "mp"}[w.rnd.IntN(5)]
		w.s.Dynamics = append(w.s.Dynamics, score.Dynamic{Place: here, Written: at, Mark: mark})
	}
	if m%4 == 1 {
		kind := score.HairpinKind(w.rnd.IntN(2))
		w.s.Hairpins = append(w.s.Hairpins, score.Hairpin{
			Span: score.Span{Start: at, End: at + bar, Staff: 1}, WrittenStart: at, WrittenEnd: at + bar, Kind: kind,
		})
	}
	if m%2 == 0 {
		w.s.Slurs = append(w.s.Slurs, score.Slur{Span: score.Span{Start: at, End: at + 3*quarter, Staff: 1}, Voice: 1})
	}
	if m%32 == 10 {
		w.s.Words = append(w.s.Words, score.Words{Place: here, Written: at, Text: "poco a poco cresc."})
	}
}

func mod(a, n int) int { return (a%n + n) % n }
