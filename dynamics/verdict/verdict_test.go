package verdict

import (
	"math"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/written"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// marked is a blank score with some marks, and how its page reads.
func marked(t *testing.T, items ...string) (*score.Score, *page.Page) {
	t.Helper()
	s := written.Score(t, items...)
	return s, page.Printed(s, nil)
}

// heard makes an analysis with the given tension in every beat of the blank
// score, each measure a chord of its own, every four measures a phrase.
func heard(s *score.Score, total func(beat int) float64) *harmony.Analysis {
	a := &harmony.Analysis{}
	for m, x := range s.Measures {
		c := chordOf(total(4 * m))
		c.Start, c.End, c.Certainty, c.Confidence, c.KeyConfidence = x.Start, x.End(), tonal.Sure, 0.9, 0.9
		a.Chords = append(a.Chords, c)
		for b := range 4 {
			t := x.Start + score.Tick(b)*s.Division
			a.Moments = append(a.Moments, tension.Moment{Start: t, End: t + s.Division, Chord: m, Tension: tonal.Tension{Total: total(4*m + b)}})
		}
	}
	a.Phrases = []phrasing.Phrase{{Start: 0, End: s.Measures[4].Start, Cadence: -1, Confidence: 0.9}, {Start: s.Measures[4].Start, End: s.Length(), Cadence: -1, Confidence: 0.9}}
	return a
}

// chordOf is a chord of C major of about that tension: a tonic at rest, a
// dominant that waits, or what lies between them.
func chordOf(tension float64) tonal.Chord {
	n := tonal.Numeral{Degree: 4, Quality: tonal.Major}
	switch {
	case tension < 25:
		n.Degree = 1
	case tension >= 55:
		n.Degree = 5
	}
	return tonal.Spell(n, tonal.Key{})
}

// The kinds as the words of the trade have them: common practice, no source.
func TestSpanKinds(t *testing.T) {
	rising := func(b int) float64 { return 5 * float64(b%16) }
	still := func(int) float64 { return 20 }
	for _, c := range []struct {
		name    string
		tension func(int) float64
		items   []string
		want    Kind
	}{
		{"crescendo into tension", rising, []string{"1:1 p", "1:1 <4:4"}, Supports},
		{"diminuendo into tension", rising, []string{"1:1 f", "1:1 >4:4"}, WorksAgainst},
		{"tension without a mark", rising, []string{"1:1 p"}, Unshaped},
		{"crescendo over a still chord", still, []string{"1:1 p", "1:1 <4:4", "4:4 f"}, Independent},
		{"nothing moves", still, []string{"1:1 p"}, Calm},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, p := marked(t, c.items...)
			for _, v := range Judge(s, heard(s, c.tension), p) {
				if v.Aspect != OverSpan || v.Start != 0 {
					continue
				}
				if v.Kind != c.want {
					t.Errorf("reads %q (%+v; %+v), want %q", v.Kind, v.Harmony, v.Page, c.want)
				}
				if v.Size < 0 || v.Size > 1 {
					t.Errorf("size %.2f", v.Size)
				}
				return
			}
			t.Error("no verdict on the first stretch")
		})
	}
}

// A guessed level that stays is sure to stay: what is not printed does not move.
func TestSilentPageIsSure(t *testing.T) {
	rising := func(b int) float64 { return 5 * float64(b%16) }
	for _, items := range [][]string{nil, {"7:1 f"}} {
		s, p := marked(t, items...)
		v := Judge(s, heard(s, rising), p)[0]
		if v.Kind != Unshaped || v.Grounds[0].Source != FromPage || v.Grounds[0].Certainty != tonal.Sure {
			t.Errorf("with %q on the page the first stretch is %s, %v", items, v.Kind, v.Grounds)
		}
	}
}

