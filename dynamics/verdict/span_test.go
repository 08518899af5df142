package verdict

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// progression is an analysis of the blank score, a numeral of C major a measure, the last held on.
func progression(t *testing.T, s *score.Score, numerals ...string) *harmony.Analysis {
	t.Helper()
	a := heard(s, func(b int) float64 { return float64(b) })
	for m := range a.Chords {
		c := numeral(t, numerals[min(m, len(numerals)-1)])
		c.Start, c.End, c.Confidence, c.KeyConfidence = a.Chords[m].Start, a.Chords[m].End, 0.9, 0.9
		a.Chords[m] = c
	}
	return a
}

// What a stretch is told from: shares of time, roots, basses, tension in its course.
func TestQuantitiesOfAStretch(t *testing.T) {
	s, p := marked(t)
	over := func(kind page.MoveKind, numerals ...string) map[string]float64 {
		a := progression(t, s, numerals...)
		a.Cadences = []phrasing.Cadence{{At: 144, Kind: phrasing.PerfectAuthentic, Confidence: 0.7}}
		j := newJudge(s, a, p)
		out := map[string]float64{}
		for i, x := range j.spanOver(0, 192, kind).quantities() { // four measures
			out[QuantityNames()[i]] = x
		}
		return out
	}
	for _, c := range []struct {
		numerals []string
		kind     page.MoveKind
		name     string
		want     float64
	}{
		{[]string{"I", "IV", "V", "I"}, page.Silent, "share of tonics", 0.5},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "share of dominants", 0.25},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "dominants only", 0},
		{[]string{"V", "V7", "viio", "V"}, page.Silent, "dominants only", 1},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "one root", 0},
		{[]string{"I", "I6", "I64", "I"}, page.Silent, "one root", 1},
		{[]string{"I", "I", "I", "V"}, page.Silent, "one root", 0},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "chords", math.Log(4)},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "bass on the fifth", 0.25},
		{[]string{"I", "IV", "Cad64", "I"}, page.Silent, "bass on the fifth", 0.25},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "bass on the tonic", 0.5},
		{[]string{"I6", "IV", "V", "I"}, page.Silent, "bass on the tonic", 0.25},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "first is tonic", 0.9},
		{[]string{"V", "IV", "V", "I"}, page.Silent, "first is tonic", 0},
		{[]string{"I", "IV", "V", "V"}, page.Silent, "tonic to dominant", 0.81},
		{[]string{"V", "IV", "V", "I"}, page.Silent, "dominant to tonic", 0.81},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "dominant to tonic", 0},
		{[]string{"I", "IV", "V", "I"}, page.Silent, "closes", 0.7},
		{[]string{"I"}, page.Silent, "end over start", 15.0 / 50}, // beats 0 and 15 of a course that climbs by one
		{[]string{"I"}, page.Silent, "slope of tension", 16.0 / 50},
		{[]string{"I"}, page.Silent, "mean tension", 7.5 / 50},
		{[]string{"I", "I", "V", "V", "I"}, page.Falls, "slope into tonic", 1},
		{[]string{"I", "I", "V", "V", "I"}, page.Silent, "slope into tonic", 0},
		{[]string{"I", "I", "V", "V", "I"}, page.Swells, "slope into tonic", 0},
		{[]string{"I", "I", "I", "I", "V"}, page.Grows, "slope into dominant", 1},
		{[]string{"I", "I", "I", "I", "V"}, page.Grows, "slope into tonic", 0},
		{[]string{"I"}, page.Grows, "page grows", 1}, {[]string{"I"}, page.Falls, "page grows", 0},
		{[]string{"I"}, page.Falls, "page falls", 1}, {[]string{"I"}, page.Swells, "page swells", 1}, {[]string{"I"}, page.Terraced, "page is terraced", 1},
		{[]string{"I"}, page.Silent, "page is terraced", 0},
	} {
		got, ok := over(c.kind, c.numerals...)[c.name]
		if !ok || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v, %s: %s is %.4f, want %.4f", c.numerals, c.kind, c.name, got, c.want)
		}
	}
}

