package stated

import (
	"fmt"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// The contents of all 33 kinds: MusicXML 4.0 (W3C Music Notation Community
// Group, 2021), kind-value, with degrees counted in semitones. The four
// functional sixths and Tristan have no contents there; theirs are those of any
// textbook, in the tonic C, from the printed root (from memory).
func TestSymbolKinds(t *testing.T) {
	for kind, want := range map[string]string{
		"major": "0 4 7", "minor": "0 3 7", "augmented": "0 4 8", "diminished": "0 3 6",
		"dominant": "0 4 7 10", "major-seventh": "0 4 7 11", "minor-seventh": "0 3 7 10",
		"diminished-seventh": "0 3 6 9", "augmented-seventh": "0 4 8 10", "half-diminished": "0 3 6 10",
		"major-minor": "0 3 7 11", "major-sixth": "0 4 7 9", "minor-sixth": "0 3 7 9",
		"dominant-ninth": "0 4 7 10 14", "major-ninth": "0 4 7 11 14", "minor-ninth": "0 3 7 10 14",
		"dominant-11th": "0 4 7 10 14 17", "major-11th": "0 4 7 11 14 17", "minor-11th": "0 3 7 10 14 17",
		"dominant-13th": "0 4 7 10 14 17 21", "major-13th": "0 4 7 11 14 17 21", "minor-13th": "0 3 7 10 14 17 21",
		"suspended-second": "0 2 7", "suspended-fourth": "0 5 7", "pedal": "0", "power": "0 7",
		"Neapolitan": "0 4 7", "Italian": "10 0 4", "French": "6 10 0 4", "German": "10 0 4 7",
		"Tristan": "0 6 10 15", "other": "0", "none": "",
	} {
		if _, known := symbolKinds[kind]; !known {
			t.Errorf("%s is missing", kind)
			continue
		}
		c, _ := symbolChord(score.ChordSymbol{Root: "Ab", Kind: kind, Inversion: -1}, tonal.Key{})
		var got, should []string
		for _, tone := range c.Tones {
			got = append(got, fmt.Sprint((tone.PC()+4)%12))
		}
		for _, f := range strings.Fields(want) {
			var n int
			fmt.Sscan(f, &n)
			should = append(should, fmt.Sprint(n%12))
		}
		if strings.Join(got, " ") != strings.Join(should, " ") {
			t.Errorf("%s: %v, want %v", kind, got, should)
		}
	}
	if len(symbolKinds) != 33 {
		t.Errorf("%d kinds, want 33", len(symbolKinds))
	}
}

func TestSymbolNames(t *testing.T) {
	add := func(v int, a float64, kind string) []score.Degree {
		return []score.Degree{{Value: v, Alter: a, Type: kind}}
	}
	for _, c := range []struct {
		key    string
		symbol score.ChordSymbol
		want   string // name, numeral and tones
	}{
		{"C", score.ChordSymbol{Root: "G", Kind: "dominant"}, "G7 V7 [G B D F]"},
		{"C", score.ChordSymbol{Root: "G", Kind: "dominant", Bass: "B"}, "G7/B V65 [G B D F]"},
		{"C", score.ChordSymbol{Root: "G", Kind: "dominant", Inversion: 3}, "G7/F V42 [G B D F]"},
		{"C", score.ChordSymbol{Root: "D", Kind: "major"}, "D V/V [D F# A]"},
		{"c", score.ChordSymbol{Root: "D", Kind: "half-diminished"}, "Dm7b5 iiø7 [D F Ab C]"},
		{"C", score.ChordSymbol{Root: "Db", Kind: "Neapolitan"}, "Db/F bII6 [Db F Ab]"},
		{"C", score.ChordSymbol{Root: "Ab", Kind: "German"}, "Ab Ger6 Ger65 [F# Ab C Eb]"},
		{"C", score.ChordSymbol{Root: "Ab", Kind: "French"}, "Ab Fr6 Fr43 [D F# Ab C]"},
		{"C", score.ChordSymbol{Root: "Ab", Kind: "Italian"}, "Ab It6 It6 [F# Ab C]"},
		{"C", score.ChordSymbol{Root: "C", Kind: "major", Degrees: add(9, 0, "add")}, "C I [C E G D]"},
		{"C", score.ChordSymbol{Root: "C", Kind: "major", Degrees: add(7, 0, "add")}, "C7 V7/IV [C E G Bb]"},
		{"C", score.ChordSymbol{Root: "G", Kind: "dominant", Degrees: add(9, -1, "add")}, "G7 V7 [G B D F Ab]"},
		{"C", score.ChordSymbol{Root: "B", Kind: "minor-seventh", Degrees: add(5, -1, "alter")}, "Bm7b5 viiø7 [B D F A]"},
		{"C", score.ChordSymbol{Root: "G", Kind: "dominant", Degrees: []score.Degree{{Value: 3, Type: "subtract"}, {Value: 4, Type: "add"}}}, "Gsus4 Vsus4 [G D F C]"},
		{"a", score.ChordSymbol{Root: "A", Kind: "power"}, "Am i [A E]"},
		{"C", score.ChordSymbol{Root: "A", Kind: "power"}, "Am vi [A E]"},
		{"G", score.ChordSymbol{Root: "function:V", Kind: "dominant"}, "D7 V7 [D F# A C]"},
		{"eb", score.ChordSymbol{Root: "numeral:4", Kind: "minor"}, "Abm iv [Ab Cb Eb]"},
	} {
		k, _ := tonal.ParseKey(c.key)
		if c.symbol.Inversion == 0 {
			c.symbol.Inversion = -1
		}
		got, ok := symbolChord(c.symbol, k)
		if text := fmt.Sprint(got.Name(), " ", got.Roman(), " ", got.Tones); !ok || text != c.want {
			t.Errorf("%s %s in %s: %s, want %s", c.symbol.Root, c.symbol.Kind, c.key, text, c.want)
		}
	}
}

func TestChordsFromSymbols(t *testing.T) {
	s := fourBars()
	for _, y := range []struct {
		at         score.Tick
		root, kind string
	}{{0, "C", "major"}, {16, "F", "major"}, {16, "A", "minor"}, {32, "", "none"}, {40, "G", "dominant"}} {
		s.Symbols = append(s.Symbols, score.ChordSymbol{
			Place: score.Place{At: y.at}, Root: y.root, Kind: y.kind, Inversion: -1,
		})
	}
	var got []string
	for _, c := range FromSymbols(s, nil) {
		got = append(got, fmt.Sprint(c.Start, "-", c.End, " ", c.Roman()))
	}
	if want := "[0-16 I 16-32 IV 40-64 V7]"; fmt.Sprint(got) != want {
		t.Errorf("got %v, want %s", got, want)
	}
}

// A foreign bass is held below the chord.
func TestSymbolPedal(t *testing.T) {
	c, _ := symbolChord(score.ChordSymbol{Root: "G", Kind: "major", Bass: "C", Inversion: -1}, tonal.Key{})
	if !c.Pedal || c.Bass != c.Root {
		t.Errorf("pedal %v, bass %s", c.Pedal, c.Bass)
	}
}