func TestAccentOnDissonanceAndOnRelease(t *testing.T) {
	s, p := marked(t, "1:1 p", "2:1 sf", "3:1 sf")
	a := heard(s, func(b int) float64 {
		if b >= 4 && b < 8 {
			return 60
		}
		return 10
	})
	got := map[string]Kind{}
	for _, v := range Judge(s, a, p) {
		if v.Aspect == AtAccent {
			got[s.At(v.Start).String()] = v.Kind
		}
	}
	if got["2:1"] != Supports || got["3:1"] != WorksAgainst {
		t.Errorf("accents read %v", got)
	}
}

func TestPeakAgainstPeak(t *testing.T) {
	s, p := marked(t, "1:1 f", "2:1 >3:1", "3:1 p")
	a := heard(s, func(b int) float64 { return 5 * float64(b%16) })
	for _, v := range Judge(s, a, p) {
		if v.Aspect == AtPeak {
			if v.Kind != WorksAgainst {
				t.Errorf("loudest in measure 1, most tense in measure 4: %s", v.Kind)
			}
			return
		}
	}
	t.Error("no verdict on the peak")
}

// Subito, a withheld climax and an echo are named as contrasts.
func TestContrastsAreNamed(t *testing.T) {
	s, p := marked(t, "1:1 mf", "2:1 <4:1", "4:1 p", "6:1 f")
	want := map[string]page.ContrastKind{"4:1": page.Withheld, "6:1": page.Subito}
	for _, c := range p.Contrasts {
		if k := want[s.At(c.At).String()]; k != c.Kind {
			t.Errorf("%s reads %s, want %s", s.At(c.At), c.Kind, k)
		}
		delete(want, s.At(c.At).String())
	}
	for at := range want {
		t.Errorf("nothing is named at %s", at)
	}
	n := 0
	for _, v := range Judge(s, heard(s, func(int) float64 { return 20 }), p) {
		if v.Aspect == AtContrast {
			n++
		}
	}
	if n != 2 {
		t.Errorf("%d verdicts on contrasts, want 2", n)
	}
}

// A sudden change is neither growth nor decline (common practice): it never
// supports and never works against, wherever the harmony turns. The tension
// rises to 2:4 and falls to 3:1, then rises again to 4:4.
func TestTerracesAreNoGrowth(t *testing.T) {
	tension := func(b int) float64 {
		if b = b % 16; b < 8 {
			return 10 * float64(b)
		}
		return 8 * float64(b-8)
	}
	for _, put := range [][]string{
		{"1:1 mf", "3:1 p"}, {"1:1 mf", "3:2 p"}, {"1:1 mf", "2:4 p"}, {"1:1 mf", "3:1 f"}, {"1:1 p", "3:2 f"}, {"1:1 p", "5:1 f"},
		{"1:1 f", "1:3 p", "2:1 f", "2:3 p", "3:1 f", "3:3 p"},
	} {
		s, p := marked(t, put...)
		for _, v := range Judge(s, heard(s, tension), p) {
			if v.Aspect == OverSpan && (v.Kind == Supports || v.Kind == WorksAgainst || v.Level != 0) {
				t.Errorf("%q: %s at %s, %+v", put, v.Kind, s.At(v.Start), v.Page)
			}
		}
	}
}

// What a slope does is counted in one stretch only, and never turned round.
func TestSlopeCountsOnce(t *testing.T) {
	rising := func(b int) float64 { return 5 * float64(b%16) }
	s, p := marked(t, "1:1 f", "1:1 >3:1", "3:1 p")
	falls := 0
	for _, v := range Judge(s, heard(s, rising), p) {
		if v.Aspect == OverSpan && v.Page.Kind == page.Falls {
			falls++
		}
		if v.Aspect == OverSpan && v.Level > 0 {
			t.Errorf("%s at %s: %+v", v.Kind, s.At(v.Start), v.Page)
		}
	}
	if falls != 1 {
		t.Errorf("the fading is told %d times", falls)
	}
}

