package verdict

import (
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/written"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// at is a place of the written scores.
func at(t *testing.T, place string) score.Tick {
	t.Helper()
	p, err := written.At(place)
	if err != nil {
		t.Fatal(err)
	}
	return p.At
}

// accentKinds lists the verdicts on accents by place.
func accentKinds(s *score.Score, list []Verdict) map[string]Kind {
	out := map[string]Kind{}
	for _, v := range list {
		if v.Aspect == AtAccent {
			out[s.At(v.Start).String()] = v.Kind
		}
	}
	return out
}

// Where every half measure has an accent, accents are the metre and no comment
// (common practice, no source). One alone on a release is a comment.
func TestAccentsAsMetre(t *testing.T) {
	falls := func(b int) float64 { return [...]float64{60, 20}[b%2] }
	s, p := marked(t, "1:1 p", "2:2 sf", "2:4 sf", "3:2 sf", "3:4 sf", "4:2 sf", "4:4 sf")
	if got := accentKinds(s, Judge(s, heard(s, falls), p)); len(got) > 0 {
		t.Errorf("accents on every half measure read %v", got)
	}
	// the same beat of four measures, as in a mazurka, or four beats on end; three are no row yet
	for _, c := range []struct {
		put  string
		want int
	}{
		{"1:4 sf; 2:4 sf; 3:4 sf; 4:4 sf", 0}, {"2:1 sf; 2:2 sf; 2:3 sf; 2:4 sf", 0}, {"1:4 sf; 2:4 sf; 3:4 sf", 3},
	} {
		s, p = marked(t, append([]string{"1:1 p"}, strings.Split(c.put, "; ")...)...)
		if got := accentKinds(s, Judge(s, heard(s, falls), p)); len(got) != c.want {
			t.Errorf("%s read %v, want %d", c.put, got, c.want)
		}
	}
	s, p = marked(t, "1:1 p", "3:2 sf")
	if got := accentKinds(s, Judge(s, heard(s, falls), p)); len(got) != 1 {
		t.Errorf("a single accent reads %v", got)
	}
}

// An accent on an appoggiatura stands on the tension, though its chord is the
// release (common practice): D over C major goes on to C.
func TestAccentOnAppoggiatura(t *testing.T) {
	s, p := marked(t, "1:1 p", "3:1 sf")
	a := heard(s, func(b int) float64 { return [...]float64{20, 80, 10, 10, 10, 10, 10, 10}[b/4] })
	a.Chords[2].Tones = []score.Class{0, 4, 1}
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Onset >= at(t, "3:1") {
			n.Pitch = score.Pitch{Step: 0, Octave: 5}
			if n.Onset == at(t, "3:1") {
				n.Pitch.Step = 1
			}
		}
	}
	if got := accentKinds(s, Judge(s, a, p)); got["3:1"] != Supports {
		t.Errorf("the accent on the appoggiatura reads %v", got)
	}
	for i := range s.Notes {
		s.Notes[i].Pitch = score.Pitch{Step: 0, Octave: 5}
	}
	if got := accentKinds(s, Judge(s, a, p)); got["3:1"] != WorksAgainst {
		t.Errorf("the accent on the chord of release reads %v", got)
	}
}

// The second-best reading of an end makes a verdict less sure only where the
// chord would do something else: G7 for G does the same in C, C does not.
func TestCertaintyUnderTheSecondReading(t *testing.T) {
	v := numeral(t, "V")
	for _, c := range []struct {
		rival      string
		confidence float64
		want       tonal.Certainty
	}{
		{"", 0.95, tonal.Sure}, {"C", 0.95, tonal.Sure},
		{"G7", 0.7, tonal.Likely}, {"C", 0.7, tonal.Unsure}, {"Bdim", 0.7, tonal.Likely}, {"C", 0.3, tonal.Unsure},
	} {
		v.Rival, v.Confidence, v.KeyConfidence = c.rival, c.confidence, 0.9
		if got := doubtOf(&v); got != c.want {
			t.Errorf("G, or %q, at %.2f is %s, want %s", c.rival, c.confidence, got, c.want)
		}
	}
}

// numeral is a chord of C major.
func numeral(t *testing.T, text string) tonal.Chord {
	t.Helper()
	n, ok := tonal.ParseNumeral(text, tonal.Key{})
	if !ok {
		t.Fatal(text)
	}
	return tonal.Spell(n, tonal.Key{})
}

// What chords do in their key: any harmony textbook.
func TestFunctions(t *testing.T) {
	for text, want := range map[string]function{
		"I": tonic, "I6": tonic, "I64": other, "ii": other, "IV": other, "vi": other, "iii": other,
		"V": dominant, "V65": dominant, "viio": dominant, "V7/V": dominant, "Ger6": dominant, "V7/IV": other,
	} {
		n, ok := tonal.ParseNumeral(text, tonal.Key{})
		if !ok {
			t.Errorf("%s is not understood", text)
			continue
		}
		c := tonal.Spell(n, tonal.Key{})
		if got := functionOf(&c); got != want {
			t.Errorf("%s is %d, want %d", text, got, want)
		}
	}
}

// A weak ground makes the whole weak, and says so.
func TestWeakestGround(t *testing.T) {
	v := Verdict{Grounds: []Ground{{Source: FromPage, Confidence: 0.9}, {Source: FromChords, Confidence: 0.7, Reason: OtherChord}}}
	if least := leastOf(v.Grounds); least > 0.71 || least < 0.69 || v.Doubt().Source != FromChords || v.Doubt().Reason != OtherChord {
		t.Errorf("%v, %+v", least, v.Doubt())
	}
}

