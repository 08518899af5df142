package form

import (
	"testing"

	"hairpin/score"
)

// full are closes for so many phrases of four bars: open and full in turn.
func full(n int) []Close {
	out := make([]Close, n)
	for i := range out {
		out[i] = OpenClose + Close(i%2)*(FullClose-OpenClose)
	}
	return out
}

// A theme and a second one a fifth higher; other music; the theme again and after it the
// second one at home: sonata form. Hepokoski and Darcy, Elements of Sonata Theory (2006),
// chapter 2, from memory. If the theme came back before already it is a rondo's, and what
// comes back in the other key makes none.
func TestSonata(t *testing.T) {
	second := movedBy(themeB, 4)
	for _, x := range []struct {
		name string
		bars []string
		want Type
	}{
		{"sonata", join(themeA, second, themeC, themeA, movedBy(second, 3)), Sonata},
		{"second theme not at home", join(themeA, second, themeC, themeA, second), ""},
		{"theme told before", join(themeA, second, themeA, themeC, themeA, movedBy(second, 3)), ""},
	} {
		s, phrases := write(x.bars, full(len(x.bars)/4))
		f := hear(s, 0, phrases)
		if (f.Type == Sonata) != (x.want == Sonata) {
			t.Errorf("%s: heard %q: %+v", x.name, f.Type, f.Sections)
		}
		if x.want != Sonata {
			continue
		}
		want := []struct {
			name Name
			bar  int
		}{{Exposition, 0}, {Development, 16}, {Recapitulation, 24}}
		if len(f.Sections) != len(want) {
			t.Fatalf("%s: %+v", x.name, f.Sections)
		}
		for i, w := range want {
			if f.Sections[i].Name != w.name || f.Ideas[f.Sections[i].First].Bar != w.bar {
				t.Errorf("section %d: %s from bar %d, want %s from %d", i, f.Sections[i].Name, f.Ideas[f.Sections[i].First].Bar, w.name, w.bar)
			}
		}
	}
}

// A rondo has its theme three times and two contrasts; a dance has repeats, a trio with a
// signature of its own, and the dance again; new music after the last return is a coda.
// Common practice, no source.
func TestTypes(t *testing.T) {
	for _, x := range []struct {
		name string
		bars []string
		trio bool
		want Type
		last Name
	}{
		{"ternary", join(themeA, themeB, themeA), false, Ternary, ""},
		{"rondo", join(themeA, themeB, themeA, themeC, themeA), false, Rondo, ""},
		{"trio", join(themeA, themeB, themeA), true, WithTrio, ""},
		{"coda", join(themeA, themeA, themeB, themeB, themeA, themeA, themeC[:4]), false, Ternary, Coda},
		{"one theme", join(themeA, themeA), false, "", ""},
	} {
		s, phrases := write(x.bars, full(len(x.bars)/4))
		if x.trio {
			for i := range s.Measures { // alla breve
				s.Measures[i].Beats, s.Measures[i].BeatUnit = 2, 2
			}
			s.Repeats = []score.Repeat{{At: s.Measures[4].Start, Measure: 3}, {At: s.Measures[8].Start, Measure: 7}}
			s.Keys = []score.KeyMark{{}, {Place: score.Place{At: s.Measures[8].Start}, Fifths: -1}, {Place: score.Place{At: s.Measures[16].Start}}}
		}
		f := hear(s, 0, phrases)
		if f.Type != x.want {
			t.Errorf("%s: heard %q: %+v", x.name, f.Type, f.Sections)
		}
		if got := f.Sections[len(f.Sections)-1].Name; got != x.last {
			t.Errorf("%s: the last section is %q, want %q", x.name, got, x.last)
		}
		if x.trio && f.Sections[1].Name != Trio {
			t.Errorf("%s: the second section is %q", x.name, f.Sections[1].Name)
		}
	}
}

// Several lines of text under the same notes make a strophic song; what is played before
// the voice enters is the prelude, after it ends the postlude. Common practice, no source.
func TestSong(t *testing.T) {
	for verses := 1; verses <= 2; verses++ {
		s, phrases := write(join(themeA[:4], themeB, themeA[4:]), full(4))
		s.Parts = append(s.Parts, score.Part{ID: "P2"})
		for i := 4; i < 12; i++ {
			for k := range 4 {
				at := s.Measures[i].Start + score.Tick(division*k)
				n := note(i, at, division, 33+k)
				n.Part = 1
				s.Notes = append(s.Notes, n)
				s.Syllables = append(s.Syllables, score.Syllable{Place: score.Place{At: at, Part: 1, Staff: 1}, Voice: 1, Text: "la", Ends: true, Verses: verses})
			}
		}
		if f := hear(s, 0, phrases); f.Type == Strophic {
			t.Errorf("%d lines of text without a repeat: strophic", verses)
		}
		s.Repeats = []score.Repeat{{At: s.Measures[12].Start, Measure: 11}}
		f := hear(s, 0, phrases)
		if (f.Type == Strophic) != (verses > 1) || verses > 1 && f.Verses != verses {
			t.Errorf("%d verses: %q, %d verses", verses, f.Type, f.Verses)
		}
		n := len(f.Sections) - 1
		if f.Sections[0].Name != Prelude || f.Sections[n].Name != Postlude || f.Ideas[f.Sections[n].First].Bar != 12 {
			t.Errorf("%d verses: %+v", verses, f.Sections)
		}
	}
}

// A new signature that lasts starts a section, one for two bars does not; a return that is
// told twice starts with its first bar. Common practice, no source.
func TestSectionsStartAtSigns(t *testing.T) {
	s, _ := write(join(themeA, themeB, themeC), nil)
	at := func(bar int) score.KeyMark {
		return score.KeyMark{Place: score.Place{At: s.Measures[bar].Start}, Fifths: bar}
	}
	s.Keys = []score.KeyMark{{}, at(12)}
	if got := Signs(s); len(got) != 1 || got[0] != s.Measures[12].Start {
		t.Errorf("signs %v", got)
	}
	if s.Keys = []score.KeyMark{{}, at(12), at(14)}; len(Signs(s)) != 0 {
		t.Errorf("two bars: signs %v", Signs(s))
	}
	s, phrases := write(join(themeA, themeB, themeC, themeA[:4], themeA, themeC), full(11))
	s.DoubleBar = []score.Tick{s.Measures[28].Start}
	f := hear(s, 0, phrases)
	for _, x := range f.Sections {
		if bar := f.Ideas[x.First].Bar; bar == 28 {
			t.Errorf("a section starts with the second of two returns: %+v", f.Sections)
		}
	}
}
