package harmony

import (
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// allKeys are 24 keys, one a pitch class and mode.
func allKeys() []tonal.Key {
	var out []tonal.Key
	for c := score.Class(-5); c <= 6; c++ {
		out = append(out, tonal.Key{Tonic: c, Minor: false}, tonal.Key{Tonic: c + 3, Minor: true})
	}
	return out
}

// chorale is a chord progression in four voices: numerals with their durations
// in quarters, and the scale degrees of the soprano.
type chorale struct {
	chords  string // "I:2 V7:2 I:4"; a hyphen for the numeral is a rest
	soprano string // "3 2 1"
}

// write builds the score in 4/4 and the chords an expert would hear in it.
func (c chorale) write(t *testing.T, k tonal.Key) (*score.Score, []tonal.Chord) {
	t.Helper()
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Name: "Choir", Staves: 2}}}
	var chords []tonal.Chord
	at := score.Tick(0)
	top := strings.Fields(c.soprano)
	for i, f := range strings.Fields(c.chords) {
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

// The formulas of the textbooks: Gotham et al., Open Music Theory, 2nd ed.
// (2021), chapters on cadences and on strengthening endings with the cadential
// six-four; Phrygian and plagal forms: common practice, no source. Inverted
// authentic cadences count as imperfect here, the wider of two usages. The chromatic
// bass, the dominant's dominant and the evaded form: Caplin, Classical Form (1998),
// on deceptive and evaded cadences, from memory.
var formulas = []struct {
	name         string
	major, minor chorale
	want         phrasing.CadenceKind
}{
	{"V7-I, tonic on top", chorale{"I ii6 V7:2 I:4", "3 2 7 1"}, chorale{"i iiø65 V7:2 i:4", "3 2 7 1"}, phrasing.PerfectAuthentic},
	{"V-I, tonic on top", chorale{"I IV V:2 I:4", "3 4 2 1"}, chorale{"i iv V:2 i:4", "3 4 2 1"}, phrasing.PerfectAuthentic},
	{"Cad64-V7-I", chorale{"I ii6 Cad64 V7 I:4", "3 4 3 2 1"}, chorale{"i ii°6 Cad64 V7 i:4", "3 4 3 2 1"}, phrasing.PerfectAuthentic},
	{"tonic with a raised third", chorale{"I IV V7:2 I:4", "1 1 7 1"}, chorale{"i iv V7:2 I:4", "1 1 7 1"}, phrasing.PerfectAuthentic},
	{"V-I, third on top", chorale{"I ii6 V:2 I:4", "1 2 2 3"}, chorale{"i ii°6 V:2 i:4", "1 2 2 3"}, phrasing.ImperfectAuthentic},
	{"V-I, fifth on top", chorale{"I ii6 V:2 I:4", "5 4 5 5"}, chorale{"i ii°6 V:2 i:4", "5 4 5 5"}, phrasing.ImperfectAuthentic},
	{"V65-I", chorale{"I ii V65:2 I:4", "3 2 2 1"}, chorale{"i iv V65:2 i:4", "3 4 2 1"}, phrasing.ImperfectAuthentic},
	{"vii°6-I", chorale{"I IV vii°6:2 I:4", "1 1 7 1"}, chorale{"i iv vii°6:2 i:4", "1 1 7 1"}, phrasing.ImperfectAuthentic},
	{"half", chorale{"I:2 IV:2 V:4", "3 1 7"}, chorale{"i:2 iv:2 V:4", "3 1 7"}, phrasing.Half},
	{"half with six-four", chorale{"I IV Cad64:2 V:4", "3 1 1 7"}, chorale{"i iv Cad64:2 V:4", "3 1 1 7"}, phrasing.Half},
	{"half by the dominant's dominant", chorale{"I:2 V7/V:2 V:4", "1 1 7"}, chorale{"i:2 V7/V:2 V:4", "1 1 7"}, phrasing.Half},
	{"deceptive", chorale{"I IV V7:2 vi:4", "3 1 7 1"}, chorale{"i iv V7:2 VI:4", "3 1 7 1"}, phrasing.Deceptive},
	{"deceptive to IV6", chorale{"I ii6 V7:2 IV6:4", "3 2 7 1"}, chorale{"i iiø65 V7:2 iv6:4", "3 2 7 1"}, phrasing.Deceptive},
	{"deceptive by chromatic bass", chorale{"I IV V7 vii°7/vi vi:4", "3 1 2 2 1"}, chorale{"i iv V7:2 VI:4", "3 1 2 1"}, phrasing.Deceptive},
	{"deceptive to the dominant's dominant", chorale{"I ii6 Cad64 V7 V43/V:4", "3 2 1 7 1"}, chorale{"i iiø65 Cad64 V7 V43/V:4", "3 2 1 7 1"}, phrasing.Deceptive},
	{"evaded", chorale{"I ii6 Cad64 V7 I6:4", "3 2 1 2 5"}, chorale{"i iiø65 Cad64 V7 i6:4", "3 2 1 2 5"}, phrasing.Evaded},
	{"plagal", chorale{"I:2 vi:2 IV:2 IV:2 I:4", "3 1 1 1 1"}, chorale{"i:2 VI:2 iv:2 iv:2 i:4", "3 1 1 1 1"}, phrasing.Plagal},
	{"Phrygian", chorale{"I:2 IV:2 V:4", "3 1 7"}, chorale{"i:2 iv6:2 V:4", "3 4 5"}, phrasing.Phrygian},
}
