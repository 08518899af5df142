package shaping

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/written"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/score"
)

// seen is what is observed of a blank score of eight measures of 4/4.
func seen(t *testing.T, change func(*score.Score, *harmony.Analysis)) *observed {
	t.Helper()
	s, a := written.Blank(), &harmony.Analysis{}
	if change != nil {
		change(s, a)
	}
	return observe(s, a, page.Printed(s, nil))
}

// at is a quantity at a place.
func (o *observed) value(t *testing.T, name, place string) float64 {
	t.Helper()
	p, err := written.At(place)
	if err != nil {
		t.Fatal(err)
	}
	return o.series(name)[o.cell(p.At)]
}

// What is seen of the score's ends: places from 0 to 1, ramps over eight and two measures.
func TestPlacesInThePiece(t *testing.T) {
	o := seen(t, nil)
	for _, c := range []struct {
		name, at string
		want     float64
	}{
		{"place", "1:1", 0}, {"place", "5:1", 0.5}, {"arch", "5:1", 0}, {"arch", "1:1", 0.25}, {"arch", "3:1", 0.0625}, {"first 8", "1:1", 1}, {"first 8", "5:1", 0.5}, {"last 8", "1:1", 0}, {"last 8", "5:1", 0.5}, {"last 2", "7:1", 0}, {"last 2", "8:1", 0.5}, {"last 2", "6:1", 0},
	} {
		if got := o.value(t, c.name, c.at); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s at %s: %v, want %v", c.name, c.at, got, c.want)
		}
	}
}

// The first and the last measure of a phrase are ramps toward its ends.
func TestRampsOfPhrases(t *testing.T) {
	o := seen(t, func(s *score.Score, a *harmony.Analysis) {
		a.Phrases = []phrasing.Phrase{{Start: 0, End: s.Measures[4].Start, Cadence: -1}, {Start: s.Measures[4].Start, End: s.Length(), Cadence: -1}}
	})
	for _, c := range []struct {
		name, at string
		want     float64
	}{
		{"phrase start", "1:1", 1}, {"phrase start", "1:3", 0.5}, {"phrase start", "2:1", 0}, {"phrase start", "5:1", 1}, {"phrase end", "4:1", 0}, {"phrase end", "4:3", 0.5}, {"phrase end", "4:4", 0.75}, {"phrase end", "5:1", 0}, {"phrase end", "8:4", 0.75},
	} {
		if got := o.value(t, c.name, c.at); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s at %s: %v, want %v", c.name, c.at, got, c.want)
		}
	}
}

// Words that slow hold for two measures; a tempo from its mark on, the first from the start.
func TestPaceOfThePage(t *testing.T) {
	o := seen(t, func(s *score.Score, _ *harmony.Analysis) {
		written.Put(t, s, `3:1 "rit."`, `6:1 "dolce"`)
		s.Tempos = []score.Tempo{{At: 96, PerMin: 60}, {At: 48, PerMin: 120}}
	})
	for _, c := range []struct {
		name, at string
		want     float64
	}{
		{"slowing", "2:4", 0}, {"slowing", "3:1", 1}, {"slowing", "4:4", 1}, {"slowing", "5:1", 0}, {"slowing", "6:1", 0}, {"tempo", "1:1", math.Log(120)}, {"tempo", "2:4", math.Log(120)}, {"tempo", "3:1", math.Log(60)}, {"tempo", "8:1", math.Log(60)},
	} {
		if got := o.value(t, c.name, c.at); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s at %s: %v, want %v", c.name, c.at, got, c.want)
		}
	}
}

// A voice enters where it has been silent for a quarter; the top starts where the highest note
// is struck.
func TestEntriesAndTops(t *testing.T) {
	note := func(at, length score.Tick, octave, part int) score.Note {
		return score.Note{Onset: at, Duration: length, Part: part, Staff: 1, Voice: 1, Measure: int(at / 48), Pitch: score.Pitch{Octave: octave}}
	}
	o := seen(t, func(s *score.Score, _ *harmony.Analysis) {
		s.Notes = []score.Note{note(0, 12, 4, 0), note(0, 48, 5, 1), note(12, 6, 4, 0), note(24, 12, 4, 0), note(48, 12, 5, 0), note(48, 12, 6, 1), note(66, 6, 4, 1), note(72, 12, 4, 1)}
	})
	for _, c := range []struct {
		name, at string
		want     float64
	}{
		{"entry", "1:1", 0}, {"entry", "1:3", 0}, {"entry", "2:1", 1}, {"entry", "2:3", 0}, {"top start", "1:1", 1}, {"top start", "1:2", 0}, {"top start", "2:1", 1},
	} {
		if got := o.value(t, c.name, c.at); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s at %s: %v, want %v", c.name, c.at, got, c.want)
		}
	}
}

// Music that was heard before counts once, twice at most; silence never.
func TestReturnsCounted(t *testing.T) {
	s := written.Letters("abaaaa-c")
	o := observe(s, &harmony.Analysis{}, page.Printed(s, nil))
	for at, want := range map[string]float64{"1:1": 0, "2:1": 0, "3:1": 1, "3:4": 1, "4:1": 2, "5:1": 2, "6:1": 2, "7:1": 0, "8:1": 0} {
		if got := o.value(t, "again", at); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %s: %v, want %v", at, got, want)
		}
	}
}

// A reading's name says how it is read, in measures.
func TestNamesOfReadings(t *testing.T) {
	seenNames := map[string]bool{}
	for _, r := range readings {
		if seenNames[r.name()] {
			t.Errorf("%s is read twice", r.name())
		}
		seenNames[r.name()] = true
	}
	for r, want := range map[reading]string{{of: "x"}: "x", {of: "x", how: around, a: 2}: "x around 2", {of: "x", how: among, a: -0.67, b: 1}: "x from -0.67 to 1", {of: "x", how: coming, a: 4}: "x coming 4", {of: "x", how: rated, a: 1}: "x rate 1"} {
		if got := r.name(); got != want {
			t.Errorf("%+v: %q, want %q", r, got, want)
		}
	}
}

// A window is the mean over time from one distance to another, in quarters, cut off at the
// ends of the piece; a smooth mean is that of three windows, of half, one and one and a half
// times its width.
func TestWindowsOverTime(t *testing.T) {
	o := seen(t, nil)
	v := make(series, o.cells())
	for i := range v {
		v[i] = float64(i) // a cell a quarter: the mean from a to b of a moment is (a+b-1)/2 more
	}
	for _, c := range []struct {
		at             int
		from, to, want float64
	}{{8, 0, 4, 9.5}, {8, -4, 0, 5.5}, {8, -2, 2, 7.5}, {8, 0, 0, 8}, {8, 0, 0.5, 8}, {8, 0.5, 1.5, 8.5}, {0, -4, 2, 0.5}, {31, 0, 9, 31}, {0, -9, 0, 0}, {31, -2, 9, 30}} {
		if got := o.window(v, c.from, c.to)[c.at]; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("around %d, %v to %v: %v, want %v", c.at, c.from, c.to, got, c.want)
		}
	}
	peak := make(series, o.cells())
	peak[8] = 12
	// at its start windows of 2, 4 and 6 quarters hold half of each on the right: 12/2, 12/4, 12/6
	if got := o.mean(peak, 4)[8]; math.Abs(got-(6+3+2)/3.0) > 1e-9 {
		t.Errorf("smoothed to %v", got)
	}
	if got := o.mean(peak, 0)[8]; math.Abs(got-12) > 1e-9 {
		t.Errorf("not smoothed it is %v", got)
	}
}
