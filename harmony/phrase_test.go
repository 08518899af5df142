package harmony

import (
	"fmt"
	"strings"
	"testing"

	"hairpin/score"
)

// tune writes a single line in 4/4 or 3/4: "g4:2" is G4 for two quarters, "-:1"
// a rest, "." one quarter; upbeat is the length of the pickup in quarters.
func tune(t *testing.T, beats int, upbeat score.Tick, text string) *score.Score {
	t.Helper()
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Name: "Voice", Staves: 1}}}
	at := score.Tick(0)
	for _, f := range strings.Fields(text) {
		name, length, _ := strings.Cut(f, ":")
		d := 4.0
		if length != "" {
			if _, err := fmt.Sscan(length, &d); err != nil {
				t.Fatal(f, err)
			}
			d *= 4
		}
		if name != "-" {
			c, ok := score.ParseClass(name[:len(name)-1])
			if !ok {
				t.Fatal(f)
			}
			s.Notes = append(s.Notes, score.Note{
				Onset: at, Duration: score.Tick(d), Staff: 1, Voice: 1,
				Pitch: score.Pitch{Step: c.Step(), Alter: float64(c.Alter()), Octave: int(name[len(name)-1] - '0')},
			})
		}
		at += score.Tick(d)
	}
	bar := 4 * score.Tick(beats)
	for m, start := 1, score.Tick(0); start < at; m++ {
		length := bar
		if m == 1 && upbeat > 0 {
			length = 4 * upbeat
		}
		s.Measures = append(s.Measures, score.Measure{
			Number: fmt.Sprint(m), Start: start, Length: length, Nominal: bar, Beats: beats, BeatUnit: 4,
			Pickup: m == 1 && upbeat > 0,
		})
		start += length
	}
	for i := range s.Notes {
		s.Notes[i].Measure = s.MeasureAt(s.Notes[i].Onset)
	}
	return s
}

func phraseStarts(s *score.Score, a *Analysis) string {
	a.findPhrases(s, 0)
	var out []string
	for _, p := range a.Phrases {
		out = append(out, s.At(p.Start).String())
	}
	return strings.Join(out, " ")
}

// Phrases of tunes everyone knows, heard without any harmony; where they
// breathe is common practice, no source.
func TestPhrasesOfTunes(t *testing.T) {
	for _, c := range []struct {
		name          string
		beats, upbeat int
		notes, want   string
		or            string // a second good answer: phrases of half or double length
	}{
		{"Ode to Joy (Beethoven 1824)", 4, 0,
			"f#4 f#4 g4 a4 a4 g4 f#4 e4 d4 d4 e4 f#4 f#4:1.5 e4:.5 e4:2 " +
				"f#4 f#4 g4 a4 a4 g4 f#4 e4 d4 d4 e4 f#4 e4:1.5 d4:.5 d4:2 " +
				"e4 e4 f#4 d4 e4 f#4:.5 g4:.5 f#4 d4 e4 f#4:.5 g4:.5 f#4 e4 d4 e4 a3:2 " +
				"f#4 f#4 g4 a4 a4 g4 f#4 e4 d4 d4 e4 f#4 e4:1.5 d4:.5 d4:2",
			"1:1 5:1 9:1 13:1", ""},
		{"Ah vous dirai-je, maman (French, 18th century)", 4, 0,
			"c4 c4 g4 g4 a4 a4 g4:2 f4 f4 e4 e4 d4 d4 c4:2 " +
				"g4 g4 f4 f4 e4 e4 d4:2 g4 g4 f4 f4 e4 e4 d4:2 " +
				"c4 c4 g4 g4 a4 a4 g4:2 f4 f4 e4 e4 d4 d4 c4:2",
			"1:1 3:1 5:1 7:1 9:1 11:1", "1:1 5:1 9:1"},
		{"Amazing Grace (New Britain, 1835)", 3, 1,
			"d4 g4:2 b4:.5 g4:.5 b4:2 a4 g4:2 e4 d4:2 d4 g4:2 b4:.5 g4:.5 b4:2 a4:.5 b4:.5 d5:5 " +
				"b4 d5:2 b4:.5 g4:.5 b4:2 a4 g4:2 e4 d4:2 d4 g4:2 b4:.5 g4:.5 b4:2 a4 g4:5",
			"1:3 5:3 9:3 13:3", ""},
		{"Frere Jacques (French, 18th century)", 4, 0,
			"c4 d4 e4 c4 c4 d4 e4 c4 e4 f4 g4:2 e4 f4 g4:2 g4:.5 a4:.5 g4:.5 f4:.5 e4 c4 g4:.5 a4:.5 g4:.5 f4:.5 e4 c4 c4 g3 c4:2 c4 g3 c4:2",
			"1:1 3:1 5:1 7:1", "1:1 5:1"},
	} {
		s := tune(t, c.beats, score.Tick(c.upbeat), c.notes)
		if got := phraseStarts(s, &Analysis{}); got != c.want && got != c.or {
			t.Errorf("%s: phrases start at %s, want %s", c.name, got, c.want)
		}
	}
}
