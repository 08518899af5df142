// Package written makes chords, keys and four-part progressions from a few words,
// for the tests of the rooms of harmony. It is not in the program.
//
// Start at [Chorale]: numerals with their durations and the degrees of a soprano
// become a score and the chords that an expert hears in it.
package written

import (
	"strings"
	"testing"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Chorale is a chord progression in four voices: numerals with their durations
// in quarters, and the scale degrees of the soprano.
type Chorale struct {
	Chords  string // "I:2 V7:2 I:4"; a hyphen for the numeral is a rest
	Soprano string // "3 2 1"
}

// Write builds the score in 4/4 and the chords an expert would hear in it.
func (c Chorale) Write(t testing.TB, k tonal.Key) (*score.Score, []tonal.Chord) {
	t.Helper()
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Name: "Choir", Staves: 2}}}
	var chords []tonal.Chord
	at := score.Tick(0)
	top := strings.Fields(c.Soprano)
	for i, f := range strings.Fields(c.Chords) {
		text, length, _ := strings.Cut(f, ":")
		d := score.Tick(4)
		if length != "" {
			d = 4 * score.Tick(length[0]-'0')
		}
		if text != "-" {
			n, ok := tonal.ParseNumeral(text, k)
			if !ok {
				t.Fatalf("numeral %q", text)
			}
			ch := tonal.Spell(n, k)
			ch.Start, ch.End, ch.Confidence = at, at+d, 1
			chords = append(chords, ch)
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
	return s, chords
}

// fourVoices sets a chord: bass near C3, soprano near C5, inner voices between.
func fourVoices(c tonal.Chord, soprano score.Class) []score.Note {
	inner := append([]score.Class{}, c.Tones[1], c.Tones[len(c.Tones)-1])
	pitches := []score.Pitch{tonal.PitchNear(c.Bass, 48), tonal.PitchNear(inner[0], 57), tonal.PitchNear(inner[1], 62), tonal.PitchNear(soprano, 72)}
	var out []score.Note
	for i, p := range pitches {
		out = append(out, score.Note{
			Onset: c.Start, Duration: c.End - c.Start, Staff: 2 - i/2, Voice: 4 - i, Pitch: p,
		})
	}
	return out
}

// A Formula is one cadence in both modes, with the name it has.
type Formula struct {
	Name         string
	Major, Minor Chorale
	Want         string // a phrasing.CadenceKind
}

// In is the formula in the key's mode and what it is called there: the step down to the
// dominant is Phrygian in minor alone.
func (f Formula) In(k tonal.Key) (Chorale, string) {
	switch {
	case k.Minor:
		return f.Minor, f.Want
	case f.Want == "Phrygian half":
		return f.Major, "half"
	}
	return f.Major, f.Want
}

// Formulas are the cadences of the textbooks: Gotham et al., Open Music Theory, 2nd ed.
// (2021), chapters on cadences and on strengthening endings with the cadential
// six-four; Phrygian and plagal forms: common practice, no source. Inverted
// authentic cadences count as imperfect here, the wider of two usages. The chromatic
// bass, the dominant's dominant and the evaded form: Caplin, Classical Form (1998),
// on deceptive and evaded cadences, from memory.
func Formulas() []Formula {
	return []Formula{
		{"V7-I, tonic on top", Chorale{"I ii6 V7:2 I:4", "3 2 7 1"}, Chorale{"i iiø65 V7:2 i:4", "3 2 7 1"}, "perfect authentic"},
		{"V-I, tonic on top", Chorale{"I IV V:2 I:4", "3 4 2 1"}, Chorale{"i iv V:2 i:4", "3 4 2 1"}, "perfect authentic"},
		{"Cad64-V7-I", Chorale{"I ii6 Cad64 V7 I:4", "3 4 3 2 1"}, Chorale{"i ii°6 Cad64 V7 i:4", "3 4 3 2 1"}, "perfect authentic"},
		{"tonic with a raised third", Chorale{"I IV V7:2 I:4", "1 1 7 1"}, Chorale{"i iv V7:2 I:4", "1 1 7 1"}, "perfect authentic"},
		{"V-I, third on top", Chorale{"I ii6 V:2 I:4", "1 2 2 3"}, Chorale{"i ii°6 V:2 i:4", "1 2 2 3"}, "imperfect authentic"},
		{"V-I, fifth on top", Chorale{"I ii6 V:2 I:4", "5 4 5 5"}, Chorale{"i ii°6 V:2 i:4", "5 4 5 5"}, "imperfect authentic"},
		{"V65-I", Chorale{"I ii V65:2 I:4", "3 2 2 1"}, Chorale{"i iv V65:2 i:4", "3 4 2 1"}, "imperfect authentic"},
		{"vii°6-I", Chorale{"I IV vii°6:2 I:4", "1 1 7 1"}, Chorale{"i iv vii°6:2 i:4", "1 1 7 1"}, "imperfect authentic"},
		{"half", Chorale{"I:2 IV:2 V:4", "3 1 7"}, Chorale{"i:2 iv:2 V:4", "3 1 7"}, "half"},
		{"half with six-four", Chorale{"I IV Cad64:2 V:4", "3 1 1 7"}, Chorale{"i iv Cad64:2 V:4", "3 1 1 7"}, "half"},
		{"half by the dominant's dominant", Chorale{"I:2 V7/V:2 V:4", "1 1 7"}, Chorale{"i:2 V7/V:2 V:4", "1 1 7"}, "half"},
		{"deceptive", Chorale{"I IV V7:2 vi:4", "3 1 7 1"}, Chorale{"i iv V7:2 VI:4", "3 1 7 1"}, "deceptive"},
		{"deceptive to IV6", Chorale{"I ii6 V7:2 IV6:4", "3 2 7 1"}, Chorale{"i iiø65 V7:2 iv6:4", "3 2 7 1"}, "deceptive"},
		{"deceptive by chromatic bass", Chorale{"I IV V7 vii°7/vi vi:4", "3 1 2 2 1"}, Chorale{"i iv V7:2 VI:4", "3 1 2 1"}, "deceptive"},
		{"deceptive to the dominant's dominant", Chorale{"I ii6 Cad64 V7 V43/V:4", "3 2 1 7 1"}, Chorale{"i iiø65 Cad64 V7 V43/V:4", "3 2 1 7 1"}, "deceptive"},
		{"evaded", Chorale{"I ii6 Cad64 V7 I6:4", "3 2 1 2 5"}, Chorale{"i iiø65 Cad64 V7 i6:4", "3 2 1 2 5"}, "evaded"},
		{"plagal", Chorale{"I:2 vi:2 IV:2 IV:2 I:4", "3 1 1 1 1"}, Chorale{"i:2 VI:2 iv:2 iv:2 i:4", "3 1 1 1 1"}, "plagal"},
		{"Phrygian", Chorale{"I:2 IV:2 V:4", "3 1 7"}, Chorale{"i:2 iv6:2 V:4", "3 4 5"}, "Phrygian half"},
	}
}
