package form

import (
	"slices"
	"testing"

	"hairpin/score"
)

// song writes a tune for the voice, with a syllable a note, over held notes; "" is a silent bar.
func song(tune []string, closes []Close) (*score.Score, []Phrase) {
	play := make([]string, len(tune))
	for i := range play {
		play[i] = "c"
	}
	s, phrases := write(play, closes)
	s.Parts = append(s.Parts, score.Part{ID: "P2"})
	for i, b := range tune {
		for k, r := range b {
			n := note(i, s.Measures[i].Start+score.Tick(division*k), division, int(r-'a')+33)
			n.Part = 1
			s.Notes = append(s.Notes, n)
			s.Syllables = append(s.Syllables, score.Syllable{Place: score.Place{At: n.Onset, Part: 1, Staff: 1}, Voice: 1, Text: "la", Ends: true, Verses: 1})
		}
	}
	slices.SortStableFunc(s.Notes, func(a, b score.Note) int { return int(a.Onset - b.Onset) })
	return s, phrases
}

// sectionNames are the names of the sections and the bars they start with.
func sectionNames(f Form) (names []Name, bars []int) {
	for _, s := range f.Sections {
		names, bars = append(names, s.Name), append(bars, barOf(s.Start))
	}
	return names, bars
}

// Verses that are written out are told by the voice alone, with what stands before, between
// and after; one of other music between them contrasts. A song whose first part alone comes
// back is none. Common practice, no source.
func TestWrittenOutVerses(t *testing.T) {
	rest := []string{"", "", "", ""}
	s, phrases := song(join(rest, themeA, rest, themeA, themeB, themeA, rest), nil)
	f := hear(s, 0, phrases)
	names, bars := sectionNames(f)
	if want := []Name{Prelude, Verse, Interlude, Verse, Contrast, Verse, Postlude}; f.Type != Strophic || f.Verses != 3 || !slices.Equal(names, want) {
		t.Errorf("%q, %d verses: %v", f.Type, f.Verses, names)
	}
	if want := []int{0, 4, 12, 16, 24, 32, 40}; !slices.Equal(bars, want) {
		t.Errorf("from bars %v, want %v", bars, want)
	}
	s, phrases = song(join(rest, themeA, themeB, themeA, rest), nil)
	if f := hear(s, 0, phrases); f.Type == Strophic {
		t.Errorf("A–B–A is strophic: %+v", f.Sections)
	}
	s, phrases = song(join(rest, themeA, themeA, rest), nil)
	s.Repeats = []score.Repeat{{At: s.Measures[4].Start, Measure: 4, Forward: true}, {At: s.Measures[20].Start, Measure: 19}}
	if f := hear(s, 0, phrases); f.Type == Strophic {
		t.Errorf("two halves of one repeated verse are verses: %+v", f.Sections)
	}
}

// Marks that a file keeps as text under notes are not sung.
func TestMarksAreNoSyllables(t *testing.T) {
	s, phrases := song(join([]string{"", "", "", ""}, themeA, themeB, themeA), nil)
	for i := range s.Syllables {
		s.Syllables[i].Text = [...]string{"<", "f", ">", "mf"}[i%4]
	}
	if f := hear(s, 0, phrases); f.Sections[0].Name == Prelude {
		t.Errorf("a prelude before marks: %+v", f.Sections)
	}
}

// printed sets words above bars.
func printed(s *score.Score, words map[int]string) {
	for bar, text := range words {
		s.Words = append(s.Words, score.Words{Place: score.Place{At: s.Measures[bar].Start}, Text: text})
	}
}

// What the score names is called so: variations and a trio. A piece for a trio, or one
// variation, is neither. Common practice, no source.
func TestPrintedNames(t *testing.T) {
	for _, x := range []struct {
		words map[int]string
		want  Type
		names []Name
		bars  []int
	}{
		{map[int]string{0: "Tema", 8: "Var. I", 16: "Variation 2"}, Variations, []Name{TheTheme, Variation, Variation}, []int{0, 8, 16}},
		{map[int]string{0: "Menuetto", 16: "Trio"}, WithTrio, []Name{Minuet, Trio}, []int{0, 16}},
		{map[int]string{0: "Trio"}, "", nil, nil},
		{map[int]string{8: "Var. I"}, "", nil, nil},
		{map[int]string{8: "variando", 16: "trionfante"}, "", nil, nil},
	} {
		s, phrases := write(join(themeA, themeB, themeC), full(6))
		printed(s, x.words)
		f := hear(s, 0, phrases)
		names, bars := sectionNames(f)
		if f.Type != x.want || x.want != "" && (!slices.Equal(names, x.names) || !slices.Equal(bars, x.bars)) {
			t.Errorf("%v: %q, %v from bars %v", x.words, f.Type, names, bars)
		}
	}
}

