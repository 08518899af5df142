package form

import (
	"testing"

	"hairpin/score"
)

// barOf is the bar of a moment in the scores of write.
func barOf(t score.Tick) int { return int(t) / (4 * division) }

// The second theme is the one that stood on the fifth and comes back at home, the closing
// section what follows its full close, the coda what follows the exposition's end told
// again. Hepokoski and Darcy, Elements of Sonata Theory (2006), chapters 2, 7 and 13, from
// memory.
func TestSonataThemes(t *testing.T) {
	second, closing := movedBy(themeB, 4), movedBy(themeC[:4], 4)
	new := []string{"hhhh", "dddd", "heda", "ddff", "kdkd", "ahah", "gdfd", "ffff"}
	closes := []Close{OpenClose, OpenClose, OpenClose, FullClose, FullClose, OpenClose, OpenClose, OpenClose, OpenClose, OpenClose, FullClose, FullClose, FullClose, FullClose}
	exposition := join(themeA, second, closing)
	for _, x := range []struct {
		name    string
		bars    []string
		closing bool
		coda    int // its bar, -1 if there is none
	}{
		{"with a coda", join(exposition, new, themeA, movedBy(second, 3), movedBy(closing, 3), movedBy(themeA[:4], -2)), true, 48},
		{"without", join(exposition, new, themeA, movedBy(second, 3), movedBy(closing, 3)), true, -1},
		{"without closing section", join(exposition, new, themeA, movedBy(second, 3), movedBy(new[:4], 1)), false, -1},
	} {
		s, phrases := write(x.bars, closes)
		s.Repeats = []score.Repeat{{At: s.Measures[20].Start, Measure: 19}}
		f := hear(s, 0, phrases)
		if f.Type != Sonata || len(f.Themes) == 0 {
			t.Errorf("%s: heard %q, %+v", x.name, f.Type, f.Themes)
			continue
		}
		if th := f.Themes[0]; th.Name != SecondTheme || barOf(th.At) != 8 || barOf(th.Again) != 36 || th.Fifths() != -1 {
			t.Errorf("%s: %s in bar %d and %d, %d fifths", x.name, th.Name, barOf(th.At), barOf(th.Again), th.Fifths())
		}
		if got := len(f.Themes) > 1 && f.Themes[1].Name == Closing && barOf(f.Themes[1].At) == 16 && barOf(f.Themes[1].Again) == 44; got != x.closing {
			t.Errorf("%s: %+v", x.name, f.Themes)
		}
		last, coda := f.Sections[len(f.Sections)-1], -1
		if last.Name == Coda {
			coda = barOf(last.Start)
		}
		if coda != x.coda {
			t.Errorf("%s: coda from bar %d, want %d", x.name, coda, x.coda)
		}
	}
}

// A recapitulation may start on the subdominant, note for note; on another degree it is a
// false one. From memory of Mozart's sonata K. 545.
func TestSubdominantRecapitulation(t *testing.T) {
	new := []string{"hhhh", "dddd", "heda", "ddff", "kdkd", "ahah", "gdfd", "ffff"}
	for steps, want := range map[int]bool{3: true, 1: false} {
		s, phrases := write(join(themeA, themeC[:4], movedBy(themeB, 4), new, movedBy(themeA, steps), themeC[4:], movedBy(themeB, 7)), full(12))
		if f := hear(s, 0, phrases); (f.Type == Sonata) != want {
			t.Errorf("%d steps: %q", steps, f.Type)
		} else if want && !f.Sections[2].Subdominant {
			t.Error("it starts on the subdominant")
		}
	}
}

// Where the recapitulation's phrase starts a bar away from the theme, a repeat sign at the end of the
// exposition is needed, and no theme is told; two bars away is too far. A choice of ours.
func TestRecapitulationBesideItsPhrase(t *testing.T) {
	new := []string{"hhhh", "dddd", "heda", "ddff", "kdkd", "ahah", "gdfd", "ffff"}
	second := movedBy(themeB, 4)
	for _, x := range []struct {
		late   int
		repeat bool
		want   Type
		themes bool
	}{{0, false, Sonata, true}, {0, true, Sonata, true}, {1, true, Sonata, false}, {1, false, "", false}, {2, true, "", false}} {
		s, phrases := write(join(themeA, second, new, themeA, movedBy(second, 3)), full(10))
		for i := range phrases {
			if i > 0 && barOf(phrases[i].Start) == 24 {
				phrases[i].Start += s.Measures[x.late].Start
				phrases[i-1].End = phrases[i].Start
			}
		}
		if x.repeat {
			s.Repeats = []score.Repeat{{At: s.Measures[16].Start, Measure: 15}}
		}
		f := hear(s, 0, phrases)
		if (f.Type == Sonata) != (x.want == Sonata) || (len(f.Themes) > 0) != x.themes {
			t.Errorf("%d bars late, repeat sign %v: %q with %d themes", x.late, x.repeat, f.Type, len(f.Themes))
		}
		if f.Type == Sonata && f.Sections[2].Subdominant {
			t.Error("it starts at home")
		}
	}
}
