package harmony

import (
	"strings"
	"testing"

	"hairpin/score"
)

// allKeys are 24 keys, one a pitch class and mode.
func allKeys() []Key {
	var out []Key
	for c := score.Class(-5); c <= 6; c++ {
		out = append(out, Key{c, false}, Key{c + 3, true})
	}
	return out
}

// chorale is a chord progression in four voices: numerals with their durations
// in quarters, and the scale degrees of the soprano.
type chorale struct {
	chords  string // "I:2 V7:2 I:4"; a hyphen for the numeral is a rest
	soprano string // "3 2 1"
}

// write builds the score in 4/4 and the analysis an expert would give it.
func (c chorale) write(t *testing.T, k Key) (*score.Score, *Analysis) {
	t.Helper()
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Name: "Choir", Staves: 2}}}
	a := &Analysis{Home: k}
	at := score.Tick(0)
	top := strings.Fields(c.soprano)
	for i, f := range strings.Fields(c.chords) {
		text, length, _ := strings.Cut(f, ":")
		d := score.Tick(4)
		if length != "" {
			d = 4 * score.Tick(length[0]-'0')
		}
		if text != "-" {
			n, ok := ParseNumeral(text, k)
			if !ok {
				t.Fatalf("numeral %q", text)
			}
			ch := Chord{Start: at, End: at + d, Confidence: 1}
			ch.spell(k, n)
			a.Chords = append(a.Chords, ch)
			degree := int(top[i][0] - '0')
			sop := k.Degree(degree)
			if degree == 7 && k.Minor {
				sop += 7
			}
			s.Notes = append(s.Notes, fourVoices(ch, sop)...)
		}
		at += d
	}
	for m := score.Tick(0); m < at; m += 16 {
		s.Measures = append(s.Measures, score.Measure{
			Number: string(rune('1' + m/16)), Start: m, Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4,
		})
	}
	s.Times = []score.TimeMark{{Text: "4/4", Beats: 4, Unit: 4}}
	for i := range s.Notes {
		s.Notes[i].Measure = s.MeasureAt(s.Notes[i].Onset)
	}
	a.Slices = Slices(s, 0)
	return s, a
}

// fourVoices sets a chord: bass near C3, soprano near C5, inner voices between.
func fourVoices(c Chord, soprano score.Class) []score.Note {
	inner := append([]score.Class{}, c.Tones[1], c.Tones[len(c.Tones)-1])
	pitches := []score.Pitch{pitchNear(c.Bass, 48), pitchNear(inner[0], 57), pitchNear(inner[1], 62), pitchNear(soprano, 72)}
	var out []score.Note
	for i, p := range pitches {
		out = append(out, score.Note{
			Onset: c.Start, Duration: c.End - c.Start, Staff: 2 - i/2, Voice: 4 - i, Pitch: p,
		})
	}
	return out
}

// The formulas of the textbooks: Gotham et al., Open Music Theory, 2nd ed.
// (2021), chapters on cadences and on strengthening endings with the cadential
// six-four; Phrygian and plagal forms: common practice, no source. Inverted
// authentic cadences count as imperfect here, the wider of two usages. The chromatic
// bass, the dominant's dominant and the evaded form: Caplin, Classical Form (1998),
// on deceptive and evaded cadences, from memory.
var formulas = []struct {
	name         string
	major, minor chorale
	want         CadenceKind
}{
	{"V7-I, tonic on top", chorale{"I ii6 V7:2 I:4", "3 2 7 1"}, chorale{"i iiø65 V7:2 i:4", "3 2 7 1"}, PerfectAuthentic},
	{"V-I, tonic on top", chorale{"I IV V:2 I:4", "3 4 2 1"}, chorale{"i iv V:2 i:4", "3 4 2 1"}, PerfectAuthentic},
	{"Cad64-V7-I", chorale{"I ii6 Cad64 V7 I:4", "3 4 3 2 1"}, chorale{"i ii°6 Cad64 V7 i:4", "3 4 3 2 1"}, PerfectAuthentic},
	{"tonic with a raised third", chorale{"I IV V7:2 I:4", "1 1 7 1"}, chorale{"i iv V7:2 I:4", "1 1 7 1"}, PerfectAuthentic},
	{"V-I, third on top", chorale{"I ii6 V:2 I:4", "1 2 2 3"}, chorale{"i ii°6 V:2 i:4", "1 2 2 3"}, ImperfectAuthentic},
	{"V-I, fifth on top", chorale{"I ii6 V:2 I:4", "5 4 5 5"}, chorale{"i ii°6 V:2 i:4", "5 4 5 5"}, ImperfectAuthentic},
	{"V65-I", chorale{"I ii V65:2 I:4", "3 2 2 1"}, chorale{"i iv V65:2 i:4", "3 4 2 1"}, ImperfectAuthentic},
	{"vii°6-I", chorale{"I IV vii°6:2 I:4", "1 1 7 1"}, chorale{"i iv vii°6:2 i:4", "1 1 7 1"}, ImperfectAuthentic},
	{"half", chorale{"I:2 IV:2 V:4", "3 1 7"}, chorale{"i:2 iv:2 V:4", "3 1 7"}, Half},
	{"half with six-four", chorale{"I IV Cad64:2 V:4", "3 1 1 7"}, chorale{"i iv Cad64:2 V:4", "3 1 1 7"}, Half},
	{"half by the dominant's dominant", chorale{"I:2 V7/V:2 V:4", "1 1 7"}, chorale{"i:2 V7/V:2 V:4", "1 1 7"}, Half},
	{"deceptive", chorale{"I IV V7:2 vi:4", "3 1 7 1"}, chorale{"i iv V7:2 VI:4", "3 1 7 1"}, Deceptive},
	{"deceptive to IV6", chorale{"I ii6 V7:2 IV6:4", "3 2 7 1"}, chorale{"i iiø65 V7:2 iv6:4", "3 2 7 1"}, Deceptive},
	{"deceptive by chromatic bass", chorale{"I IV V7 vii°7/vi vi:4", "3 1 2 2 1"}, chorale{"i iv V7:2 VI:4", "3 1 2 1"}, Deceptive},
	{"deceptive to the dominant's dominant", chorale{"I ii6 Cad64 V7 V43/V:4", "3 2 1 7 1"}, chorale{"i iiø65 Cad64 V7 V43/V:4", "3 2 1 7 1"}, Deceptive},
	{"evaded", chorale{"I ii6 Cad64 V7 I6:4", "3 2 1 2 5"}, chorale{"i iiø65 Cad64 V7 i6:4", "3 2 1 2 5"}, Evaded},
	{"plagal", chorale{"I:2 vi:2 IV:2 IV:2 I:4", "3 1 1 1 1"}, chorale{"i:2 VI:2 iv:2 iv:2 i:4", "3 1 1 1 1"}, Plagal},
	{"Phrygian", chorale{"I:2 IV:2 V:4", "3 1 7"}, chorale{"i:2 iv6:2 V:4", "3 4 5"}, Phrygian},
}

