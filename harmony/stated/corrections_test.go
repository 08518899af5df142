package stated

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

func fourBars() *score.Score {
	s := &score.Score{Division: 4}
	for i := range score.Tick(4) {
		s.Measures = append(s.Measures, score.Measure{
			Number: string(rune('1' + i)), Start: 16 * i, Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4,
		})
	}
	return s
}

func TestReadCorrections(t *testing.T) {
	s := fourBars()
	in := "\ufeff# my reading\n\n2 3 G V65/V # a comment\n1 2.5 - ii65\n3 1 d -\n4 1 e #vi°6\n4 2 - #iv°7 # after a sharp numeral\n"
	got, err := ReadCorrections(strings.NewReader(in), s)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := writeCorrections(&out, s, got); err != nil {
		t.Fatal(err)
	}
	want := "# measure beat key numeral\n1 2.5 - ii65\n2 3 G V65/V\n3 1 d -\n4 1 e #vi°6\n4 2 - #iv°7\n"
	if out.String() != want {
		t.Errorf("written back:\n%s\nwant:\n%s", out.String(), want)
	}
	again, err := ReadCorrections(&out, s)
	if err != nil || len(again) != len(got) {
		t.Fatalf("read again: %v, %d corrections", err, len(again))
	}
}

func TestReadCorrectionsErrors(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"1 1 C", `line 1: "1 1 C" is not four entries`},
		{"\n1 x C I", `line 2: beat "x" is not a number`},
		{"1 0.5 C I", `line 1: beat "0.5"`},
		{"1 NaN C I", `line 1: beat "NaN"`},
		{"9 1 C I", `line 1: the score has no beat 1 in a measure "9"`},
		{"1 5 C I", `line 1: the score has no beat 5 in a measure "1"`},
		{"1 1 H I", `line 1: key "H" is unknown`},
		{"1 1 C Q7", `line 1: numeral "Q7" is unknown`},
		{"1 1 - -", `line 1: "1 1 - -" corrects nothing`},
		{"1 1 C I\n# x\n1 1.0 C V", `line 3: line 1 already corrects this moment`},
	} {
		_, err := ReadCorrections(strings.NewReader(c.in), fourBars())
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q: %v, want %s…", c.in, err, c.want)
		}
	}
}

func chordsOf(t *testing.T, list ...string) []tonal.Chord {
	t.Helper()
	var out []tonal.Chord
	for i, f := range list {
		key, numeral, _ := strings.Cut(f, " ")
		k, ok := tonal.ParseKey(key)
		n, fine := tonal.ParseNumeral(numeral, k)
		if !ok || !fine {
			t.Fatalf("chord %q", f)
		}
		c := tonal.Spell(n, k)
		c.Start, c.End = 16*score.Tick(i), 16*score.Tick(i+1)
		out = append(out, c)
	}
	return out
}

func show(chords []tonal.Chord) string {
	var out []string
	for _, c := range chords {
		f := c.Key.String() + " " + c.Roman()
		if c.Given {
			f += "!"
		}
		out = append(out, f)
	}
	return strings.Join(out, ", ")
}

func TestApplyCorrections(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"numeral, until the next chord heard", "2 1 - V7", "C I, C V7!, C V, C I"},
		{"inside a chord: split", "2 3 - IV", "C I, C ii, C IV!, C V, C I"},
		{"two in one chord", "2 3 - IV\n2 4 - ii6", "C I, C ii, C IV!, C ii6!, C V, C I"},
		{"key alone names the chords anew", "2 1 G -", "C I, G v!, G I, G IV"},
		{"key until the next key corrected", "2 1 G -\n3 1 C -", "C I, G v!, C V!, C I"},
		{"key and numeral", "3 1 G I6", "C I, C ii, G I6!, G IV"},
		{"minor leading tone without a key", "1 1 c -\n2 1 - vii°7", "c I!, c vii°7!, c V, c I"},
	} {
		list, err := ReadCorrections(strings.NewReader(c.in), fourBars())
		if err != nil {
			t.Fatal(err)
		}
		heard := chordsOf(t, "C I", "C ii", "C V", "C I")
		before := show(heard)
		if got := show(Apply(heard, list, 64)); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
		if after := show(heard); after != before {
			t.Errorf("%s: the chords heard were changed to %s", c.name, after)
		}
	}
}

// Overruled tones follow the numeral: the dominant of A minor holds G#.
func TestCorrectedTones(t *testing.T) {
	list, err := ReadCorrections(strings.NewReader("2 1 a V65"), fourBars())
	if err != nil {
		t.Fatal(err)
	}
	c := Apply(chordsOf(t, "C I", "C ii"), list, 64)[1]
	if c.Name() != "E7/G#" || c.Inversion != 1 || c.Quality != tonal.DominantSeventh {
		t.Errorf("got %s, inversion %d", c.Name(), c.Inversion)
	}
}

// A correction in a gap, or after the last chord, opens a chord of its own.
func TestCorrectionInAGap(t *testing.T) {
	list, err := ReadCorrections(strings.NewReader("3 1 - V"), fourBars())
	if err != nil {
		t.Fatal(err)
	}
	got := Apply(chordsOf(t, "C I", "C ii"), list, 64)
	if show(got) != "C I, C ii, C V!" || got[2].Start != 32 || got[2].End != 64 {
		t.Errorf("got %s", show(got))
	}
}

func FuzzReadCorrections(f *testing.F) {
	for _, seed := range []string{"1 1 C I", "2 2.5 - viio65/V # x", "3 1 bb N6", "# \n\n4 4 - Ger65", "1 1 C /", "1 1 C ##"} {
		f.Add(seed)
	}
	s := fourBars()
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadCorrections(strings.NewReader(text), s)
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := writeCorrections(&out, s, list); err != nil {
			t.Fatal(err)
		}
		again, err := ReadCorrections(bytes.NewReader(out.Bytes()), s)
		if err != nil || len(again) != len(list) {
			t.Fatalf("%q was written as %q, which reads as %d corrections: %v", text, out.String(), len(again), err)
		}
		Apply(chordsOf(t, "C I", "a V", "C V7/V"), list, 64)
	})
}

func ExampleReadCorrections() {
	file := "# bar 2 turns to the dominant\n2 1 - V7/V\n2 3 - V\n"
	list, err := ReadCorrections(strings.NewReader(file), fourBars())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range list {
		fmt.Println(c.At, c.Numeral.Format(tonal.Key{}))
	}
	// Output:
	// 16 V7/V
	// 24 V
}