// A page that swells and comes back is neither silent nor still.
func TestSwellIsNoSilence(t *testing.T) {
	s, p := marked(t, "1:1 p", "1:2 <2:2", "2:2 >3:2")
	for _, c := range []struct {
		tension func(int) float64
		kind    Kind
	}{
		{func(int) float64 { return 20 }, Independent},
		{func(b int) float64 { return max(60-10*math.Abs(float64(b%16)-4), 0) }, Supports}, // fullest where it is most tense
	} {
		v := Judge(s, heard(s, c.tension), p)[0]
		if v.Kind != c.kind || !v.Swells || v.Page.Way != Still || page.Mark(v.Page.From) != "p" || page.Mark(v.Page.Peak) != "mp" || math.Abs(v.Page.Swell-1) > 0.01 {
			t.Errorf("reads %s, %+v", v.Kind, v.Page)
		}
	}
}

// The mark with which the next phrase begins is no part of the taper.
func TestTaperEndsWithItsPhrase(t *testing.T) {
	s, p := marked(t, "1:1 p", "5:1 f")
	a := heard(s, func(b int) float64 {
		if b%16 == 15 {
			return 0
		}
		return 50
	})
	a.Cadences = []phrasing.Cadence{{At: s.Measures[4].Start - s.Division, Kind: phrasing.PerfectAuthentic, Confidence: 0.9}}
	a.Phrases[0].Cadence = 0
	for _, v := range Judge(s, a, p) {
		if v.Aspect == AtTaper {
			t.Errorf("the taper reads %s: %+v", v.Kind, v.Page)
		}
	}
}

// A cadential six-four is no release: its fourth and sixth wait for the
// dominant (common practice). The tension falls onto it in measure 3, where
// the page grows to an accent.
func TestCadentialSixFourWaits(t *testing.T) {
	s, p := marked(t, "1:1 p", "2:1 <3:1", "3:1 ff", "3:1 sf")
	a := heard(s, func(b int) float64 { return [...]float64{40, 85, 60, 62, 20, 20, 20, 20}[b/4] })
	a.Chords[2].Numeral.Cadential = true
	for _, v := range Judge(s, a, p) {
		at := s.At(v.Start).String()
		if v.Kind == WorksAgainst && (v.Aspect == AtAccent || v.Aspect == OverSpan && s.At(v.End-1).Number == "3") {
			t.Errorf("%s at %s: %+v; %+v", v.Aspect, at, v.Harmony, v.Page)
		}
		if v.Aspect == AtAccent && v.Kind != Supports {
			t.Errorf("the accent at %s reads %s", at, v.Kind)
		}
	}
	if v := Over(s, a, p, s.Measures[1].Start, s.Measures[3].Start); !v.Harmony.Waits {
		t.Errorf("over measures 2 and 3 the harmony reads %+v", v.Harmony)
	}
}

// What a reprise takes from its first time is not held against the page, which
// prints nothing there.
func TestRepriseIsNoPrint(t *testing.T) {
	s := written.Letters("abcdefghabcdijkl")
	written.Put(t, s, "1:1 p", "2:1 <4:1", "4:1 f", "5:1 mf")
	p := page.Printed(s, nil)
	for _, c := range []struct {
		from, to string
		kind     page.MoveKind
	}{{"2:1", "4:1", page.Grows}, {"10:1", "11:4", page.Silent}, {"8:1", "9:2", page.Silent}} {
		a, err1 := written.At(c.from)
		b, err2 := written.At(c.to)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if m := p.Over(a.At, b.At); m.Kind != c.kind {
			t.Errorf("%s to %s %s (%+v), want %s", c.from, c.to, m.Kind, m, c.kind)
		}
	}
	if g := p.Whole.Segments[p.Whole.Find(s.Measures[10].Start)]; g.Certainty != tonal.Unsure || !g.Implied {
		t.Errorf("the recalled crescendo is %v", g)
	}
}
