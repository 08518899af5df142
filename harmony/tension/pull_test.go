package tension

import (
	"math"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// named is a chord of a key by its numeral, four ticks long.
func named4(t *testing.T, k tonal.Key, roman string) tonal.Chord {
	t.Helper()
	n, ok := tonal.ParseNumeral(roman, k)
	if !ok {
		t.Fatalf("%q is no numeral in %s", roman, k.Name())
	}
	c := tonal.Spell(n, k)
	c.End = 4
	return c
}

// What a chord makes one expect: dominants and leading-tone chords their tonic, the cadential
// six-four the tonic too, augmented sixths the dominant, applied ones their own goal; others
// nothing. Any harmony textbook.
func TestPromises(t *testing.T) {
	c, a := tonal.Key{}, tonal.Key{Tonic: 3, Minor: true}
	for _, x := range []struct {
		key     tonal.Key
		roman   string
		by      Awaited // "" nothing
		target  score.Class
		applied bool
	}{
		{c, "V", ByDominant, 0, false}, {c, "V7", ByDominant, 0, false}, {c, "V65", ByDominant, 0, false}, {c, "vii°", ByLeadingTone, 0, false}, {c, "vii°7", ByLeadingTone, 0, false}, {c, "viiø7", ByLeadingTone, 0, false}, {c, "Cad64", ByCadential, 0, false}, {c, "V7/V", ByDominant, 1, true}, {c, "V7/ii", ByDominant, 2, true}, {c, "vii°7/vi", ByLeadingTone, 3, true},
		{c, "I", "", 0, false}, {c, "ii", "", 0, false}, {c, "IV", "", 0, false}, {c, "v", "", 0, false}, {c, "vii", "", 0, false}, {c, "bVII", "", 0, false}, {a, "V7", ByDominant, 3, false}, {a, "v", "", 0, false}, {a, "vii°7", ByLeadingTone, 3, false}, {a, "Ger65", ByAugmented, 4, false}, {a, "It6", ByAugmented, 4, false}, {a, "VII", "", 0, false},
	} {
		n, ok := tonal.ParseNumeral(x.roman, x.key)
		if !ok {
			continue // no such numeral in the key
		}
		chord := tonal.Spell(n, x.key)
		d, promised := promises(&chord)
		if promised != (x.by != "") || promised && (d.by != x.by || d.target.Tonic != x.target || d.applied != x.applied || d.leading <= 0) {
			t.Errorf("%s in %s: %+v %v, want %q to %s", x.roman, x.key.Name(), d, promised, x.by, x.target)
		}
	}
}

// Chords that lead to a dominant: ii, IV, its own dominant, augmented sixths and the cadential
// six-four, in its key.
func TestPreparesADominant(t *testing.T) {
	c := tonal.Key{}
	for roman, want := range map[string]bool{"ii": true, "ii65": true, "IV": true, "iv": true, "V7/V": true, "Cad64": true, "Ger65": true, "I": false, "vi": false, "V": false, "V7/IV": false, "iii": false} {
		x := named4(t, c, roman)
		if got := prepares(&x, c); got != want {
			t.Errorf("%s: %v", roman, got)
		}
		if prepares(&x, tonal.Key{Tonic: 1}) {
			t.Errorf("%s prepares the dominant of another key", roman)
		}
	}
}

// In the tonic's place stand the sixth of either mode in root position and the fourth in its
// first inversion (Caplin, Classical Form, 1998, chapter 8, from memory); not while the
// expectation fades.
func TestStandsInItsPlace(t *testing.T) {
	major, minor := tonal.Key{}, tonal.Key{Tonic: 3, Minor: true}
	for _, x := range []struct {
		key   tonal.Key
		roman string
		want  bool
	}{{major, "vi", true}, {major, "bVI", true}, {major, "vi6", false}, {major, "IV6", true}, {major, "IV", false}, {major, "ii", false}, {major, "I6", false}, {minor, "VI", true}, {minor, "iv6", true}, {minor, "VI6", false}, {minor, "iv", false}} {
		c := named4(t, x.key, x.roman)
		if got := deceives(open{target: x.key}, &c); got != x.want {
			t.Errorf("%s in %s: %v", x.roman, x.key.Name(), got)
		}
		if deceives(open{target: x.key, fading: true}, &c) {
			t.Errorf("%s deceives what fades", x.roman)
		}
	}
	sharp := named4(t, tonal.Key{Tonic: 3}, "vi")
	if deceives(open{target: minor}, &sharp) {
		t.Error("the sixth of major stands for a minor tonic")
	}
}

// An open dominant tends to ninety over 24 quarters, faster on strong beats and twice as fast
// over its pedal; what fades falls to 37 % in six, and under five it is lost (the doc of the
// course; our own numbers).
func TestCourseOfAnExpectation(t *testing.T) {
	c := tonal.Key{}
	course := func(now float64, fading, dominates bool, weight float64, bass int) (float64, *Expectation) {
		a := &Course{Expectations: []Expectation{{Until: 4}}}
		p := pulls{a: a, dominates: dominates, open: []open{{now: now, fading: fading, target: c}}}
		p.pass(6, weight, bass, 99)
		if len(p.open) == 0 {
			return 0, &a.Expectations[0]
		}
		return p.open[0].now, &a.Expectations[0]
	}
	for _, x := range []struct {
		name              string
		now               float64
		fading, dominates bool
		weight            float64
		bass              int
		want              float64
	}{
		{"on a downbeat", 30, false, true, 1, 7, 90 - 60*math.Exp(-6*1.5/24)}, {"on a weak beat", 30, false, true, 0, 7, 90 - 60*math.Exp(-6*0.5/24)}, {"over a pedal", 30, false, false, 0.5, 7, 90 - 60*math.Exp(-0.5)}, {"over another bass", 30, false, false, 0.5, 0, 90 - 60*math.Exp(-6/24.0)}, {"fading", 30, true, false, 1, 7, 30 / math.E}, {"lost", 5, true, false, 1, 0, 0}, {"just not lost", 5.01 * math.E, true, false, 1, 0, 5.01},
	} {
		got, e := course(x.now, x.fading, x.dominates, x.weight, x.bass)
		if !agree(got, x.want, 1e-9) || e.Pedal != (x.name == "over a pedal") || (e.Release == Abandoned) != (x.want == 0) || x.want == 0 && e.Until != 99 || x.want > 0 && !agree(e.Peak, x.want, 1e-9) {
			t.Errorf("%s: %.4f, want %.4f; %+v", x.name, got, x.want, e)
		}
	}
}

// Of several open expectations each takes its share of what the others leave.
func TestPullOfAll(t *testing.T) {
	a := &Course{Expectations: []Expectation{{From: 2, Until: 6, Peak: 50}}}
	for _, x := range []struct {
		at   score.Tick
		want float64
	}{{1, 40}, {2, 70}, {5, 70}, {6, 40}} {
		p := pulls{a: a, open: []open{{now: 40}}, tones: []int{0}}
		if got := p.now(x.at); !agree(got, x.want, 1e-9) {
			t.Errorf("at %d: %.2f, want %.2f", x.at, got, x.want)
		}
	}
	p := pulls{a: &Course{}, open: []open{{now: 40}, {now: 50}}}
	if got := p.now(0); !agree(got, 70, 1e-9) {
		t.Errorf("40 and 50 pull %.2f, want 70", got)
	}
}

// A voice goes on to the nearest note of its own, over no more than a quarter of rest; grace
// does not join staves or voices.
func TestMelodiesLinked(t *testing.T) {
	n := func(at, length score.Tick, key, voice int) score.Note {
		return score.Note{Onset: at, Duration: length, Voice: voice, Pitch: tonal.PitchNear(tonal.KeyAt(key, false).Tonic, key)}
	}
	s := &score.Score{Division: 4, Notes: []score.Note{n(0, 4, 60, 1), n(0, 4, 67, 1), n(0, 4, 61, 2), n(4, 4, 62, 1), n(4, 4, 69, 1), n(12, 4, 64, 1), n(21, 4, 65, 1)}}
	m := linkMelodies(s)
	for i, want := range [][2]int{{-1, 3}, {-1, 4}, {-1, -1}, {0, 5}, {1, -1}, {3, -1}, {-1, -1}} {
		if i == 4 {
			want[1] = 5 // it goes on to the one note that comes
		}
		if m.before[i] != want[0] || m.after[i] != want[1] {
			t.Errorf("note %d: from %d to %d, want %v", i, m.before[i], m.after[i], want)
		}
	}
	for keys, want := range map[[2]int]bool{{60, 61}: true, {60, 62}: true, {60, 63}: false, {60, 60}: false, {62, 60}: true} {
		s.Notes[0].Pitch, s.Notes[1].Pitch = tonal.PitchNear(tonal.KeyAt(keys[0], false).Tonic, keys[0]), tonal.PitchNear(tonal.KeyAt(keys[1], false).Tonic, keys[1])
		if got := stepwise(s, 0, 1); got != want {
			t.Errorf("%v is a step: %v", keys, got)
		}
	}
	if stepwise(s, -1, 0) || stepwise(s, 0, -1) {
		t.Error("there is a step to nothing")
	}
}