func TestCadenceFormulas(t *testing.T) {
	for _, f := range formulas {
		for _, k := range allKeys() {
			c, want := f.major, f.want
			if k.Minor {
				c = f.minor
			} else if want == Phrygian {
				want = Half
			}
			s, a := c.write(t, k)
			a.FindPhrases(s, 0, DefaultPhraseWeights())
			if len(a.Cadences) == 0 {
				t.Errorf("%s in %s: no cadence", f.name, k.Name())
				continue
			}
			got := a.Cadences[len(a.Cadences)-1]
			if got.Kind != want || got.Chord != len(a.Chords)-1 {
				t.Errorf("%s in %s: %s (%.2f, %s) at chord %d, want %s", f.name, k.Name(), got.Kind, got.Confidence, got.Why, got.Chord, want)
			}
			if len(a.Cadences) > 1 {
				t.Errorf("%s in %s: %d cadences, want 1: %+v", f.name, k.Name(), len(a.Cadences), a.Cadences)
			}
		}
	}
}

// A dominant and its tonic inside a running phrase are no cadence: Caplin, "The
// Classical Cadence: Conceptions and Misconceptions" (2004): a cadence needs an ending.
func TestFormulaWithoutArrivalIsNoCadence(t *testing.T) {
	for _, k := range allKeys() {
		c := chorale{"I V I V65 I V43 I6 IV V I vi ii6 V I V I6", "3 2 3 4 3 2 1 1 2 3 3 4 5 5 5 5"}
		if k.Minor {
			c.chords = "i V i V65 i V43 i6 iv V i VI ii°6 V i V i6"
		}
		s, a := c.write(t, k)
		for _, got := range a.cadencesBefore(s, 52) {
			t.Errorf("%s: %s (%.2f, %s) at tick %d", k.Name(), got.Kind, got.Confidence, got.Why, got.At)
		}
	}
}

func (a *Analysis) cadencesBefore(s *score.Score, t score.Tick) []Cadence {
	a.FindPhrases(s, 0, DefaultPhraseWeights())
	var out []Cadence
	for _, c := range a.Cadences {
		if c.At < t {
			out = append(out, c)
		}
	}
	return out
}

// A six-four on the fourth degree over a held tonic is a neighbour of the tonic and
// closes nothing; iv6 to V in minor is a half cadence, Phrygian by its bass. Neither is
// plagal: Aldwell & Schachter, Harmony and Voice Leading (2nd ed., 1989), units on
// six-four chords and on the half cadence, from memory.
func TestNotPlagal(t *testing.T) {
	for _, k := range allKeys() {
		for _, c := range []struct {
			major, minor chorale
			want         CadenceKind // of the last chord, "" for none
		}{
			{chorale{"I:2 IV64:2 I:4", "3 4 3"}, chorale{"i:2 iv64:2 i:4", "3 4 3"}, ""},
			{chorale{"I V7 I I IV64:2 I:2", "3 2 1 1 1 1"}, chorale{"i V7 i i iv64:2 i:2", "3 2 1 1 1 1"}, ""},
			{chorale{"I IV64 I V6 I IV V:2", "5 6 5 5 5 4 2"}, chorale{"i iv64 i V6 i iv6 V:2", "5 6 5 5 3 4 5"}, Half},
			{chorale{"vi V6 I ii6 V:4", "1 2 3 2 2"}, chorale{"VI V6 i iv6 V:4", "1 2 3 4 5"}, Half},
		} {
			m, want := c.major, c.want
			if k.Minor {
				m = c.minor
				if want == Half {
					want = Phrygian
				}
			}
			s, a := m.write(t, k)
			a.FindPhrases(s, 0, DefaultPhraseWeights())
			var got CadenceKind
			for _, x := range a.Cadences {
				if x.Kind == Plagal {
					t.Errorf("%s in %s: plagal at chord %d (%s)", m.chords, k.Name(), x.Chord, x.Why)
				}
				if x.Chord == len(a.Chords)-1 {
					got = x.Kind
				}
			}
			if got != want {
				t.Errorf("%s in %s: %q, want %q", m.chords, k.Name(), got, want)
			}
		}
	}
}