// The same bars have the same verdict unless the page differs: measures 1 to 3
// come again as 5 to 7.
func TestSameBarsSameVerdict(t *testing.T) {
	s := written.Letters("abcdabce")
	a := heard(s, func(b int) float64 { return [...]float64{5, 40, 80, 20, 5, 6, 7, 20}[b/4] })
	p := page.Printed(s, nil)
	j := newJudge(s, a, p)
	first := j.alike(stretch{0, at(t, "4:1"), at(t, "4:1")})
	again := j.alike(stretch{at(t, "5:1"), at(t, "8:1"), at(t, "8:1")})
	if first.Kind != Unshaped || again.Kind != first.Kind || again.Start != at(t, "5:1") || again.End != at(t, "8:1") {
		t.Errorf("first %s, again %s at %s", first.Kind, again.Kind, s.At(again.Start))
	}
	// another mark that stays is no other movement: it is told, and the verdict agrees
	written.Put(t, s, "1:1 p", "5:1 f")
	j = newJudge(s, a, page.Printed(s, nil))
	if v := j.alike(stretch{at(t, "5:1"), at(t, "8:1"), at(t, "8:1")}); v.Kind != j.alike(stretch{0, at(t, "4:1"), at(t, "4:1")}).Kind || v.Page.FromMark != "f" {
		t.Errorf("under f the return reads %s, %+v", v.Kind, v.Page)
	}
	s.Dynamics = nil
	written.Put(t, s, "1:1 p", "5:1 <8:1")
	j = newJudge(s, a, page.Printed(s, nil))
	if v := j.alike(stretch{at(t, "5:1"), at(t, "8:1"), at(t, "8:1")}); v.Page.Kind != page.Grows {
		t.Errorf("with a crescendo the return reads %s, %s", v.Page.Kind, v.Kind)
	}
}

// Calm says what is held: ff over a tension that stays high.
func TestCalmHolds(t *testing.T) {
	s, p := marked(t, "1:1 ff")
	v := Judge(s, heard(s, func(int) float64 { return 85 }), p)[0]
	if v.Kind != Calm || v.Page.FromMark != "ff" || v.Harmony.To < 84 {
		t.Errorf("%s, %+v, tension %.0f", v.Kind, v.Page, v.Harmony.To)
	}
}

// A dominant that is sustained waits and counts as building; to fade over it
// into its tonic, within two measures, goes with the release (common practice).
// A slope over IV leads into the dominant with which it ends.
func TestSlopesAndDominants(t *testing.T) {
	for _, c := range []struct {
		name, chords, put, from, to string
		kind                        Kind
	}{
		{"crescendo over a waiting dominant", "V V V V I", "1:1 <5:1", "1:1", "5:1", Supports},
		{"fading over a long wait", "V V V V I", "1:1 >5:1", "1:1", "5:1", WorksAgainst},
		{"fading into the resolution", "I I V V I", "3:1 >5:1", "3:1", "5:1", Supports},
		{"fading into a dominant", "I IV V V I", "2:1 >3:1", "2:1", "3:1", WorksAgainst},
		{"crescendo over a tonic", "I I V V I", "1:1 <3:1", "1:1", "3:1", Independent},
	} {
		s, p := marked(t, "1:1 mf", c.put)
		level := map[string]float64{"I": 5, "IV": 30, "V": 60}
		names := strings.Fields(c.chords)
		a := heard(s, func(b int) float64 { return level[names[min(b/4, 4)]] })
		for m, name := range names {
			n := numeral(t, name)
			n.Start, n.End, n.Confidence, n.KeyConfidence = a.Chords[m].Start, a.Chords[m].End, 0.9, 0.9
			a.Chords[m] = n
		}
		if v := Over(s, a, p, at(t, c.from), at(t, c.to)); v.Kind != c.kind {
			t.Errorf("%s: %s, %+v", c.name, v.Kind, v.Harmony)
		}
	}
}

// To fade over a dominant into its goal goes with the release (common practice, no
// source): within a measure whatever comes before it, also where the goal comes
// a beat after the hairpin, and into the goal of an applied dominant. A dominant is no goal.
func TestFadingGoesHome(t *testing.T) {
	for _, c := range []struct {
		first, last, next, to string
		kind                  Kind
	}{
		{"IV", "V7", "I", "3:1", Supports},
		{"V7", "V7", "I", "2:4", Supports},
		{"IV", "V7/vi", "vi", "3:1", Supports},
		{"IV", "V7/V", "V", "3:1", WorksAgainst},
		{"IV", "V7", "V7/V", "3:1", WorksAgainst},
	} {
		s, p := marked(t, "1:1 mf", "2:1 >"+c.to)
		level := map[string]float64{"I": 5, "vi": 15, "IV": 30, "V": 60, "V7": 65, "V7/vi": 70, "V7/V": 70}
		a := heard(s, func(b int) float64 {
			switch {
			case b < 4:
				return 5
			case b < 6:
				return level[c.first]
			case b < 8:
				return level[c.last]
			}
			return level[c.next]
		})
		half := a.Chords[1].Start + 2*s.Division
		first, last, next := numeral(t, c.first), numeral(t, c.last), numeral(t, c.next)
		first.Start, first.End, last.Start, last.End = a.Chords[1].Start, half, half, a.Chords[1].End
		next.Start, next.End = a.Chords[2].Start, a.Chords[2].End
		for _, n := range []*tonal.Chord{&first, &last, &next} {
			n.Confidence, n.KeyConfidence = 0.9, 0.9
		}
		a.Chords = []tonal.Chord{a.Chords[0], first, last, next}
		if v := Over(s, a, p, at(t, "2:1"), at(t, c.to)); v.Kind != c.kind {
			t.Errorf("%s %s | %s: %s, %+v", c.first, c.last, c.next, v.Kind, v.Harmony.Chances)
		}
	}
}
