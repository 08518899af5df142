package hearing

import (
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// chordAt is a numeral of a key over four ticks.
func chordAt(t *testing.T, at score.Tick, k tonal.Key, roman string) tonal.Chord {
	t.Helper()
	n, ok := tonal.ParseNumeral(roman, k)
	if !ok {
		t.Fatalf("%q is no numeral", roman)
	}
	c := tonal.Spell(n, k)
	c.Start, c.End = at, at+4
	return c
}

// The mode is that of the third that sounds: common practice, no source.
func TestThirdThatSounds(t *testing.T) {
	k := tonal.Key{}
	for _, x := range []struct {
		heard  string
		third  score.Pitch
		length score.Tick
		want   string
	}{
		{"V", score.Pitch{Step: 6, Alter: -1, Octave: 4}, 4, "v"},
		{"V7", score.Pitch{Step: 6, Alter: -1, Octave: 4}, 4, "v7"},
		{"V", score.Pitch{Step: 6, Octave: 4}, 4, "V"},
		{"V", score.Pitch{Step: 6, Alter: -1, Octave: 4}, 1, "V"}, // too short: a passing tone
		{"iv", score.Pitch{Step: 5, Octave: 4}, 4, "IV"},
	} {
		c := chordAt(t, 0, k, x.heard)
		s := &score.Score{Division: 4}
		root := tonal.PitchNear(c.Root, 48)
		s.Notes = []score.Note{{Duration: 4, Pitch: root}, {Duration: x.length, Pitch: x.third}}
		chords := []tonal.Chord{c}
		hearThirds(s, tonal.Slices(s, 0), chords)
		if got := chords[0].Roman(); got != x.want {
			t.Errorf("%s with %s for %d: %s, want %s", x.heard, x.third, x.length, got, x.want)
		}
		if got := chords[0]; got.Numeral.Root(k) != got.Root || got.Quality != got.Numeral.Quality {
			t.Errorf("%s: the chord does not agree with its numeral: %+v", x.heard, got)
		}
	}
}

// A close on the bare fifth degree, led to by its own dominant, is major though the next
// upbeat has the lowered third; it is minor where that third sounds at once, and where
// nothing leads to it (common practice, no source).
func TestBareDominantIsMajor(t *testing.T) {
	k := tonal.Key{}
	for _, x := range []struct {
		before string
		third  score.Tick
		want   string
	}{{"V/V", 6, "V"}, {"V/V", 4, "v"}, {"IV", 6, "v"}} {
		chords := []tonal.Chord{chordAt(t, 0, k, x.before), chordAt(t, 4, k, "v")}
		s := &score.Score{Division: 4, Notes: []score.Note{
			{Onset: 4, Duration: 4, Pitch: tonal.PitchNear(chords[1].Root, 48)},
			{Onset: x.third, Duration: 8 - x.third, Pitch: tonal.PitchNear(chords[1].Tones[1], 72)},
		}}
		hearThirds(s, tonal.Slices(s, 0), chords)
		if got := chords[1].Roman(); got != x.want {
			t.Errorf("after %s, the third at %d: %s, want %s", x.before, x.third, got, x.want)
		}
	}
}

// The last chord of a minor piece with its third raised is its tonic, though the
// subdominant stands before it: common practice, no source.
func TestRaisedThirdAtTheEnd(t *testing.T) {
	home, sub := tonal.Key{Tonic: 0, Minor: true}, tonal.Key{Tonic: -1, Minor: true}
	sign := -3
	for _, x := range []struct {
		name  string
		tail  []tonal.Chord
		sign  *int
		roman string
	}{
		{"heard as V/iv", []tonal.Chord{chordAt(t, 12, home, "iv"), chordAt(t, 16, home, "V/iv")}, &sign, "I"},
		{"heard in the subdominant", []tonal.Chord{chordAt(t, 12, sub, "i"), chordAt(t, 16, sub, "V")}, nil, "I"},
		{"over the tonic's bass", []tonal.Chord{chordAt(t, 12, sub, "Cad64"), chordAt(t, 16, sub, "V")}, &sign, "I"},
		{"a true half close", []tonal.Chord{chordAt(t, 12, home, "iv"), chordAt(t, 16, home, "V")}, &sign, "V"},
	} {
		chords := append([]tonal.Chord{chordAt(t, 0, home, "i"), chordAt(t, 4, home, "V7"), chordAt(t, 8, home, "i")}, x.tail...)
		endAtHome(chords, x.sign)
		last := chords[len(chords)-1]
		if last.Roman() != x.roman || last.Key != home {
			t.Errorf("%s: %s in %s, want %s", x.name, last.Roman(), last.Key, x.roman)
		}
		if x.name == "over the tonic's bass" && chords[3].Roman() != "iv64" {
			t.Errorf("%s: before it stands %s", x.name, chords[3].Roman())
		}
	}
	only := []tonal.Chord{chordAt(t, 0, sub, "V")}
	if endAtHome(only, &sign); only[0].Roman() != "V" {
		t.Errorf("one chord alone is read as %s", only[0].Roman())
	}
}

// A piece may end open, on the dominant of a key it has been in: the raised tonic of a key
// that comes with the last chords alone is no close. Common practice, no source.
func TestEndsOpen(t *testing.T) {
	home, rel, last := tonal.Key{Tonic: -2}, tonal.Key{Tonic: 1, Minor: true}, tonal.Key{Tonic: 2, Minor: true}
	sign := -2
	write := func(keys []tonal.Key, romans ...string) []tonal.Chord {
		var out []tonal.Chord
		for i, r := range romans {
			out = append(out, chordAt(t, score.Tick(4*i), keys[i], r))
		}
		return out
	}
	for _, x := range []struct {
		name   string
		chords []tonal.Chord
		sign   *int
		want   string
	}{
		{"the relative's dominant", write([]tonal.Key{home, home, rel, rel, last, last}, "I", "V", "i", "iv", "V", "I"), &sign, "V"},
		{"the relative was not heard", write([]tonal.Key{home, home, home, home, last, last}, "I", "V", "I", "IV", "V", "I"), &sign, "I"},
		{"the last key rules for long", write([]tonal.Key{home, rel, last, last, last, last}, "I", "i", "i", "iv", "V", "I"), &sign, "I"},
		{"its signature is printed", write([]tonal.Key{rel, rel, rel, rel, last, last}, "i", "V", "i", "iv", "V", "I"), &[]int{-1}[0], "I"},
		{"a minor tonic", write([]tonal.Key{home, home, rel, rel, last, last}, "I", "V", "i", "iv", "V", "i"), &sign, "i"},
	} {
		endOpen(x.chords, x.sign)
		c := x.chords[len(x.chords)-1]
		if got := c.Roman(); got != x.want || (got == "V") != (c.Key == rel) {
			t.Errorf("%s: %s in %s, want %s", x.name, got, c.Key.Name(), x.want)
		}
	}
}

// No chord is told to be nearly itself.
func TestNoRivalOfItself(t *testing.T) {
	c := chordAt(t, 0, tonal.Key{Minor: true}, "i")
	if got := otherThan(&c, "Cm"); got != "" {
		t.Errorf("Cm may be %q", got)
	}
	if got := otherThan(&c, "Eb"); got != "Eb" {
		t.Errorf("Cm may be %q, want Eb", got)
	}
	major := chordAt(t, 0, tonal.Key{}, "I")
	major.Rival = "Cm"
	turn(&major, tonal.Minor, major.Tones[1]-7)
	if major.Name() != "Cm" || major.Rival != "" {
		t.Errorf("turned to %s, rival %q", major.Name(), major.Rival)
	}
}
