package form

import "testing"

// only is the one return that starts at a bar.
func only(t *testing.T, list []Return, bar int) Return {
	t.Helper()
	for _, r := range list {
		if r.Bar == bar {
			return r
		}
	}
	t.Fatalf("no return at bar %d: %+v", bar, list)
	return Return{}
}

// Three bars of the opening are known again after other music, though the music then
// goes another way: a recapitulation need not repeat the theme to its end. Common
// practice, no source.
func TestOpeningComesBack(t *testing.T) {
	bars := join(themeA, themeB, themeA[:3], themeC[:5])
	s, phrases := write(bars, nil)
	f := hear(s, 0, phrases)
	r := only(t, f.Returns, 16)
	if r.FirstBar != 0 || r.Count != 3 || !r.Opening || r.Between() != 13 {
		t.Errorf("heard %+v", r)
	}
	if f.Outline != "A–B–A'" {
		t.Errorf("heard %q: %+v", f.Outline, f.Sections)
	}
	if last := f.Sections[2]; last.Certainty < r.Certainty-1e-9 {
		t.Errorf("the section is less sure, %v, than that its theme comes back, %v", last.Certainty, r.Certainty)
	}
	if x := f.Ideas[4]; x.Letter != "a" || !x.Prime {
		t.Errorf("the phrase at bar 17 is %s", prime(x.Letter, x.Prime))
	}
	for _, c := range []struct {
		name string
		bars []string
		want bool
	}{
		{"later music", join(themeA, themeB, themeA[1:4], themeC[:5]), false},
		{"at once", join(themeA[:3], themeA[:3], themeC, themeB[:2]), false},
		{"a false start on another degree", join(themeA, themeB, movedBy(themeA[:3], 3), themeC[:5]), true},
	} {
		s, _ := write(c.bars, nil)
		list := Read(s, 0).Returns
		if got := len(list) > 0; got != c.want || got && list[0].Opening {
			t.Errorf("%s: %+v", c.name, list)
		}
	}
}

// A section that comes back may start with the theme of the first, after its
// introduction: from there on it is told.
func TestThemeAfterIntroduction(t *testing.T) {
	intro := []string{"aaaa", "abab", "aaaa", "bbbb"}
	s, phrases := write(join(intro, themeA, themeB, themeA), nil)
	f := hear(s, 0, phrases)
	last := f.Sections[len(f.Sections)-1]
	if last.Start != f.Bars[20].Start || last.Letter != "A" || last.From != f.Bars[4].Start {
		t.Errorf("heard %+v in %s", last, f.Outline)
	}
	s, _ = write(join(intro, themeA[:4], themeA[:4], themeB, themeA[:4]), nil)
	list := Read(s, 0).Returns
	if r := only(t, list, 20); !r.Opening || r.FirstBar != 4 {
		t.Errorf("the third time: %+v", r)
	}
}

// The theme an octave higher is the theme in its key.
func TestOpeningInAnotherOctave(t *testing.T) {
	s, _ := write(join(themeA, themeB, movedBy(themeA, 7)), nil)
	if r := only(t, Read(s, 0).Returns, 16); !r.Opening || r.Steps != 7 {
		t.Errorf("heard %+v", r)
	}
	s, _ = write(join(themeA, themeB, movedBy(themeA, 4)), nil)
	if r := only(t, Read(s, 0).Returns, 16); r.Opening {
		t.Errorf("a fifth higher: %+v", r)
	}
}

// What comes back has been left: the new music before it is a section, with nothing but
// the return to mark it. Where all of it comes back with the opening there is none.
func TestContrast(t *testing.T) {
	s, phrases := write(join(themeA, themeB, themeA), nil)
	f := hear(s, 0, phrases)
	if len(f.Sections) != 3 || f.Sections[1].Start != f.Bars[8].Start || f.Sections[1].Why == "" || f.Sections[1].Certainty <= 0 {
		t.Errorf("heard %s: %+v", f.Outline, f.Sections)
	}
	marks := make([]mark, len(phrases))
	if got := contrast(0, 4, 24, marks, &f); got != 2 {
		t.Errorf("left with phrase %d, want 2", got)
	}
	all := f
	all.Returns = []Return{{FirstBar: 0, Bar: 16, Count: 8, Opening: true}, {FirstBar: 8, Bar: 24, Count: 8}}
	if got := contrast(0, 4, 32, marks, &all); got != 0 {
		t.Errorf("all comes back, yet it is left with phrase %d", got)
	}
}

// Of two places too near each other for two sections the better marked one starts one.
func TestStrongestSectionStarts(t *testing.T) {
	s, phrases := write(join(themeA, themeB, themeC), nil)
	f := hear(s, 0, phrases)
	p := newPage(s, 0)
	marks := make([]mark, len(phrases))
	marks[2].points, marks[3].points = newSection, newSection+1
	if got := p.starts(marks, &f); len(got) != 2 || got[1] != 3 {
		t.Errorf("sections start with phrases %v, want 0 and 3", got)
	}
}

// A phrase that begins as an earlier one is of its letter, though it is half as long.
func TestBeginsAlike(t *testing.T) {
	s, phrases := write(join(themeA, themeB, themeA[:4], themeC[:4]), nil)
	long := []Phrase{{Span: Span{0, phrases[1].End}}, {Span: Span{phrases[2].Start, phrases[3].End}}, phrases[4], phrases[5]}
	x := hear(s, 0, long).Ideas
	if x[2].Letter != "a" || !x[2].Prime || x[3].Letter != "c" {
		t.Errorf("heard %s and %s", prime(x[2].Letter, x[2].Prime), x[3].Letter)
	}
}

// Music in the old key, a little changed, is heard as that, though the same was heard
// exactly in another key since.
func TestOldKeyIsNearer(t *testing.T) {
	changed := join(themeA[:1], []string{"gfec"}, themeA[2:4])
	s, _ := write(join(themeA[:4], themeB, movedBy(changed, 3), themeC, changed), nil)
	if r := only(t, Read(s, 0).Returns, 24); r.FirstBar != 0 || r.Steps != 0 {
		t.Errorf("heard %+v", r)
	}
}
