package form

import (
	"slices"
	"testing"

	"hairpin/score"
)

// Music comes home from the key of a dominant or from a third above: up a fourth, a minor or a
// major sixth, or down by their inversions, in any octave. Common practice, no source.
func TestHomeward(t *testing.T) {
	for semitones := range 12 {
		want := semitones == 5 || semitones == 8 || semitones == 9
		for _, octave := range []int{-24, -12, 0, 12} {
			if got := homeward(semitones + octave); got != want {
				t.Errorf("%d semitones: %v", semitones+octave, got)
			}
		}
	}
	for steps := -14; steps < 14; steps++ {
		k := (steps + 14) % 7
		if home(steps) != (k == 0) || fifth(steps) != (k == 3 || k == 4) {
			t.Errorf("%d steps: home %v, fifth %v", steps, home(steps), fifth(steps))
		}
	}
}

// The subject goes as far as two thirds of the further notes agree: a miss takes back what two
// hits add.
func TestPrefixOfHits(t *testing.T) {
	for hits, want := range map[string]int{"": 0, "x": 1, ".": 0, "xx.": 2, "xx.x": 2, "xx.xx": 5, "xxx.x": 3, "x.xxx": 5, "xxxx..": 4, ".xx": 3, "..xxxx": 6} {
		var list []bool
		for _, c := range hits {
			list = append(list, c == 'x')
		}
		if got := prefix(list); got != want {
			t.Errorf("%q: %d, want %d", hits, got, want)
		}
	}
	for n, want := range map[int]int{5: 5, 6: 5, 7: 6, 8: 6, 20: 15, 21: 16} {
		if got := ownPart(n); got != want {
			t.Errorf("of %d notes %d are the subject's own, want %d", n, got, want)
		}
	}
}

// An entry has all notes of a short subject, 84 in a hundred of a longer one and 80 of a long
// one; upside down more of those under twenty. Our own bounds.
func TestEntersBounds(t *testing.T) {
	for _, c := range []struct {
		n, missing, sign int
		want             bool
	}{
		{8, 0, 1, true}, {8, 1, 1, false}, {9, 1, 1, true}, {9, 2, 1, false}, {19, 3, 1, true}, {19, 4, 1, false}, {20, 4, 1, true}, {20, 5, 1, false},
		{8, 0, -1, true}, {12, 0, -1, true}, {13, 1, -1, true}, {12, 1, -1, false}, {19, 1, -1, true}, {19, 2, -1, false}, {20, 4, -1, true}, {20, 5, -1, false},
	} {
		x := place{sign: c.sign, hits: make([]bool, c.n)}
		for i := range c.n - c.missing {
			x.hits[i] = true
		}
		if got := x.enters(c.n); got != c.want {
			t.Errorf("%d notes, %d missing, way %d: %v", c.n, c.missing, c.sign, got)
		}
	}
}

// Of entries on the same notes the one most like the subject stays, the upright one before the
// inverted; one that starts a quarter of the subject's length before the last has ended is a
// stretto. Our own bound.
func TestChosenEntries(t *testing.T) {
	subject := []tone{{0, 10, 30, 60}, {90, 100, 30, 60}}
	e := func(at score.Tick, like float64, inverted bool, notes ...int) Entry {
		x := Entry{Span: Span{at, at + 100}, likeness: like, Inverted: inverted}
		for _, n := range notes {
			x.notes = append(x.notes, tone{place: n})
		}
		return x
	}
	for _, c := range []struct {
		name    string
		found   []Entry
		want    []score.Tick
		stretto []bool
	}{
		{"a third in common", []Entry{e(0, 0.9, false, 1, 2, 3), e(4, 1, false, 3, 4, 5)}, []score.Tick{4}, []bool{false}}, {"less in common", []Entry{e(0, 0.9, false, 1, 2, 3, 4), e(100, 1, false, 4, 5, 6, 7)}, []score.Tick{0, 100}, []bool{false, false}},
		{"inverted and upright", []Entry{e(0, 1, true, 1, 2), e(5, 1, false, 1, 2)}, []score.Tick{5}, []bool{false}}, {"as like: the earlier", []Entry{e(5, 1, false, 1, 2), e(0, 1, false, 1, 2)}, []score.Tick{0}, []bool{false}},
		{"a quarter before", []Entry{e(0, 1, false, 1), e(75, 1, false, 2)}, []score.Tick{0, 75}, []bool{false, true}}, {"later", []Entry{e(0, 1, false, 1), e(76, 1, false, 2)}, []score.Tick{0, 76}, []bool{false, false}},
	} {
		var at []score.Tick
		var stretto []bool
		for _, x := range chosen(c.found, subject) {
			at, stretto = append(at, x.Start), append(stretto, x.Stretto)
		}
		if !slices.Equal(at, c.want) || !slices.Equal(stretto, c.stretto) {
			t.Errorf("%s: %v, stretto %v", c.name, at, stretto)
		}
	}
}