// A cadence closes a stretch if it comes after its start and within its last measure.
func TestClosesInTheLastMeasure(t *testing.T) {
	s, p := marked(t)
	for _, c := range []struct {
		at   score.Tick
		kind phrasing.CadenceKind
		want float64
	}{
		{48, phrasing.PerfectAuthentic, 0.6}, {47, phrasing.PerfectAuthentic, 0}, {95, phrasing.ImperfectAuthentic, 0.6}, {96, phrasing.PerfectAuthentic, 0},
		{60, phrasing.Plagal, 0.6}, {60, phrasing.Half, 0}, {60, phrasing.Deceptive, 0},
	} {
		a := course(s, 20)
		a.Cadences = []phrasing.Cadence{{At: c.at, Kind: c.kind, Confidence: 0.6}}
		if got := newJudge(s, a, p).spanOver(0, 96, page.Silent).closes(); !near(got, c.want) {
			t.Errorf("%s at %d: %v, want %v", c.kind, c.at, got, c.want)
		}
	}
	a := course(s, 20)
	a.Cadences = []phrasing.Cadence{{At: 0, Kind: phrasing.PerfectAuthentic, Confidence: 0.6}}
	if got := newJudge(s, a, p).spanOver(0, 48, page.Silent).closes(); got > 0 {
		t.Errorf("a cadence where the stretch starts closes it: %v", got)
	}
}

// A chord that only ends or begins in a stretch, for less than half a beat, is left out
// where others sound; the beat here is twelve.
func TestChordsOfAStretch(t *testing.T) {
	s, p := marked(t)
	j := newJudge(s, course(s, 20), p) // a chord every 48
	for _, c := range []struct {
		from, to score.Tick
		first, n int
	}{{0, 96, 0, 2}, {42, 96, 0, 2}, {43, 96, 1, 1}, {0, 54, 0, 2}, {0, 53, 0, 1}, {47, 48, 0, 1}, {44, 50, 1, 1}, {384, 400, 0, 0}} {
		got := j.chordsIn(c.from, c.to)
		if len(got) != c.n || c.n > 0 && got[0].Start != score.Tick(48*c.first) {
			t.Errorf("%d to %d: %d chords", c.from, c.to, len(got))
		}
	}
	for at, want := range map[score.Tick]bool{48: true, 53: true, 54: false, 95: false} { // half a beat late at most
		if got := j.beginsAt(j.chordAt(at), at); got != want {
			t.Errorf("the chord of %d begins there: %v", at, got)
		}
	}
}

// The tension of a stretch's end is that of its first or last beat, of all of it where no
// chord sounds there.
func TestTensionOfEnds(t *testing.T) {
	s, p := marked(t)
	a := heard(s, func(b int) float64 { return float64(10 * b) })
	j := newJudge(s, a, p)
	for _, c := range []struct {
		from, to, beat score.Tick
		last           bool
		want           float64
	}{{0, 48, 12, false, 0}, {0, 48, 12, true, 30}, {0, 48, 24, false, 5}, {0, 48, 24, true, 25}, {6, 48, 12, false, 5}, {0, 6, 12, true, 0}, {0, 48, 99, true, 15}} {
		if got := j.tensionIn(c.from, c.to, c.beat, c.last); !near(got, c.want) {
			t.Errorf("%d to %d, last %v: %.2f, want %.2f", c.from, c.to, c.last, got, c.want)
		}
	}
	a.Moments[0].Chord = -1
	if got := j.tensionIn(0, 48, 12, false); !near(got, 20) {
		t.Errorf("where no chord sounds first: %.2f, want the mean of 10, 20 and 30", got)
	}
}

// Peaks and troughs stand out by the threshold on both sides; the ends are none.
func TestTurning(t *testing.T) {
	for _, c := range []struct {
		tensions []float64
		want     []int
	}{
		{[]float64{0, 40, 0}, []int{1}}, {[]float64{0, 39, 0}, nil}, {[]float64{40, 0, 40}, []int{1}}, {[]float64{40, 1, 40}, nil},
		{[]float64{0, 20, 40, 20, 0, 40}, []int{2, 4}}, {[]float64{40, 0}, nil}, {[]float64{0, 40, 40, 0}, []int{1}},
		{[]float64{0, 40, 20, 50, 0}, []int{3}}, {[]float64{0, 50, 0, 20, 0, 50, 0}, []int{1, 2, 5}}, {[]float64{40, 0, 20, 0, 40}, []int{1}},
	} {
		var b []beat
		for _, x := range c.tensions {
			b = append(b, beat{tension: x})
		}
		got := turning(b, 40)
		if len(got) != len(c.want) {
			t.Errorf("%v turns at %v, want %v", c.tensions, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v turns at %v, want %v", c.tensions, got, c.want)
			}
		}
	}
}

