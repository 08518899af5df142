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

// Music written out twice is heard as where it is heard more surely, whichever comes first;
// not where a note differs, and not where the keys around it differ.
func TestRepeatsAreHeardAlike(t *testing.T) {
	key := tonal.Key{}
	read := func(second string, sure float64) []tonal.Chord {
		var out []tonal.Chord
		for i, roman := range []string{"I", "IV", "V", "I", "vi", "ii", "V", "I", "I", second, "V", "I"} {
			c := chordAt(t, score.Tick(4*i), key, roman)
			c.Confidence = 0.5
			if i >= 8 {
				c.Confidence = sure
			}
			out = append(out, c)
		}
		return out
	}
	music := []int{0, 1, 2, 3, 6, 5, 4, 6, 0, 1, 2, 3}
	for _, c := range []struct {
		name      string
		music     []int
		sure      float64
		was, want string // the second chord of the first time, and of the second
	}{
		{"the second surer", music, 0.9, "ii6", "ii6"},
		{"the first surer", music, 0.2, "IV", "IV"},
		{"another note", []int{0, 1, 2, 3, 6, 5, 4, 6, 0, 2, 2, 3}, 0.9, "IV", "ii6"},
		{"three measures", []int{0, 1, 2, 3, 6, 5, 4, 6, 0, 1, 2, 4}, 0.9, "IV", "ii6"},
	} {
		got := hearRepeats(twice(c.music...), read("ii6", c.sure))
		if len(got) != 12 || got[1].Roman() != c.was || got[9].Roman() != c.want {
			t.Errorf("%s: %s and %s of %d, want %s and %s", c.name, got[1].Roman(), got[9].Roman(), len(got), c.was, c.want)
		}
		for i, x := range got {
			if x.Start != score.Tick(4*i) || x.End != x.Start+4 {
				t.Errorf("%s: chord %d stands at %d to %d", c.name, i, x.Start, x.End)
			}
		}
	}
	chords := read("ii6", 0.9)
	chords[8] = chordAt(t, 32, tonal.Key{Tonic: -1}, "V") // the old key lasts over the return
	if got := hearRepeats(twice(music...), chords); got[0].Key != key || got[8].Key == key || got[1].Roman() != "ii6" {
		t.Errorf("over the edge: %s in %s, %s in %s", got[0].Roman(), got[0].Key.Name(), got[8].Roman(), got[8].Key.Name())
	}
}

// A figure that goes round and round comes again at every turn, each time as long as
// all before; no measure is heard more often for that than there are places to compare.
func TestRepeatsOfARound(t *testing.T) {
	const measures, period = 3000, 14
	pitch := make([]int, measures)
	for i := range pitch {
		pitch[i] = 48 + i%period
	}
	heard := make([]int, measures)
	for _, r := range repeats(twice(pitch...)) {
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
