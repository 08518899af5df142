package hearing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// twice is four measures of four ticks, other music in as many, and the four again; the
// notes of measure i climb from pitch[i].
func twice(pitch ...int) *score.Score {
	s := &score.Score{Division: 4}
	for i, p := range pitch {
		at := score.Tick(4 * i)
		s.Measures = append(s.Measures, score.Measure{Start: at, Length: 4, Nominal: 4})
		for k := range 4 {
			s.Notes = append(s.Notes, score.Note{Onset: at + score.Tick(k), Duration: 1, Measure: i, Pitch: score.Pitch{Step: (p + k) % 7, Octave: 4}})
		}
	}
	return s
}

// Music that comes again is heard as where it is heard more surely, whichever comes first;
// not where a note differs.
func TestRepeatsAreHeardAlike(t *testing.T) {
	key := tonal.Key{}
	music := []int{0, 1, 2, 3, 6, 5, 4, 6, 0, 1, 2, 3}
	for _, c := range []struct {
		name      string
		music     []int
		sure      float64
		was, want string // the second chord of the first time, and of the second
	}{
		{"the second surer", music, 0.9, "ii6", "ii6"},
		{"the first surer", music, 0.2, "IV", "IV"},
		{"another note", []int{0, 1, 2, 3, 6, 5, 4, 6, 0, 3, 1, 3}, 0.9, "IV", "ii6"},
		{"one measure", []int{0, 1, 2, 3, 6, 5, 4, 6, 3, 1, 4, 2}, 0.9, "IV", "ii6"},
	} {
		s := twice(c.music...)
		got := hearRepeats(s, tonal.Slices(s, 0), readings(t, key, "ii6", c.sure))
		if len(got) != 12 || got[1].Roman() != c.was || got[9].Roman() != c.want {
			t.Errorf("%s: %s and %s of %d, want %s and %s", c.name, got[1].Roman(), got[9].Roman(), len(got), c.was, c.want)
		}
		for i, x := range got {
			if x.Start != score.Tick(4*i) || x.End != x.Start+4 {
				t.Errorf("%s: chord %d stands at %d to %d", c.name, i, x.Start, x.End)
			}
		}
	}
}

// readings are twelve chords of a key, four ticks each, the last four as the first but for
// the second of them.
func readings(t *testing.T, k tonal.Key, second string, sure float64) []tonal.Chord {
	t.Helper()
	var out []tonal.Chord
	for i, roman := range []string{"I", "IV", "V", "I", "vi", "ii", "V", "vi", "I", second, "V", "I"} {
		c := chordAt(t, score.Tick(4*i), k, roman)
		c.Confidence = 0.5
		if i >= 8 {
			c.Confidence = sure
		}
		out = append(out, c)
	}
	return out
}

// The key goes with the music, though another one was heard before it: one who knows the
// first time hears the second so. Common practice, no source.
func TestRepeatsTakeTheKey(t *testing.T) {
	key, other := tonal.Key{}, tonal.Key{Tonic: -1}
	s := twice(0, 1, 2, 3, 6, 5, 4, 6, 0, 1, 2, 3)
	chords := readings(t, key, "IV", 0.4)
	chords[7], chords[8] = chordAt(t, 28, other, "V"), chordAt(t, 32, other, "V") // the old key lasts into the return
	chords[8].Confidence = 0.4
	got := hearRepeats(s, tonal.Slices(s, 0), chords)
	if got[7].Key != other || got[8].Key != key || got[8].Roman() != "I" || got[0].Key != key {
		t.Errorf("%s in %s after %s", got[8].Roman(), got[8].Key.Name(), got[7].Key.Name())
	}
}

