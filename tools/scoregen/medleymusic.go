package scoregen

import "hairpin/score"

// The chords of a phrase that are no triads on a degree. Common practice, no source.
const (
	neapolitan = 10 + iota // the lowered second's triad, its third in the bass
	italian                // augmented sixths over the lowered sixth
	german
	french
	leading // the diminished seventh under the tonic
	sixFour // the tonic over the fifth, before the dominant
)

// altered writes a chord in the major of the key, then as its minor has it: degrees
// from 0 and how far they are altered there.
func (w *medley) altered(at score.Tick, chord int, length score.Tick) {
	tones := map[int][][2]int{
		neapolitan: {{3 - 14, 0}, {5, -1}, {8, -1}, {3 + 7, 0}},
		italian:    {{5 - 14, -1}, {0, 0}, {3, 1}, {7, 0}},
		german:     {{5 - 14, -1}, {0, 0}, {2, -1}, {3, 1}},
		french:     {{5 - 14, -1}, {0, 0}, {1, 0}, {3, 1}},
		leading:    {{6 - 14, 0}, {1, 0}, {3, 0}, {5, -1}},
		sixFour:    {{4 - 14, 0}, {0, 0}, {2, 0}, {7, 0}},
	}[chord]
	for i, x := range tones {
		step, alter := x[0], x[1]
		if d := mod(step, 7); w.minor && (d == 2 || d == 5) {
			alter = min(alter+1, 0)
		} else if w.minor && d == 6 {
			alter++
		}
		w.note(0, at, length, 1+(3-i)/3, step, alter)
	}
}

// plain is the degree of a chord's root, for what is built on degrees only.
func (c bar4) plain() bar4 {
	switch c.root {
	case neapolitan, italian, german, french:
		return bar4{3, 0}
	case leading:
		return bar4{6, 0}
	case sixFour:
		return bar4{0, 0}
	}
	return c
}

// close ends a phrase: the root below, and most often the tonic or its third above.
func (w *medley) close(c bar4, at, length score.Tick) {
	if length <= 0 || w.chance(30) {
		w.chordAt(at, c.root, c.raised, length)
		return
	}
	c = c.plain()
	lead := score.Tick(0)
	if w.chance(40) && c.root == 0 && length > w.beat() { // the dominant first
		lead = w.beat()
		w.chordAt(at, 4, 1, lead)
	}
	w.note(0, at+lead, length-lead, 2, c.root-14, 0)
	for _, step := range []int{0, 2, 4} {
		w.note(0, at+lead, length-lead, 1, c.root+step, w.raise(c.root+step, c.root, c.raised))
	}
	top := c.root + 7 + []int{0, 0, 0, 2, 4}[w.rnd.IntN(5)]
	w.note(w.singer(), at+lead, length-lead, 1, top, w.raise(top, c.root, c.raised))
	w.sung(w.singer(), at+lead)
}

// repeated strikes the chord on every beat, or twice in it.
func (w *medley) repeated(c bar4, at, length score.Tick) {
	tick := w.beat() / score.Tick(1+w.rnd.IntN(2))
	for t := score.Tick(0); t+tick <= length; t += tick {
		w.chordAt(at+t, c.root, c.raised, tick)
	}
}

// leaning is a melody of tones a step off that go to the chord's.
func (w *medley) leaning(c bar4, at, length score.Tick) {
	c = c.plain()
	w.note(0, at, length, 2, c.root-14, 0)
	w.note(0, at, length, 1, c.root+2, w.raise(c.root+2, c.root, c.raised))
	for t := score.Tick(0); t+w.beat() <= length; t += w.beat() {
		step, off := c.root+[4]int{7, 9, 11, 14}[w.rnd.IntN(4)], 1-2*w.rnd.IntN(2)
		long := w.beat() / 2
		w.note(0, at+t, long, 1, step+off, 0)
		w.sign()
		w.note(0, at+t+long, w.beat()-long, 1, step, w.raise(step, c.root, c.raised))
		if w.chance(50) {
			w.s.Slurs = append(w.s.Slurs, score.Slur{Span: score.Span{Start: at + t, End: at + t + long, Staff: 1}, Voice: 1})
		}
	}
}