// Repeat signs that cut a piece four times into the same two lengths make variations, one
// or two such dances do not.
func TestVariationsByRepeats(t *testing.T) {
	theme := join(themeA, themeB[:4])
	for n, want := range map[int]Type{4: Variations, 2: ""} {
		var bars []string
		for i := range n {
			bars = append(bars, movedBy(theme, i)...)
		}
		s, phrases := write(bars, full(len(bars)/4))
		for i := range n {
			for _, b := range []int{8, 12} {
				s.Repeats = append(s.Repeats, score.Repeat{At: s.Measures[12*i+b-1].End(), Measure: 12*i + b - 1})
			}
		}
		f := hear(s, 0, phrases)
		if (f.Type == Variations) != (want == Variations) || want != "" && len(f.Sections) != n {
			t.Errorf("%d times: %q, %d sections", n, f.Type, len(f.Sections))
		}
	}
}

// What stands before the theme that comes back is an introduction, unless it is repeated;
// letters of which none comes back for certain are not told. Common practice, no source.
func TestIntroductionAndWeakLetters(t *testing.T) {
	intro := []string{"aaaa", "abab", "aaaa", "bbbb"}
	for _, repeated := range []bool{false, true} {
		s, phrases := write(join(intro, themeA, themeB, themeA, themeC, themeA), full(11))
		if repeated {
			s.Repeats = []score.Repeat{{At: s.Measures[4].Start, Measure: 3}}
		}
		f := hear(s, 0, phrases)
		if got := f.Sections[0].Name == Introduction && barOf(f.Sections[1].Start) == 4; got == repeated {
			t.Errorf("repeated %v: %+v", repeated, f.Sections[0])
		}
	}
	s, phrases := write(join(themeA, themeB, themeC), full(6))
	s.DoubleBar = []score.Tick{s.Measures[8].Start, s.Measures[16].Start}
	if f := hear(s, 0, phrases); f.Outline != "" || f.Sections[0].Letter != "" {
		t.Errorf("nothing comes back: %q, %+v", f.Outline, f.Sections)
	}
}

// Two repeated parts are binary, rounded if the opening comes back in the second; of a first
// part alone that is repeated voices make a bar form. A repeat at the end alone says nothing.
// Laitz, The Complete Musician, from memory.
func TestFormsByRepeats(t *testing.T) {
	for _, x := range []struct {
		bars  []string
		ends  []int
		parts int
		want  Type
	}{
		{join(themeA, themeB), []int{8, 16}, 1, Binary},
		{join(themeA[:4], themeB[:4], themeA[:4]), []int{4, 12}, 1, RoundedBinary},
		{join(themeA[:4], themeB), []int{4}, 4, BarForm},
		{join(themeA[:4], themeB), []int{4}, 1, ""},
		{join(themeA, themeB), []int{16}, 4, ""},
		{join(themeA, themeB), []int{2, 16}, 1, ""},
	} {
		s, phrases := write(x.bars, full(len(x.bars)/4))
		s.Parts = make([]score.Part, x.parts)
		for _, b := range x.ends {
			s.Repeats = append(s.Repeats, score.Repeat{At: s.Measures[b-1].End(), Measure: b - 1})
		}
		f := hear(s, 0, phrases)
		if f.Type != x.want {
			t.Errorf("repeats after %v of %d, %d parts: %q, want %q", x.ends, len(x.bars), x.parts, f.Type, x.want)
		}
		if x.want != "" && (len(f.Sections) != 2 || barOf(f.Sections[1].Start) != x.ends[0]) {
			t.Errorf("repeats after %v: %+v", x.ends, f.Sections)
		}
	}
}

// In a chorale the first part may have two lines of text and be repeated: that is a bar form
// and no song in verses. Common practice, no source.
func TestRepeatedFirstPartIsNoVerse(t *testing.T) {
	for end, want := range map[int]Type{4: BarForm, 12: Strophic} {
		s, phrases := song(join(themeA[:4], themeB[:4], themeC[:4]), full(3))
		for i := range s.Syllables {
			s.Syllables[i].Verses = 2
		}
		s.Repeats = []score.Repeat{{At: s.Measures[end-1].End(), Measure: end - 1}}
		if f := hear(s, 0, phrases); f.Type != want {
			t.Errorf("repeated up to bar %d: %q, want %q", end, f.Type, want)
		}
	}
}
