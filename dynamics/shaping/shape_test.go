package shaping

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"hairpin/dynamics/page"
	"hairpin/dynamics/written"
	"hairpin/harmony"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

func TestShapeStaysInsideTheFrame(t *testing.T) {
	s := written.Score(t, "1:1 p", "5:1 f", "3:1 sf")
	p := page.Printed(s, nil)
	sh, err := Shape(s, nil, p)
	if err != nil {
		t.Fatal(err)
	}
	moved := false
	for _, x := range sh.Proposals {
		if math.Abs(x.Bend()) > MaxBend {
			t.Errorf("at %s the bend is %.2f", s.At(x.At), x.Bend())
		}
		sum := 0.0
		for _, c := range x.Causes {
			sum += c
		}
		if math.Abs(sum-x.Bend()) > 1e-6 {
			t.Errorf("at %s the causes add up to %.3f, the bend is %.3f", s.At(x.At), sum, x.Bend())
		}
		moved = moved || x.Main != ""
	}
	if !moved {
		t.Error("no proposal names a cause")
	}
	if len(sh.Notes) != len(s.Notes) {
		t.Errorf("%d note levels for %d notes", len(sh.Notes), len(s.Notes))
	}
}

// No proposal is named by a mark softer than the softest printed one or louder
// than the loudest, unless the page prints too little to be a frame.
func TestProposalsKeepTheFrame(t *testing.T) {
	for _, c := range []struct {
		printed   []float64
		low, high float64
	}{
		{[]float64{page.PP, page.P, page.FF}, 1.5, 7.5},
		{[]float64{page.P, page.F}, 2.5, 6.5},
		{[]float64{page.MF}, 3, 7},
		{[]float64{page.PPP, page.FFF}, 1, 8},
		{nil, 3, 7},
	} {
		if f := frameOf(c.printed); math.Abs(f.low-c.low)+math.Abs(f.high-c.high) > 1e-9 {
			t.Errorf("%v is framed by %.2f to %.2f, want %.2f to %.2f", c.printed, f.low, f.high, c.low, c.high)
		}
	}
	wild := map[Cause][]float64{ByHeight: {-9, 9, -9}}
	for _, p := range proposeAll(make([]score.Tick, 3), []float64{page.P, page.P, page.F}, wild, make([]Leave, 3)) {
		if p.Level < 2.5-1e-9 || p.Level > 6.5+1e-9 {
			t.Errorf("%.2f is proposed between p and f", p.Level)
		}
	}
}

// An appoggiatura lies above its resolution: C. P. E. Bach 1753, Versuch über
// die wahre Art das Clavier zu spielen, on appoggiaturas (from memory).
func TestAppoggiaturaOverResolution(t *testing.T) {
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	s.Measures = []score.Measure{{Number: "1", Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4}}
	note := func(at score.Tick, step, octave int) {
		s.Notes = append(s.Notes, score.Note{Onset: at, Duration: 8, Staff: 1, Voice: 1, Pitch: score.Pitch{Step: step, Octave: octave}})
	}
	note(0, 3, 5) // F over C E G
	note(8, 2, 5) // E
	a := &harmony.Analysis{Chords: []tonal.Chord{{End: 16, Quality: tonal.Major, Tones: []score.Class{0, 4, 1}, Certainty: tonal.Sure}}}
	lean := leaning(s, a)
	if lean[0] <= lean[1] {
		t.Errorf("appoggiatura %.2f, resolution %.2f", lean[0], lean[1])
	}
}

func TestTableOfWeightsSaysWhere(t *testing.T) {
	const style = "style\tunmarked\t0\t1\n"
	for bad, want := range map[string]string{
		"a\tb":                                    "line 1: 2 cells",
		"x\tphrase\tone\t1":                       "line 1: strconv",
		style + "place\tphrase\t1\t1":             "line 2: place has 2 numbers, 3 are needed",
		style + "plaice\tphrase\t1\t1\t0":         `line 2: there is no reading "plaice"`,
		style + "place\tmelody height\t1\t1\t0":   `for the cause "melody height"`,
		style + "place around 3\tphrase\t1\t1\t0": `there is no reading "place around 3"`,
	} {
		if _, err := readModel(bad); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gives the error %v, want %q", bad, err, want)
		}
	}
	m, err := model()
	if err != nil || len(m.Weight) < 50 || len(m.Styles) != 3 {
		t.Errorf("the table: %v", err)
	}
}

func TestReadingOfAnUnknownQuantity(t *testing.T) {
	if _, err := byName([]reading{{ByPhrase, "place", here, 0, 0}, {ByPhrase, "plaice", around, 2, 0}}); err == nil || !strings.Contains(err.Error(), `"plaice around 2" is of an unknown quantity, "plaice"`) {
		t.Errorf("the error is %v", err)
	}
	o := observe(twoVoices(), &harmony.Analysis{}, &page.Page{})
	want := quantities()
	slices.Sort(want)
	if got := slices.Sorted(maps.Keys(o.named)); !slices.Equal(got, want) {
		t.Errorf("measured are %q\nlisted are %q", got, want)
	}
}

// The page's range is the player's: between pp and ff a performers' spread is more
// steps than on an even page, and no more than widest.
func TestAWidePageWidensTheProposal(t *testing.T) {
	parts := map[Cause][]float64{ByPage: {-0.5, 0.5, -0.5, 0.5}}
	for _, c := range []struct {
		printed []float64
		want    float64
	}{
		{[]float64{page.MF, page.MF, page.MF, page.MF}, stepsPerSpread},
		{[]float64{page.P, page.F, page.P, page.F}, 2 * pageRange * 1.5},
		{[]float64{page.PPP, page.FFF, page.PPP, page.FFF}, widest},
	} {
		if got := stepsFor(c.printed, parts); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v: %.2f steps a spread, want %.2f", c.printed, got, c.want)
		}
	}
}

// Where nothing is printed the proposal says so; where something is, it does not.
func TestUnmarkedPageIsTold(t *testing.T) {
	for put, told := range map[string]bool{"": true, "1:1 p": false} {
		var items []string
		if put != "" {
			items = append(items, put)
		}
		s := written.Score(t, items...)
		sh, err := Shape(s, nil, page.Printed(s, nil))
		if err != nil {
			t.Fatal(err)
		}
		if (sh.Caution != "") != told {
			t.Errorf("%q: caution %q", put, sh.Caution)
		}
	}
}
