package scoregen

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"strconv"

	"hairpin/score"
)

// Medley is a score of so many phrases in which much happens that a reader of
// scores must know: metres, pickups, keys, minor, applied and altered chords,
// suspensions, pedals, sequences, hemiolas, closes of all kinds, phrases that come
// back as they were, in another key or echoed, drums, words that are sung, printed
// levels, words, hairpins, accents, repeats. It is the same for the same seed, and
// no piece to play: tests look through it for changes.
func Medley(phrases int, seed uint64) *score.Score {
	w := &medley{rnd: rand.New(rand.NewPCG(seed, 2)), s: &score.Score{Title: "Medley " + strconv.FormatUint(seed, 10), Division: division}}
	w.minor = w.rnd.IntN(2) == 0
	w.tonic = score.Class(w.rnd.IntN(9) - 4)
	w.parts()
	w.metre()
	w.key()
	if w.rnd.IntN(2) == 0 {
		w.measure(w.beat())
		w.chord(4, 0, w.beat())
		w.s.Measures[0].Pickup = true
	}
	for i := range phrases {
		w.phrase(i)
	}
	w.jumps()
	w.sorted()
	return w.s
}

type medley struct {
	s     *score.Score
	rnd   *rand.Rand
	tonic score.Class
	minor bool
	beats int
	unit  int
	line  int
	old   []said
	under int // the verses under what is sung
}

// said is a phrase that may come back: what its chance was drawn from, and its key.
type said struct {
	seed  uint64
	tonic score.Class
	minor bool
}

// bar4 is a harmony: the degree of its root from 0, or an altered chord from 10 on
// (see altered), and how far its third is raised.
type bar4 struct{ root, raised int }

func (w *medley) one(of ...string) string { return of[w.rnd.IntN(len(of))] }

func (w *medley) chance(percent int) bool { return w.rnd.IntN(100) < percent }

func (w *medley) end() score.Tick { return w.s.Length() }

func (w *medley) parts() {
	w.s.Parts = []score.Part{{ID: "P1", Name: w.one("Piano", "Harp", "Marimba"), Staves: 2}}
	if w.chance(25) {
		w.s.Parts = append(w.s.Parts, score.Part{ID: "P0", Name: w.one("Snare Drum", "Drumset", "Timpani"), Staves: 1, Percussion: true})
	}
	if w.chance(50) {
		w.s.Parts = append(w.s.Parts, score.Part{ID: "P2", Name: w.one("Violin", "Oboe", "Voice", "Clarinet in Bb", "Soprano"), Staves: 1})
	}
	w.under = w.rnd.IntN(4)
}

// singer is the part that has the melody: the last one with pitches.
func (w *medley) singer() int {
	last := len(w.s.Parts) - 1
	if w.s.Parts[last].Percussion {
		return 0
	}
	return last
}

func (w *medley) metre() {
	metres := [...][2]int{{4, 4}, {3, 4}, {6, 8}, {2, 4}, {2, 2}, {9, 8}, {5, 4}, {3, 8}, {12, 8}, {3, 4}, {4, 4}, {7, 8}, {3, 2}, {6, 4}}
	m := metres[w.rnd.IntN(len(metres))]
	w.beats, w.unit = m[0], m[1]
	w.s.Times = append(w.s.Times, score.TimeMark{Place: score.Place{At: w.end()}, Text: strconv.Itoa(m[0]) + "/" + strconv.Itoa(m[1]), Beats: m[0], Unit: m[1]})
}

func (w *medley) key() {
	k := score.KeyMark{Place: score.Place{At: w.end()}, Fifths: int(w.tonic), Written: int(w.tonic), Mode: "major"}
	if w.minor {
		k.Fifths, k.Written, k.Mode = k.Fifths-3, k.Written-3, "minor"
	}
	w.s.Keys = append(w.s.Keys, k)
}

// nominal is the length of a full measure, beat that of what is counted in it.
func (w *medley) nominal() score.Tick { return score.Tick(w.beats) * 4 * quarter / score.Tick(w.unit) }

func (w *medley) beat() score.Tick {
	if w.unit == 8 && w.beats%3 == 0 {
		return 3 * quarter / 2
	}
	return 4 * quarter / score.Tick(w.unit)
}

func (w *medley) measure(length score.Tick) {
	w.s.Measures = append(w.s.Measures, score.Measure{Number: strconv.Itoa(len(w.s.Measures) + 1), Start: w.end(),
		Length: length, Nominal: w.nominal(), Beats: w.beats, BeatUnit: w.unit})
}