// walking is a bass that goes by steps, at times by semitones, under held thirds.
func (w *medley) walking(c bar4, at, length score.Tick) {
	c = c.plain()
	down := 1 - 2*w.rnd.IntN(2)
	chromatic := w.chance(40)
	for i, t := 0, score.Tick(0); t+w.beat() <= length; i, t = i+1, t+w.beat() {
		step, alter := c.root-10+down*i, 0
		if chromatic {
			step, alter = c.root-10+down*(i+1)/2, -down*(i%2)
		}
		w.note(0, at+t, w.beat(), 2, step, alter)
	}
	w.note(0, at, length, 1, c.root, 0)
	w.note(0, at, length, 1, c.root+2, w.raise(c.root+2, c.root, c.raised))
}

// figure is one figure on the chord's root: chords that go by a step or a fifth make a sequence of it.
func (w *medley) figure(c bar4, at, length score.Tick) {
	c = c.plain()
	w.note(0, at, length, 2, c.root-14, 0)
	w.note(0, at, length, 2, c.root-10, 0)
	tick := w.beat() / 2
	for i := score.Tick(0); (i+1)*tick <= length; i++ {
		step := c.root + 7 + [8]int{0, 2, 1, 2, 4, 3, 2, 1}[i%8]
		w.note(0, at+i*tick, tick, 1, step, w.raise(step, c.root, c.raised))
	}
}

// unison is a line that all have, in octaves.
func (w *medley) unison(c bar4, at, length score.Tick) {
	c = c.plain()
	for i, t := 0, score.Tick(0); t < length; i++ {
		d := min([]score.Tick{quarter, quarter / 2, quarter}[w.rnd.IntN(3)], length-t)
		step := c.root + [5]int{0, 1, 2, 4, 2}[i%5]
		w.note(0, at+t, d, 1, step, 0)
		w.note(0, at+t, d, 2, step-7, 0)
		if p := w.singer(); p != 0 {
			w.note(p, at+t, d, 1, step+7, 0)
		}
		t += d
	}
}

// hemiola is two measures of three beats told as three of two.
func (w *medley) hemiola(a, b bar4) {
	at, two := w.end(), 2*w.nominal()/3
	w.measure(w.nominal())
	first := len(w.s.Measures) - 1
	w.measure(w.nominal())
	for i, c := range []bar4{a, a, b} {
		from := len(w.s.Notes)
		w.chordAt(at+score.Tick(i)*two, c.root, c.raised, two)
		top := c.plain().root + 7
		w.note(w.singer(), at+score.Tick(i)*two, two, 1, top, 0)
		for j := range w.s.Notes[from:] {
			w.s.Notes[from+j].Measure = first + i/2
		}
	}
}

// drums is a rhythm without pitches, if there is a part for it.
func (w *medley) drums(at, length score.Tick) {
	for part := range w.s.Parts {
		if !w.s.Parts[part].Percussion || w.chance(10) {
			continue
		}
		for t := score.Tick(0); t < length; {
			d := min([]score.Tick{quarter, quarter / 2, quarter / 4, quarter / 2}[w.rnd.IntN(4)], length-t)
			if !w.chance(15) {
				w.note(part, at+t, d, 1, 6, 0)
				n := &w.s.Notes[len(w.s.Notes)-1]
				n.Unpitched, n.Pitch = true, score.Pitch{}
				w.sign()
			}
			t += d
		}
	}
}

// graced puts a grace note before a note of the melody now and then.
func (w *medley) graced(part int, at score.Tick, staff, step int) {
	if w.chance(4) {
		w.note(part, at, 0, staff, step+1, 0)
		w.s.Notes[len(w.s.Notes)-1].Grace = true
	}
}

// sung puts a syllable under a note of a voice.
func (w *medley) sung(part int, at score.Tick) {
	if w.under == 0 || part == 0 {
		return
	}
	ends := w.chance(60)
	text := w.one("la", "lo", "ri", "ven", "to", "sul", "ma", "re")
	if ends && w.chance(15) {
		text += w.one(",", ".", ";", "!", "?")
	}
	w.s.Syllables = append(w.s.Syllables, score.Syllable{Place: score.Place{At: at, Part: part, Staff: 1}, Voice: 1, Text: text, Ends: ends, Verses: w.under})
}