// Borders lie a measure or more from the ends and from each other, the first to come first
// served; a moment goes to the nearest beat, the earlier of two as near.
func TestBorders(t *testing.T) {
	s, p := marked(t)
	j := newJudge(s, course(s, 20), p)
	for _, c := range []struct {
		have, more, want []score.Tick
	}{
		{nil, []score.Tick{48, 144}, []score.Tick{48, 144}}, {nil, []score.Tick{47, 145}, nil}, {nil, []score.Tick{96, 48}, []score.Tick{48, 96}},
		{[]score.Tick{96}, []score.Tick{49, 143}, []score.Tick{96}}, {[]score.Tick{96}, []score.Tick{48, 144}, []score.Tick{48, 96, 144}}, {nil, []score.Tick{60, 84}, []score.Tick{60}},
	} {
		var have, more []border
		for _, x := range c.have {
			have = append(have, border{at: x})
		}
		for _, x := range c.more {
			more = append(more, border{at: x})
		}
		got := j.apart(have, 0, 192, more)
		if len(got) != len(c.want) {
			t.Errorf("%v and %v: %v", c.have, c.more, got)
			continue
		}
		for i := range got {
			if got[i].at != c.want[i] {
				t.Errorf("%v and %v: %v", c.have, c.more, got)
			}
		}
	}
	for at, want := range map[score.Tick]score.Tick{0: 0, 6: 0, 7: 12, 12: 12, 18: 12, 19: 24} {
		if got := j.nearestBeat(at); got != want {
			t.Errorf("the beat of %d is %d, want %d", at, got, want)
		}
	}
}

// A page's border is where a slope of a measure begins and ends, or a sudden change between
// levels held for two measures.
func TestPageBorders(t *testing.T) {
	for _, c := range []struct {
		put  []string
		want []string
	}{
		{[]string{"1:1 p", "2:1 <3:1", "3:1 f"}, []string{"2:1", "3:1"}}, {[]string{"1:1 p", "2:1 <2:4", "2:4 f"}, nil},
		{[]string{"1:1 p", "3:1 f"}, []string{"3:1"}}, {[]string{"1:1 p", "3:1 f", "5:1 p"}, []string{"3:1", "5:1"}}, {[]string{"1:1 p", "3:1 f", "4:4 p"}, nil},
		{[]string{"1:1 p"}, nil},
	} {
		s, p := marked(t, c.put...)
		got := newJudge(s, course(s, 20), p).pageBorders(0, s.Length())
		if len(got) != len(c.want) {
			t.Errorf("%q: %v", c.put, got)
			continue
		}
		for i, b := range got {
			if b.at != at(t, c.want[i]) || b.harmony {
				t.Errorf("%q: %v", c.put, got)
			}
		}
	}
}

// The verdict with the most chances wins, and of its deeds the likeliest; of two alike the
// first stands.
func TestLikeliest(t *testing.T) {
	for _, c := range []struct {
		c    Chances // builds, releases, holds, waits
		kind Kind
		deed Deed
		p    float64
	}{
		{Chances{0.3, 0.35, 0.1, 0.25}, Supports, Builds, 0.55}, {Chances{0.25, 0.35, 0.1, 0.3}, Supports, Waits, 0.55},
		{Chances{0.2, 0.5, 0.2, 0.1}, WorksAgainst, Releases, 0.5}, {Chances{0.1, 0.2, 0.6, 0.1}, Independent, Holds, 0.6},
		{Chances{0.25, 0.5, 0, 0.25}, Supports, Builds, 0.5}, {Chances{0.2, 0.4, 0.4, 0}, WorksAgainst, Releases, 0.4},
	} {
		kind, deed, p := kindOf(page.Grows, HarmonyMove{Chances: c.c})
		if kind != c.kind || deed != c.deed || !near(p, c.p) {
			t.Errorf("growing over %v: %s, %s, %.2f; want %s, %s, %.2f", c.c, kind, deed, p, c.kind, c.deed, c.p)
		}
	}
	for m, want := range map[page.MoveKind][deeds]Kind{
		page.Grows:    {Supports, WorksAgainst, Independent, Supports},
		page.Falls:    {WorksAgainst, Supports, Independent, WorksAgainst},
		page.Terraced: {Unshaped, Unshaped, Independent, Independent},
		page.Silent:   {Unshaped, Unshaped, Calm, Calm},
		page.Level:    {Unshaped, Unshaped, Calm, Calm},
	} {
		for d := range want {
			var c Chances
			c[d] = 1
			if kind, deed, _ := kindOf(m, HarmonyMove{Chances: c}); kind != want[d] || deed != Deed(d) {
				t.Errorf("the page %s, the harmony %s: %s, %s", m, Deed(d), kind, deed)
			}
		}
	}
}

