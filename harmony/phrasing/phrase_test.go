package phrasing

import (
	"fmt"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"hairpin/harmony/tonal"
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

func phraseStarts(s *score.Score) string {
	phrases, _ := Find(s, 0, nil, DefaultWeights())
	var out []string
	for _, p := range phrases {
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
		if got := phraseStarts(s); got != c.want && got != c.or {
			t.Errorf("%s: phrases start at %s, want %s", c.name, got, c.want)
		}
	}
}

// Whatever the notes, phrases tile the music and point to real cadences.
func TestPhrasesTile(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for n := range 200 {
		s := randomScore(random, n%4, 1+n%60)
		heard := tonal.Slices(s, 0)
		var chords []tonal.Chord
		for _, sl := range heard {
			c := tonal.Spell(tonal.Numeral{Degree: 1 + random.IntN(7), Quality: tonal.Major, Inversion: random.IntN(3)}, tonal.Key{Minor: n%2 == 1})
			c.Start, c.End = sl.Start, sl.End
			chords = append(chords, c)
		}
		phrases, cadences := Find(s, n%3, chords, DefaultWeights())
		for i, p := range phrases {
			if p.End <= p.Start || i > 0 && phrases[i-1].End != p.Start || p.Cadence >= len(cadences) {
				t.Fatalf("score %d: phrase %d is %+v after %+v", n, i, p, phrases[max(i-1, 0)])
			}
			if !(p.Confidence >= 0 && p.Confidence <= 1) || p.Why == "" {
				t.Errorf("score %d: phrase %d: confidence %v, why %q", n, i, p.Confidence, p.Why)
			}
		}
		ends := map[int]bool{}
		for _, p := range phrases {
			ends[p.Cadence] = true
		}
		least := func(i int, k CadenceKind) float64 {
			switch {
			case ends[i]:
				return 0
			case k == Deceptive:
				return leastTurned
			case k == Evaded:
				return leastWithheld
			}
			return leastCadence
		}
		for i, c := range cadences {
			if c.At != chords[c.Chord].Start || i > 0 && c.At < cadences[i-1].At || !(c.Confidence >= least(i, c.Kind) && c.Confidence <= 1) {
				t.Errorf("score %d: cadence %+v", n, c)
			}
		}
	}
}

// randomScore scatters notes over some parts; every third part is of two staves.
func randomScore(random *rand.Rand, parts, notes int) *score.Score {
	s := &score.Score{Division: 6}
	for p := range parts {
		s.Parts = append(s.Parts, score.Part{ID: fmt.Sprint(p), Staves: 1 + p%3/2})
	}
	for m := range score.Tick(12) {
		s.Measures = append(s.Measures, score.Measure{Number: fmt.Sprint(m), Start: 18 * m, Length: 18, Nominal: 18 * (m % 2), Beats: 3, BeatUnit: 4})
	}
	for range notes * min(parts, 1) {
		on := random.IntN(200)
		s.Notes = append(s.Notes, score.Note{
			Onset: score.Tick(on), Duration: score.Tick(random.IntN(12)), Part: random.IntN(parts), Staff: 1, Voice: 1 + random.IntN(2),
			Pitch: score.Pitch{Step: random.IntN(7), Octave: 2 + random.IntN(4)}, Measure: on / 18,
		})
	}
	sort.SliceStable(s.Notes, func(i, j int) bool { return s.Notes[i].Onset < s.Notes[j].Onset })
	s.Fermatas = append(s.Fermatas, score.Fermata{Place: score.Place{At: 60}})
	s.DoubleBar = append(s.DoubleBar, 72)
	s.Slurs = append(s.Slurs, score.Slur{Span: score.Span{Start: 0, End: 30}})
	return s
}

// The same music higher, or written in longer notes, has the same phrases.
func TestPhrasesKeepUnderChange(t *testing.T) {
	notes := "d4 g4:2 b4:.5 g4:.5 b4:2 a4 g4:2 e4 d4:2 d4 g4:2 b4:.5 g4:.5 b4:2 a4:.5 b4:.5 d5:5 " +
		"b4 d5:2 b4:.5 g4:.5 b4:2 a4 g4:2 e4 d4:2 d4 g4:2 b4:.5 g4:.5 b4:2 a4 g4:5"
	want := phraseStarts(tune(t, 3, 1, notes))
	higher := tune(t, 3, 1, notes)
	for i := range higher.Notes {
		higher.Notes[i].Pitch.Octave++
	}
	slower := tune(t, 3, 1, notes)
	slower.Division = 2 // the same ticks, now half notes
	for i := range slower.Measures {
		slower.Measures[i].BeatUnit = 2
	}
	for name, s := range map[string]*score.Score{"higher": higher, "slower": slower} {
		if got := phraseStarts(s); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}