// progressions of a phrase: degrees from 0 and how far the third is raised; the
// last one is the close. Common practice, no source.
func phrasePlans() [][]bar4 {
	return [][]bar4{
		{{0, 0}, {3, 0}, {4, 1}, {0, 0}}, {{0, 0}, {1, 1}, {4, 1}, {4, 1}}, {{0, 0}, {5, 0}, {1, 0}, {4, 1}, {0, 0}},
		{{0, 0}, {4, 1}, {5, 0}, {3, 0}, {0, 0}}, {{0, 0}, {3, 0}, {6, 0}, {2, 0}, {5, 0}, {1, 0}, {4, 1}, {0, 0}},
		{{5, 0}, {1, 1}, {4, 1}, {0, 1}, {3, 0}, {0, 0}}, {{0, 0}, {3, -1}, {4, 1}, {5, 0}}, {{0, 0}, {0, 0}, {4, 1}, {4, 1}, {0, 0}, {0, 0}},
		{{0, 0}, {neapolitan, 0}, {sixFour, 0}, {4, 1}, {0, 0}}, {{0, 0}, {italian, 0}, {4, 1}}, {{0, 0}, {5, 0}, {german, 0}, {sixFour, 0}, {4, 1}, {0, 0}},
		{{0, 0}, {french, 0}, {4, 1}, {4, 1}, {5, 0}}, {{0, 0}, {leading, 0}, {0, 0}, {3, 0}, {0, 0}}, {{0, 0}, {4, 1}, {0, 0}, {3, -1}, {0, 0}},
		{{3, 0}, {leading, 0}, {sixFour, 0}, {4, 1}, {leading, 0}, {0, 0}}, {{0, 0}, {1, 0}, {sixFour, 0}, {4, 1}}, {{0, 0}, {4, 1}, {1, 1}, {5, 0}, {4, 1}, {0, 0}},
		{{0, 0}, {2, 0}, {3, 0}, {0, 0}, {3, 0}, {4, 1}, {0, 0}, {0, 0}}, {{0, 0}, {6, -1}, {5, 0}, {4, 1}}, {{4, 1}, {4, 1}, {0, 0}},
	}
}

func (w *medley) phrase(i int) {
	if i > 0 && w.chance(35) {
		w.tonic, w.minor = w.tonic+score.Class([6]int{1, -1, 3, -3, 0, 4}[w.rnd.IntN(6)]), w.chance(50)
		w.tonic = min(max(w.tonic, -4), 5)
		if w.chance(50) {
			w.key()
		}
	}
	if i > 0 && w.chance(15) {
		w.metre()
	}
	now := said{w.rnd.Uint64(), w.tonic, w.minor}
	if i > 0 && w.chance(50) {
		now.seed = w.old[w.rnd.IntN(len(w.old))].seed
		if was := w.old[0]; w.chance(40) {
			now, w.tonic, w.minor = was, was.tonic, was.minor
		}
	}
	w.old = append(w.old, now)
	start, first := w.end(), len(w.s.Measures)
	w.music(now.seed)
	w.marks(start, w.end(), len(w.s.Measures)-first)
	w.signs(start, first)
	w.print(start, first)
}

// music writes the notes of a phrase, the same for the same seed but for its key,
// its metre and now and then its end.
func (w *medley) music(seed uint64) {
	outer := w.rnd
	defer func() { w.rnd = outer }()
	other := outer.IntN(100) < 25
	w.rnd = rand.New(rand.NewPCG(seed, 3))
	plans := phrasePlans()
	plan := plans[w.rnd.IntN(len(plans))]
	w.line = 5 + w.rnd.IntN(6)
	for n := 0; n < len(plan); n++ {
		if other && n == len(plan)-2 {
			w.rnd = outer
		}
		if w.beats == 3 && n > 0 && n == len(plan)-3 && w.chance(40) {
			w.hemiola(plan[n], plan[n+1])
			n++
			continue
		}
		w.bar(plan[n], n == len(plan)-1, plan[(n+1)%len(plan)])
	}
}

// bar is a measure in one of many textures; the last of a phrase rests at its end.
func (w *medley) bar(c bar4, last bool, next bar4) {
	at := w.end()
	w.measure(w.nominal())
	length := w.nominal()
	w.drums(at, length)
	if last && w.chance(60) {
		w.close(c, at, length-w.beat())
		return
	}
	if w.texture(c, next, at, length) {
		w.sing(c, at, length)
	}
}

// texture writes what lies under the melody; false if there is to be none.
func (w *medley) texture(c, next bar4, at, length score.Tick) bool {
	switch w.rnd.IntN(12) {
	case 0:
		w.chord(c.root, c.raised, length)
	case 1, 2:
		w.broken(c, at, length)
	case 3:
		w.suspended(c, at, length)
	case 4: // over a pedal
		w.note(0, at, length, 2, -14+4*w.rnd.IntN(2), 0)
		w.broken(c, at, length)
	case 5:
		w.repeated(c, at, length)
	case 6:
		w.leaning(c, at, length)
		return w.singer() != 0
	case 7:
		w.walking(c, at, length)
	case 8:
		w.figure(c, at, length)
		return w.singer() != 0
	case 9:
		w.unison(c, at, length)
		return false
	default: // two chords
		half := w.beat()
		w.chord(c.root, c.raised, half)
		w.chordAt(at+half, next.root, next.raised, length-half)
	}
	return true
}