// A swell over one chord, or over tension that hardly moves, is a matter of sound.
func TestSwellsNeedHarmony(t *testing.T) {
	for _, c := range []struct {
		chords int
		spread float64
		want   Kind
	}{{2, tensionMove, Supports}, {1, 99, Independent}, {0, 99, Independent}, {2, tensionMove - 0.1, Independent}} {
		for _, m := range []page.MoveKind{page.Swells, page.Dips} {
			if got, _, _ := kindOf(m, HarmonyMove{Chords: c.chords, spread: c.spread}); got != c.want {
				t.Errorf("%s over %d chords, %.1f of tension: %s", m, c.chords, c.spread, got)
			}
		}
	}
}

// Without a chord the change of tension decides, from twelve on, and nothing is sure.
func TestChancesWithoutChords(t *testing.T) {
	s, p := marked(t)
	j := newJudge(s, &harmony.Analysis{}, p)
	for change, want := range map[float64]Deed{12: Builds, 11.9: Holds, -11.9: Holds, -12: Releases} {
		c := j.chances(&span{j: j, move: HarmonyMove{From: 50, To: 50 + change}})
		sum := 0.0
		for d, x := range c {
			if sum += x; (x > 0.3) != (Deed(d) == want) {
				t.Errorf("a change of %v: %v", change, c)
			}
		}
		if !near(sum, 1) {
			t.Errorf("chances add up to %v", sum)
		}
	}
}

// What the second reading of a chord would do in C: any harmony textbook.
func TestRivalFunctions(t *testing.T) {
	c := numeral(t, "IV")
	for rival, want := range map[string]function{
		"G": dominant, "G7": dominant, "D7": dominant, "Gaug": dominant, "Bdim": dominant, "Bdim7": dominant, "Bm7b5": dominant, "Dm7b5": other,
		"C": tonic, "Cm": tonic, "Cmaj7": tonic, "C/E": tonic, "D": other, "Dm": other, "Am": other, "Gm": other, "": other, "F": other,
	} {
		c.Rival = rival
		if got := rivalFunction(&c); got != want {
			t.Errorf("%q: %d, want %d", rival, got, want)
		}
	}
	for name, want := range map[string]struct {
		root   score.Class
		suffix string
	}{"Bbm7/F": {-2, "m7"}, "F#": {6, ""}, "C": {0, ""}, "Bb": {-2, ""}, "Abbm": {-11, "m"}} { // A is three fifths above C, two flats are fourteen below
		root, suffix, ok := nameOf(name)
		if !ok || root != want.root || suffix != want.suffix {
			t.Errorf("%s: %d %q %v", name, root, suffix, ok)
		}
	}
}

// To fade goes home where the goal comes within a beat; later it does not.
func TestHomeWithinABeat(t *testing.T) {
	s, p := marked(t)
	a := progression(t, s, "V", "I")
	for to, want := range map[score.Tick]bool{48: true, 36: true, 35: false, 47: true} {
		if got := newJudge(s, a, p).spanOver(0, to, page.Falls).home() != nil; got != want {
			t.Errorf("up to %d, %d before the tonic: home %v", to, 48-to, got)
		}
	}
	if newJudge(s, progression(t, s, "IV", "I"), p).spanOver(0, 48, page.Falls).home() != nil {
		t.Error("no dominant goes home")
	}
}

// Of what a chord's roles tell, tonic and dominant are kept and the rest is nothing.
func TestRolesOfNothing(t *testing.T) {
	c := numeral(t, "IV")
	c.Confidence, c.Rival = 0.7, ""
	if r := rolesOf(&c); r.tonic+r.dominant > 0 {
		t.Errorf("IV: %+v", r)
	}
	if r := rolesOf(nil); r.tonic+r.dominant > 0 {
		t.Errorf("nothing: %+v", r)
	}
	c = numeral(t, "V")
	if c.Confidence = 0.7; rolesOf(&c).tonic > 0 || !near(rolesOf(&c).dominant, 0.7) {
		t.Errorf("a dominant without a rival: %+v", rolesOf(&c))
	}
	if tonal.Unsure >= tonal.Likely || tonal.Likely >= tonal.Sure {
		t.Error("the scale of certainty is out of order")
	}
}
