package dynamics

import (
	"math"
	"strconv"
	"testing"

	"hairpin/harmony"
	"hairpin/score"
)

// letters is a score of 4/4 measures in quarters, one measure a letter; the
// same letter is the same music, "-" an empty measure.
func letters(form string) *score.Score {
	const q = 12
	s := &score.Score{Division: q, Parts: []score.Part{{ID: "P1", Name: "Piano", Staves: 2}}}
	for m, c := range form {
		s.Measures = append(s.Measures, score.Measure{Number: strconv.Itoa(m + 1), Start: score.Tick(48 * m), Length: 48, Nominal: 48, Beats: 4, BeatUnit: 4})
		for b := 0; b < 4 && c != '-'; b++ {
			k := int(c - 'a')
			s.Notes = append(s.Notes, score.Note{Onset: score.Tick(48*m + q*b), Duration: q, Staff: 1, Voice: 1, Measure: m,
				Pitch: score.Pitch{Step: (k + b*(k/7+1)) % 7, Octave: 4}})
		}
	}
	return s
}

// Music that comes back without a mark is played as the first time; common
// practice, no source.
func TestReprises(t *testing.T) {
	for _, c := range []struct {
		name, form string
		put        []string
		want       map[string]float64
		inferred   bool
	}{
		{"returns unmarked", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f"}, map[string]float64{"8:4": 6, "9:1": 3, "16:1": 3}, true},
		{"with its crescendo", "abcdefghabcdijkl", []string{"1:1 p", "2:1 <4:1", "4:1 f", "5:1 mf"}, map[string]float64{"9:1": 3, "11:1": 4.5, "12:1": 6}, true},
		{"until the next mark", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "13:1 ff"}, map[string]float64{"9:1": 3, "13:1": 7}, true},
		{"an unmarked beginning", "abcdefghabcdijkl", []string{"5:1 p"}, map[string]float64{"1:1": 5, "9:1": 5}, true},
		{"marked anew", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "9:1 mf"}, map[string]float64{"9:1": 5}, false},
		{"marked on its upbeat", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "8:4 mf"}, map[string]float64{"9:1": 5}, false},
		{"marked inside", "abcdefghabcdijkl", []string{"1:1 p", "5:1 f", "11:1 mf"}, map[string]float64{"9:1": 6, "11:1": 5}, false},
		{"repeated at once", "abcdabcdefghijkl", []string{"1:1 p", "4:1 f"}, map[string]float64{"5:1": 6}, false},
		{"three measures only", "abcdefghabcmijkl", []string{"1:1 p", "5:1 f"}, map[string]float64{"9:1": 6}, false},
		{"the same level anyway", "abcdefghabcdijkl", []string{"1:1 p"}, map[string]float64{"9:1": 3}, false},
		{"empty measures are no music", "----efgh----ijkl", []string{"1:1 p", "5:1 f"}, map[string]float64{"9:1": 6}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := letters(c.form)
			for _, item := range c.put {
				if err := place(s, item); err != nil {
					t.Fatal(err)
				}
			}
			p := Printed(s, nil)
			for at, want := range c.want {
				x, err := parsePlace(s, at)
				if err != nil {
					t.Fatal(err)
				}
				if got := p.Whole.At(x.At); math.Abs(got-want) > 0.05 {
					t.Errorf("level at %s is %.2f, want %.2f", at, got, want)
				}
			}
			told := false
			for _, i := range p.Inferences {
				told = told || i.At == s.Measures[8].Start && i.What == "plays "+Mark(p.Whole.At(i.At))+" as in measure 1"
			}
			if told != c.inferred {
				t.Errorf("told: %v, want %v (%v)", told, c.inferred, p.Inferences)
			}
		})
	}
}

// fp is f where it stands and p after it (Gehrkens 1914, §121); an sf in one of
// two parts raises the whole by the mean of the powers.
func TestLevelsShowStress(t *testing.T) {
	s, p := marked(t, "1:1 p", "3:1 fp", "4:1 sf")
	two := log((math.Pow(stepRatio, P+1) + math.Pow(stepRatio, P)) / 2)
	want := map[string][2]float64{"2:4": {3, 3}, "3:1": {log((math.Pow(stepRatio, F) + math.Pow(stepRatio, P)) / 2), 3}, "3:2": {3, 3}, "4:1": {two, 3}}
	for _, r := range Levels(s, nil, p, nil) {
		w, ok := want[s.At(r.Start).String()]
		if ok && (math.Abs(r.Printed-w[0]) > 0.01 || math.Abs(r.PrintedEnd-w[1]) > 0.01) {
			t.Errorf("%s: %.2f to %.2f, want %.2f to %.2f", s.At(r.Start), r.Printed, r.PrintedEnd, w[0], w[1])
		}
	}
}

// What a reprise takes from its first time is not held against the page, which
// prints nothing there.
func TestRepriseIsNoPrint(t *testing.T) {
	s := letters("abcdefghabcdijkl")
	for _, item := range []string{"1:1 p", "2:1 <4:1", "4:1 f", "5:1 mf"} {
		if err := place(s, item); err != nil {
			t.Fatal(err)
		}
	}
	p := Printed(s, nil)
	j := judge{s: s, p: p}
	for _, c := range []struct {
		from, to string
		way      Way
	}{{"2:1", "3:4", 1}, {"10:1", "11:4", 0}, {"8:1", "9:2", 0}} {
		a, err1 := parsePlace(s, c.from)
		b, err2 := parsePlace(s, c.to)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if m := j.move(a.At, b.At); m.way() != c.way || math.Abs(m.swell()) > 0.01 && c.way == 0 {
			t.Errorf("%s to %s goes %d (%+v), want %d", c.from, c.to, m.way(), m, c.way)
		}
	}
	if g := p.Whole.Segments[p.Whole.find(s.Measures[10].Start)]; g.Certainty != harmony.Unsure || !g.Implied {
		t.Errorf("the recalled crescendo is %v", g)
	}
}