// Music on another tone is heard on the chords of its first time, moved; two measures of it
// keep the key of their own place, where the chords have other numerals.
func TestRepeatsOnAnotherTone(t *testing.T) {
	up := func(c tonal.Chord, k tonal.Key) tonal.Chord {
		n, ok := tonal.NameChord(c.Tones, c.Bass, k)
		if !ok {
			t.Fatalf("%s has no name in %s", c.Name(), k.Name())
		}
		c.Numeral, c.Key = n, k
		return c
	}
	key, high := tonal.Key{}, tonal.Key{Tonic: 1}
	for _, c := range []struct {
		name   string
		music  []int // on C, and from the ninth on, on G
		second string
		want   string
		in     tonal.Key
	}{
		{"four measures", []int{0, 1, 2, 3, 6, 5, 4, 6, 4, 5, 6, 0}, "vi", "IV", high},
		{"two measures", []int{0, 1, 2, 3, 6, 5, 4, 6, 4, 5, 3, 0}, "vi", "I", key},
	} {
		s := twice(c.music...)
		for i := range s.Notes { // every step sharp enough to be a true fifth higher
			if n := &s.Notes[i]; n.Measure >= 8 && n.Pitch.Step == 3 {
				n.Pitch.Alter = 1
			}
		}
		chords := readings(t, key, "IV", 0.4)
		for i := 8; i < 12; i++ {
			moved := chordAt(t, score.Tick(4*i), high, []string{"I", c.second, "V", "I"}[i-8])
			if moved.Confidence = 0.2; c.in == key {
				moved = up(moved, key)
			}
			chords[i] = moved
		}
		got := hearRepeats(s, tonal.Slices(s, 0), chords)
		if x := got[9]; x.Roman() != c.want || x.Key != c.in || x.Root != 0 || x.Why == chords[1].Why {
			t.Errorf("%s: %s in %s on %s, want %s in %s", c.name, x.Roman(), x.Key.Name(), x.Root, c.want, c.in.Name())
		}
	}
}

// A tone that is struck again, doubled or set in another octave makes no other music; one
// more tone of the chord does.
func TestWhatSoundsAlike(t *testing.T) {
	note := func(onset, length score.Tick, step, octave, bar int) score.Note {
		return score.Note{Onset: onset, Duration: length, Measure: bar, Pitch: score.Pitch{Step: step, Octave: octave}}
	}
	for _, c := range []struct {
		name string
		list []score.Note // of the second measure
		want bool
	}{
		{"the same", []score.Note{note(4, 4, 0, 3, 1), note(4, 4, 4, 4, 1)}, true},
		{"struck again", []score.Note{note(4, 2, 0, 3, 1), note(4, 4, 4, 4, 1), note(6, 2, 0, 3, 1)}, true},
		{"doubled", []score.Note{note(4, 4, 0, 3, 1), note(4, 4, 4, 4, 1), note(4, 4, 4, 5, 1)}, true},
		{"another tone", []score.Note{note(4, 4, 0, 3, 1), note(4, 4, 4, 4, 1), note(6, 2, 2, 5, 1)}, false},
		{"another bass", []score.Note{note(4, 4, 4, 2, 1), note(4, 4, 0, 3, 1)}, false},
		{"another rhythm", []score.Note{note(4, 4, 0, 3, 1), note(5, 3, 4, 4, 1)}, false},
	} {
		s := &score.Score{Division: 4, Measures: []score.Measure{{Length: 4, Nominal: 4}, {Start: 4, Length: 4, Nominal: 4}}}
		s.Notes = append([]score.Note{note(0, 4, 0, 3, 0), note(0, 4, 4, 4, 0)}, c.list...)
		bars := measureSounds(s, tonal.Slices(s, 0))
		if got := bars[0] == bars[1]; got != c.want {
			t.Errorf("%s: alike %v", c.name, got)
		}
	}
}

// A figure that goes round and round comes again at every turn, each time as long as
// all before; no measure is heard more often for that than there are places to compare.
func TestRepeatsOfARound(t *testing.T) {
	const measures, period = 3000, 14
	bars := make([]sounding, measures)
	for i := range bars {
		bars[i].text = string(rune('a' + i%period))
	}
	heard := make([]int, measures)
	for _, r := range repeats(bars) {
		for i := range r.count {
			heard[r.again+i]++
		}
	}
	for i, n := range heard {
		if n > mostRepeats || n == 0 && i >= period {
			t.Fatalf("measure %d is in %d repeats", i, n)
		}
	}
}
