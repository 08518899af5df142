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

// course is an analysis of the blank score with these tensions beat by beat, the last held on.
func course(s *score.Score, tensions ...float64) *harmony.Analysis {
	return heard(s, func(b int) float64 { return tensions[min(b, len(tensions)-1)] })
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// An accent supports a dissonance that lets go by ten within a measure, if nothing more
// tense came before; it works against a release of ten after which half as much is not let go.
// Our own bounds; the accent stands on the fifth beat.
func TestAccentBounds(t *testing.T) {
	for _, c := range []struct {
		name     string
		tensions []float64
		want     Kind
	}{
		{"ten are let go", []float64{30, 30, 30, 30, 30, 20}, Supports},
		{"nine are", []float64{30, 30, 30, 30, 30, 21}, ""},
		{"at the end of a measure", []float64{30, 30, 30, 30, 30, 30, 30, 30, 20}, Supports},
		{"later than a measure", []float64{30, 30, 30, 30, 30, 30, 30, 30, 30, 20}, ""},
		{"as tense before", []float64{0, 0, 0, 30, 30, 20}, Supports},
		{"more tense before", []float64{0, 0, 0, 31, 30, 20}, ""},
		{"a release by ten, and it stays", []float64{40, 40, 40, 40, 30}, WorksAgainst},
		{"by nine", []float64{39, 39, 39, 39, 30}, ""},
		{"by ten, and five more go", []float64{40, 40, 40, 40, 30, 25}, WorksAgainst},
		{"by ten, and six more go", []float64{40, 40, 40, 40, 30, 24}, ""},
		{"nothing moves", []float64{30}, ""},
	} {
		s, p := marked(t, "1:1 p", "2:1 sf")
		for i := range s.Notes { // one tone: nothing leans
			s.Notes[i].Pitch = score.Pitch{Octave: 5}
		}
		a := course(s, c.tensions...)
		for i := range a.Chords {
			a.Chords[i].Tones = nil
		}
		if got := accentKinds(s, Judge(s, a, p))["2:1"]; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// Of accents at one moment the strongest counts, of two alike the first.
func TestStrongestAccentOfAMoment(t *testing.T) {
	a := func(at score.Tick, size float64, sign string) page.Accent {
		return page.Accent{At: at, Size: size, Sign: sign}
	}
	j := &judge{p: &page.Page{Accents: []page.Accent{a(0, 1, "sf"), a(0, 2, "sff"), a(0, 2, "sffz"), a(0, 0.5, ">"), a(12, 1, "fz")}}}
	got := j.mergedAccents()
	if len(got) != 2 || got[0].Sign != "sff" || got[1].Sign != "fz" {
		t.Errorf("%+v", got)
	}
}

// Four accents at equal steps are a metre, wherever among them one looks; three are not, nor
// are four with a gap, nor steps of nothing.
func TestRowsOfAccents(t *testing.T) {
	at := func(times ...score.Tick) (out []page.Accent) {
		for _, x := range times {
			out = append(out, page.Accent{At: x})
		}
		return out
	}
	for _, c := range []struct {
		name string
		all  []page.Accent
		t    score.Tick
		want bool
	}{
		{"the first of four", at(0, 12, 24, 36), 0, true}, {"the last", at(0, 12, 24, 36), 36, true}, {"inside", at(0, 12, 24, 36), 12, true},
		{"of three", at(0, 12, 24), 12, false}, {"with a gap", at(0, 12, 36, 48), 12, false}, {"others between", at(0, 6, 12, 24, 30, 36), 0, true},
	} {
		if got := inRow(c.all, c.t, 12); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	if inRow(at(0, 0, 0, 0), 0, 0) {
		t.Error("steps of nothing are a row")
	}
	s, _ := marked(t)
	j := &judge{s: s}
	for _, c := range []struct {
		name string
		all  []page.Accent
		t    score.Tick
		want bool
	}{
		{"four half measures, each elsewhere", at(0, 36, 54, 84), 0, true}, {"the last of them", at(0, 36, 54, 84), 84, true},
		{"three half measures", at(0, 36, 54, 100), 0, false}, {"at the end of a half it is the next", at(0, 24, 48, 71, 72), 71, true},
		{"the last four of the piece", at(384-96, 384-72, 384-48, 384-24), 384 - 24, true},
	} {
		if got := j.everyHalf(c.all, c.t, 24); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	if j.everyHalf(at(0, 1, 2, 3), 0, 0) {
		t.Error("halves of nothing are a row")
	}
}

// An accented tone leans if it is foreign to its chord and goes on at once, in its voice, by
// a step of one or two semitones to a chord tone while the chord lasts. Common practice, no source.
func TestLeansByStep(t *testing.T) {
	for _, c := range []struct {
		name   string
		first  score.Pitch
		change func(*score.Score)
		want   bool
	}{
		{"a whole step down", score.Pitch{Step: 1, Octave: 5}, nil, true},
		{"a half step up", score.Pitch{Step: 6, Octave: 4}, nil, true},
		{"a minor third", score.Pitch{Step: 5, Octave: 4}, nil, false},
		{"a chord tone", score.Pitch{Step: 2, Octave: 5}, nil, false},
		{"to a foreign tone", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[1].Pitch = score.Pitch{Step: 0, Alter: 1, Octave: 5} }, false},
		{"to itself", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[1].Pitch = score.Pitch{Step: 1, Octave: 5} }, false},
		{"another voice", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[1].Voice = 2 }, false},
		{"another part goes on", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[1].Part = 1 }, false},
		{"after a rest", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[1].Onset += 2 }, false},
		{"when the chord is over", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[0].Duration, s.Notes[1].Onset = 48, 48 }, false},
		{"to a grace note", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[1].Grace = true }, false},
		{"in another part", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[0].Part, s.Notes[1].Part = 1, 1 }, false},
		{"a grace note", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[0].Grace = true }, false},
		{"no pitch", score.Pitch{Step: 1, Octave: 5}, func(s *score.Score) { s.Notes[0].Unpitched = true }, false},
	} {
		s, p := marked(t)
		s.Notes = []score.Note{{Onset: 0, Duration: 12, Voice: 1, Pitch: c.first}, {Onset: 12, Duration: 12, Voice: 1, Pitch: score.Pitch{Octave: 5}}}
		if c.change != nil {
			c.change(s)
		}
		if got := newJudge(s, course(s, 20), p).leans(page.Accent{}); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// The loudest place of a phrase is held against its most tense one where tension rises by
// twelve and the level by a step of a mark; they meet within a beat, or where the level is
// less than a mark under the loudest. Our own bounds.
func TestPeakBounds(t *testing.T) {
	for _, c := range []struct {
		name     string
		tensions []float64
		put      []string
		want     Kind
	}{
		{"they meet", []float64{10, 10, 10, 10, 10, 10, 10, 10, 22, 10}, []string{"1:1 p", "1:1 <3:1", "3:1 f", "3:1 >5:1", "5:1 p"}, Supports},
		{"tension moves less", []float64{10, 10, 10, 10, 10, 10, 10, 10, 21, 10}, []string{"1:1 p", "1:1 <3:1", "3:1 f", "3:1 >5:1", "5:1 p"}, ""},
		{"two beats apart", []float64{10, 10, 10, 10, 10, 10, 60, 10}, []string{"1:1 p", "2:1 <3:1", "3:1 f", "3:1 >4:1", "4:1 p"}, WorksAgainst},
		{"a beat apart", []float64{10, 10, 10, 10, 10, 10, 10, 60, 10}, []string{"1:1 p", "2:1 <3:1", "3:1 f", "3:1 >4:1", "4:1 p"}, Supports},
		{"as loud there: no mark less", []float64{10, 10, 60, 10}, []string{"1:1 mf", "1:1 <4:1", "4:1 f", "4:1 >5:1", "5:1 mf"}, Supports},
		{"the page is still", []float64{10, 10, 60, 10}, []string{"1:1 mf"}, ""},
	} {
		s, p := marked(t, c.put...)
		var got Kind
		for _, v := range Judge(s, course(s, c.tensions...), p) {
			if v.Aspect == AtPeak && v.Start == 0 {
				got = v.Kind
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// The end of a phrase tapers with a release of twelve into its cadence: the page that falls
// there supports it, one that grows works against it, one that is still says nothing; half,
// deceptive and evaded cadences let nothing go.
func TestTaperBounds(t *testing.T) {
	const falls, grows = "4:1 >5:1", "4:1 <5:1"
	for _, c := range []struct {
		name string
		drop float64
		put  string
		kind phrasing.CadenceKind
		want Kind
	}{
		{"with it", 12, falls, phrasing.PerfectAuthentic, Supports}, {"against it", 12, grows, phrasing.PerfectAuthentic, WorksAgainst},
		{"hardly a release", 11, falls, phrasing.PerfectAuthentic, ""}, {"nothing printed", 12, "1:1 mf", phrasing.PerfectAuthentic, ""},
		{"plagal", 12, falls, phrasing.Plagal, Supports}, {"half", 12, falls, phrasing.Half, ""}, {"Phrygian", 12, falls, phrasing.Phrygian, ""},
		{"deceptive", 12, falls, phrasing.Deceptive, ""}, {"evaded", 12, falls, phrasing.Evaded, ""}, {"imperfect", 12, falls, phrasing.ImperfectAuthentic, Supports},
	} {
		s, p := marked(t, "1:1 mf", c.put)
		a := heard(s, func(b int) float64 {
			if b < 12 {
				return 50
			}
			return 50 - c.drop
		})
		a.Cadences = []phrasing.Cadence{{At: s.Measures[3].Start, Kind: c.kind, Confidence: 0.9}}
		a.Phrases[0].Cadence = 0
		var got Kind
		for _, v := range Judge(s, a, p) {
			if v.Aspect == AtTaper {
				got = v.Kind
				if !near(v.Tension, -c.drop) || v.Cadence == nil {
					t.Errorf("%s: %+v", c.name, v)
				}
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A sudden change goes with the tension's of twelve or against it; louder where a phrase
// begins is a new beginning, and so is all over a harmony that is still.
func TestContrastBounds(t *testing.T) {
	for _, c := range []struct {
		name          string
		from, to      float64 // tension before and on beat 3:1
		before, after string
		phrase        string // where the second phrase starts
		want          Kind
	}{
		{"louder and tenser", 20, 32, "p", "f", "5:1", Supports}, {"hardly tenser", 20, 31, "p", "f", "5:1", Independent},
		{"softer and calmer", 32, 20, "f", "p", "5:1", Supports}, {"softer and tenser", 20, 32, "f", "p", "5:1", WorksAgainst},
		{"louder and calmer", 32, 20, "p", "f", "5:1", WorksAgainst}, {"louder, a new phrase", 20, 32, "p", "f", "3:1", Independent},
		{"louder, a beat before a new phrase", 20, 32, "p", "f", "3:2", Independent}, {"two beats before", 20, 32, "p", "f", "3:3", Supports},
		{"softer, a new phrase", 32, 20, "f", "p", "3:1", Supports},
	} {
		s, p := marked(t, "1:1 "+c.before, "3:1 "+c.after)
		a := heard(s, func(b int) float64 {
			if b < 8 {
				return c.from
			}
			return c.to
		})
		a.Phrases[0].End, a.Phrases[1].Start = at(t, c.phrase), at(t, c.phrase)
		p.Contrasts = []page.Contrast{{At: at(t, "3:1"), From: p.Whole.Before(at(t, "3:1")), To: p.Whole.At(at(t, "3:1"))}}
		var got Kind
		for _, v := range Judge(s, a, p) {
			if v.Aspect == AtContrast {
				got = v.Kind
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A moment sounds from its start to its end; a gap between two has none.
func TestMomentAt(t *testing.T) {
	s, p := marked(t)
	a := course(s, 20)
	a.Moments = a.Moments[:3]
	a.Moments[2].Start += 6
	j := newJudge(s, a, p)
	for at, want := range map[score.Tick]int{0: 0, 11: 0, 12: 1, 23: 1, 24: -1, 29: -1, 30: 2, 35: 2, 36: -1, 99: -1} {
		if got := j.momentAt(at); got != want {
			t.Errorf("at %d: %d, want %d", at, got, want)
		}
	}
}

// How large a verdict is: each movement counts for half, tension full from fifty on, level
// from three steps on, either way.
func TestSize(t *testing.T) {
	for _, c := range []struct{ tension, level, want float64 }{
		{0, 0, 0}, {50, 3, 1}, {-50, -3, 1}, {50, 0, 0.5}, {0, 3, 0.5}, {25, 1.5, 0.5}, {99, 9, 1}, {25, 0, 0.25}, {0, 1.5, 0.25},
	} {
		if got := size(c.tension, c.level); !near(got, c.want) {
			t.Errorf("tension %v, level %v: %v, want %v", c.tension, c.level, got, c.want)
		}
	}
	for _, c := range []struct {
		change float64
		want   Way
	}{{12, Up}, {11.9, Still}, {0, Still}, {-11.9, Still}, {-12, Down}} {
		if got := moves(c.change, 12); got != c.want {
			t.Errorf("%v moves %v", c.change, got)
		}
	}
}

// A chord's certainty of function is that of its chord and its key together.
func TestDoubtBounds(t *testing.T) {
	for _, c := range []struct {
		chord, key float64
		rival      string
		want       tonal.Certainty
	}{
		{0.85, 0.8, "C", tonal.Sure}, {0.84, 0.8, "C", tonal.Likely}, {0.85, 0.79, "C", tonal.Likely}, {0.75, 0, "C", tonal.Likely}, {0.74, 0.9, "C", tonal.Unsure},
		{0.6, 0, "G7", tonal.Likely}, {0.59, 0.9, "G7", tonal.Unsure},
	} {
		v := numeral(t, "V")
		v.Confidence, v.KeyConfidence, v.Rival = c.chord, c.key, c.rival
		if got := doubtOf(&v); got != c.want {
			t.Errorf("chord %.2f, key %.2f, or %s: %s, want %s", c.chord, c.key, c.rival, got, c.want)
		}
	}
	a, b := numeral(t, "V"), numeral(t, "I")
	a.Confidence, a.KeyConfidence, b.Confidence, b.KeyConfidence = 0.9, 0.9, 0.9, 0.9
	if doubted(&a, &b) != nil || doubted(nil, nil) != nil {
		t.Error("two sure chords are doubted")
	}
	if b.Confidence = 0.8; doubted(&a, &b) != &b || doubted(&b, &a) != &b {
		t.Error("the likely one is not doubted")
	}
	if a.Confidence = 0.1; doubted(&a, &b) != &a {
		t.Error("the less sure is not doubted")
	}
	if b.Confidence = 0.1; doubted(&a, &b) != &a {
		t.Error("of two alike not the first is doubted")
	}
}