func (w *medley) chord(root, raised int, length score.Tick) {
	w.chordAt(w.s.Measures[len(w.s.Measures)-1].Start, root, raised, length)
}

func (w *medley) chordAt(at score.Tick, root, raised int, length score.Tick) {
	if length <= 0 {
		return
	}
	if root >= neapolitan {
		w.altered(at, root, length)
		return
	}
	bass := root - 14 + [4]int{0, 0, 2, 4}[w.rnd.IntN(4)]
	w.note(0, at, length, 2, bass, w.raise(bass, root, raised))
	for _, step := range []int{0, 2, 4} {
		w.note(0, at, length, 1, root+step, w.raise(root+step, root, raised))
	}
	if root == 4 || w.chance(15) {
		w.note(0, at, length, 1, root+6, 0)
	}
}

// raise is how far a step is altered: the chord's third.
func (w *medley) raise(step, root, raised int) int {
	if mod(step-root, 7) != 2 {
		return 0
	}
	if raised > 0 && !w.minor && root != 1 && root != 0 {
		return 0
	}
	return raised
}

func (w *medley) broken(c bar4, at, length score.Tick) {
	c = c.plain()
	tick := quarter / 2
	for i := score.Tick(0); i < length/tick; i++ {
		step := c.root - 7 + [6]int{0, 4, 2, 4, 7, 4}[i%6]
		w.note(0, at+i*tick, tick, 2, step, w.raise(step, c.root, c.raised))
	}
}

// suspended holds the fourth over the root and lets it go to the third.
func (w *medley) suspended(c bar4, at, length score.Tick) {
	c = c.plain()
	b := min(w.beat(), length/2)
	w.note(0, at, length, 2, c.root-14, 0)
	w.note(0, at, length, 1, c.root+4, 0)
	w.note(0, at, b, 1, c.root+3, 0)
	w.note(0, at+b, length-b, 1, c.root+2, w.raise(c.root+2, c.root, c.raised))
}

// sing is a line above, in the second part if there is one.
func (w *medley) sing(c bar4, at, length score.Tick) {
	part, staff := w.singer(), 1
	if w.chance(6) {
		return
	}
	c = c.plain()
	for t := score.Tick(0); t < length; {
		d := []score.Tick{quarter, quarter / 2, quarter / 3, 3 * quarter / 2, quarter / 4}[w.rnd.IntN(5)]
		d = min(d, length-t)
		w.line = min(max(w.line+w.rnd.IntN(5)-2, 5), 16)
		step := w.line
		if w.chance(60) {
			step = nearChordTone(w.line, c.root)
		}
		if !w.chance(8) {
			alter := w.raise(step, c.root, c.raised)
			if alter == 0 && w.chance(4) {
				alter = 1
			}
			w.graced(part, at+t, staff, step)
			w.note(part, at+t, d, staff, step, alter)
			w.sign()
			w.sung(part, at+t)
		}
		t += d
	}
}

func (w *medley) note(part int, at, length score.Tick, staff, step, alter int) {
	class := w.tonic + score.Class([7]int{0, 2, 4, -1, 1, 3, 5}[mod(step, 7)])
	if d := mod(step, 7); w.minor && (d == 2 || d == 5 || d == 6) {
		class -= 7
	}
	class += score.Class(7 * alter)
	letter := w.tonic.Step() + step
	w.s.Notes = append(w.s.Notes, score.Note{Onset: at, Duration: length, Part: part, Staff: staff, Voice: 4*staff - 3, Measure: len(w.s.Measures) - 1,
		Pitch: score.Pitch{Step: class.Step(), Alter: float64(class.Alter()), Octave: 4 + (letter-mod(letter, 7))/7}})
}

func (w *medley) sign() {
	if w.chance(12) {
		w.s.Notes[len(w.s.Notes)-1].Signs |= 1 << w.rnd.IntN(18)
	}
}

func (w *medley) sorted() {
	slices.SortStableFunc(w.s.Notes, func(a, b score.Note) int {
		return cmp.Or(cmp.Compare(a.Onset, b.Onset), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Pitch.Key(), b.Pitch.Key()))
	})
	slices.SortStableFunc(w.s.Dynamics, func(a, b score.Dynamic) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Part, b.Part)) })
	slices.SortStableFunc(w.s.Words, func(a, b score.Words) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Part, b.Part)) })
	slices.SortStableFunc(w.s.Hairpins, func(a, b score.Hairpin) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Part, b.Part))
	})
}