// The exposition's entries follow each other at home or on the fifth within three and a half
// lengths of the subject.
func TestLeadingEntries(t *testing.T) {
	for _, c := range []struct {
		name    string
		entries []Entry
		want    int
	}{
		{"four", []Entry{{Span: Span{Start: 0}}, {Span: Span{Start: 35}, Steps: 4}, {Span: Span{Start: 70}, Steps: -7}, {Span: Span{Start: 105}, Steps: -3}}, 4}, {"one waits longer", []Entry{{Span: Span{Start: 0}}, {Span: Span{Start: 36}, Steps: 4}}, 1},
		{"one on another step", []Entry{{}, {Span: Span{Start: 10}, Steps: 4}, {Span: Span{Start: 20}, Steps: 5}, {Span: Span{Start: 30}}}, 2}, {"one upside down", []Entry{{}, {Span: Span{Start: 10}, Steps: 4, Inverted: true}}, 1},
	} {
		if got := (&Fugue{Entries: c.entries}).leading(10); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// A piece has as many voices as sound at once for a twenty-fifth of it, six at most.
func TestVoicesAtOnce(t *testing.T) {
	for _, c := range []struct {
		three score.Tick // how long a third voice sounds in a hundred
		want  int
	}{{4, 3}, {3, 2}, {30, 3}} {
		all := []tone{{0, 100, 30, 50}, {0, 50 + c.three, 40, 60}, {50, 50 + c.three, 50, 70}, {50 + c.three, 100, 40, 60}}
		if got := gridOf(all).voices(); got != c.want {
			t.Errorf("a third voice for %d: %d voices, want %d", c.three, got, c.want)
		}
	}
}

// Episodes are two full bars or more without the subject, after the exposition and before
// another entry, up to four lengths of the subject. Our own bounds.
func TestEpisodesOfAFugue(t *testing.T) {
	p := plainPage(24) // of sixteen ticks each
	bar := func(n float64) score.Tick { return score.Tick(16 * n) }
	for _, c := range []struct {
		name   string
		end    float64 // of the exposition, in bars
		starts []float64
		want   []Span
	}{
		{"two bars", 4, []float64{6}, []Span{{bar(4), bar(6)}}}, {"less", 4, []float64{5.5}, nil}, {"two full ones inside", 3.5, []float64{6.25}, []Span{{bar(4), bar(6)}}}, {"as long as may be", 4, []float64{12}, []Span{{bar(4), bar(12)}}}, {"longer", 4, []float64{12.25}, nil}, {"two", 4, []float64{6, 10}, []Span{{bar(4), bar(6)}, {bar(8), bar(10)}}}, {"none after the last", 4, nil, nil},
	} {
		f := &Fugue{Voices: 1, Subject: Span{0, bar(2)}, Entries: []Entry{{Span: Span{0, bar(c.end)}}}}
		for _, s := range c.starts {
			f.Entries = append(f.Entries, Entry{Span: Span{bar(s), bar(s + 2)}})
		}
		if got := p.episodes(f); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The phrase with which the music departs that comes back at home: right after music in the
// old key, at the same distance as at first but for a bar, and no more than eight bars after it.
func TestDeparture(t *testing.T) {
	for _, c := range []struct {
		name      string
		from, bar int // of the second return: where it was first, and where it is
		semitones int
		want      int
	}{
		{"at once", 8, 40, 5, 1}, {"a bar later than at first", 8, 41, 5, 1}, {"two bars later", 8, 42, 5, -1}, {"as late as at first", 16, 48, 5, 2}, {"later than eight bars", 17, 49, 5, -1}, {"not homeward", 8, 40, 7, -1}, {"no phrase starts there", 12, 44, 5, -1}, {"a phrase a bar on", 15, 47, 5, 2}, {"before the other has ended", 7, 39, 5, -1},
	} {
		f := &Form{Returns: []Return{{FirstBar: 0, Bar: 32, Count: 8}, {FirstBar: c.from, Bar: c.bar, Count: 8, Semitones: c.semitones, Steps: 3}}}
		for i := range 8 {
			f.Ideas = append(f.Ideas, Idea{Bar: 8 * i})
		}
		if got := f.departure(32); got != c.want {
			t.Errorf("%s: phrase %d, want %d", c.name, got, c.want)
		}
		if got := f.departure(33); got != -1 {
			t.Errorf("%s, from later on: phrase %d", c.name, got)
		}
	}
}

// Two phrases that start alike are antecedent and consequent if the second closes more firmly
// and at least softly; the same music again without that is a repetition. One may last two
// thirds of the other. Laitz, The Complete Musician, from memory; the bounds are ours.
func TestPairsOfPhrases(t *testing.T) {
	same, other := []string{"cegh", "gfed", "efga", "agfe"}, []string{"jjih", "hhgf", "ijkj", "ihgg"}
	half := []string{"cegh", "gfed", "ijkj", "ihgg"}
	for _, c := range []struct {
		name          string
		second        []string
		close, closes Close
		first, then   Role
	}{
		{"firmer", half, OpenClose, FullClose, Antecedent, Consequent}, {"softly", half, OpenClose, SoftClose, Antecedent, Consequent}, {"no firmer", half, FullClose, FullClose, Single, Single}, {"the same again", same, FullClose, FullClose, Statement, Repetition}, {"the same, firmer", same, OpenClose, FullClose, Antecedent, Consequent}, {"other music", other, OpenClose, FullClose, Single, Single},
	} {
		s, phrases := write(join(same, c.second), []Close{c.close, c.closes})
		p := newPage(s, 0)
		ideas := p.ideas(phrases)
		if first, then, _ := p.pair(phrases, ideas, 0); first != c.first || then != c.then {
			t.Errorf("%s: %q and %q", c.name, first, then)
		}
		ideas[1].Count = 2
		if _, then, _ := p.pair(phrases, ideas, 0); then != Single {
			t.Errorf("%s, of half the length: %q", c.name, then)
		}
	}
}

// Whatever is told of a form is sure to between nothing and one.
func TestCertaintiesAreProbabilities(t *testing.T) {
	for name, put := range map[string]func() (*score.Score, []Phrase){
		"a rondo": func() (*score.Score, []Phrase) { return write(join(themeA, themeB, themeA, themeC, themeA), full(10)) },
		"variations": func() (*score.Score, []Phrase) {
			s, phrases := write(join(themeA, themeB, themeC), full(6))
			printed(s, map[int]string{0: "Tema", 8: "Var. I", 16: "Var. II"})
			return s, phrases
		},
		"a minuet": func() (*score.Score, []Phrase) {
			s, phrases := write(join(themeA, themeB, themeC), full(6))
			printed(s, map[int]string{0: "Menuetto", 16: "Trio"})
			return s, phrases
		},
		"a song": func() (*score.Score, []Phrase) {
			return song(join([]string{"", "", "", ""}, themeA, themeA, themeB, themeA), nil)
		},
		"two repeated parts": func() (*score.Score, []Phrase) {
			s, phrases := write(join(themeA, themeB), full(4))
			repeatedAt(s, 8, 16)
			return s, phrases
		},
	} {
		s, phrases := put()
		f := hear(s, 0, phrases)
		all := []float64{f.TypeCertainty}
		for _, x := range f.Sections {
			all = append(all, x.Certainty)
		}
		for _, x := range f.Returns {
			all = append(all, x.Certainty, x.Likeness)
		}
		for _, x := range f.Ideas {
			all = append(all, x.Certainty, x.Likeness)
		}
		for _, x := range f.Units {
			all = append(all, x.Certainty)
		}
		for _, p := range all {
			if p < 0 || p > 1 {
				t.Errorf("%s: sure to %v", name, p)
			}
		}
	}
}

// A trio that is named stands eight bars in at least; the first part comes back after it if the
// opening does, for eight bars, eight bars on; a coda that is named follows by more than four.
// Our own bounds.
func TestPrintedTrioBounds(t *testing.T) {
	back := func(bar, count int, opening bool) []Return {
		return []Return{{Bar: bar, Count: count, Opening: opening}}
	}
	for _, c := range []struct {
		name    string
		words   map[int]string
		returns []Return
		want    []int // first bars of the sections
	}{
		{"eight bars in", map[int]string{8: "Trio"}, nil, []int{0, 8}}, {"less", map[int]string{4: "Trio"}, nil, nil}, {"the first part comes back", map[int]string{8: "Trio"}, back(16, 8, true), []int{0, 8, 16}}, {"too soon", map[int]string{12: "Trio"}, back(16, 8, true), []int{0, 12}}, {"as soon as may be", map[int]string{12: "Trio"}, back(20, 8, true), []int{0, 12, 20}},
		{"too short", map[int]string{8: "Trio"}, back(16, 7, true), []int{0, 8}}, {"not the opening", map[int]string{8: "Trio"}, back(16, 8, false), []int{0, 8}}, {"a coda", map[int]string{8: "Trio", 16: "Coda"}, nil, []int{0, 8, 16}}, {"a coda too soon", map[int]string{8: "Trio", 12: "Coda"}, nil, []int{0, 8}},
	} {
		s, phrases := write(join(themeA, themeB, themeC), full(6))
		printed(s, c.words)
		p, f := newPage(s, 0), &Form{Returns: c.returns}
		for i := range phrases {
			f.Ideas = append(f.Ideas, Idea{Bar: 4 * i, Span: phrases[i].Span})
		}
		ok := p.printedDance(phrases, f)
		var got []int
		for _, x := range f.Sections {
			got = append(got, barOf(x.Start))
		}
		if ok != (c.want != nil) || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v from bars %v, want %v", c.name, ok, got, c.want)
		}
	}
}
