package harmony

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/musicxml"
	"hairpin/score"
)

// The formulas as scores of four voices; what is read in them must be the
// numerals they were written from. Common practice, no source; the same
// formulas as cadences: TestCadenceFormulas.
var progressions = []struct {
	name         string
	major, minor string
	last         phrasing.CadenceKind // "" where the formula is not about its cadence
}{
	{"ii6-V7-I", "I vi ii6 V7 I", "i VI ii°6 V7 i", phrasing.PerfectAuthentic},
	{"IV-V-I", "I vi IV V I", "i VI iv V i", phrasing.PerfectAuthentic},
	{"half", "I V6 I IV V", "i V6 i iv V", phrasing.Half},
	{"deceptive", "I IV I6 V7 vi", "i iv i6 V7 VI", phrasing.Deceptive},
	{"plagal", "I V6 I IV I", "i V6 i iv i", phrasing.Plagal},
	{"Phrygian", "", "i V6 i iv6 V", phrasing.Phrygian},
	{"six-four over a held tonic", "I V6 I IV64 I V7 I", "i V6 i iv64 i V7 i", phrasing.PerfectAuthentic},
	{"cadential six-four", "I ii6 Cad64 V7 I", "i ii°6 Cad64 V7 i", phrasing.PerfectAuthentic},
	{"Picardy third", "", "i V6 i iv V7 i iv V7 I", phrasing.PerfectAuthentic},
	{"German sixth", "I V65 I Ger65 Cad64 V7 I", "i V65 i Ger65 Cad64 V7 i", ""},
	{"its sound as the Neapolitan's dominant", "", "i V65 i V7/bII bII6 V7 i", ""},
	{"diminished seventh on the leading tone", "I vii°7 I ii6 V7 I", "i vii°7 i ii°6 V7 i", ""},
	{"its first inversion", "I vii°65 I6 ii6 V7 I", "i vii°65 i6 ii°6 V7 i", ""},
	{"its second inversion", "I vii°43 I6 ii6 V7 I", "i vii°43 i6 ii°6 V7 i", ""},
	{"its third inversion", "I vii°42 V7 I", "i vii°42 V7 i", ""},
	{"diminished seventh of the dominant", "I IV vii°7/V V V7 I", "i iv vii°7/V V V7 i", ""},
	{"diminished seventh of the fourth degree", "", "i V6 vii°7/iv iv V7 i", ""},
	{"diminished seventh of the second degree", "I vi vii°7/ii ii V7 I", "", ""},
	{"its first inversion", "I V6 I vii°65/ii ii6 V7 I", "", ""},
	{"diminished seventh of the third degree", "I V7 I vii°7/iii iii IV V7 I", "", ""},
	{"diminished seventh of the sixth degree", "I IV I6 vii°7/vi vi ii6 V7 I", "", ""},
	{"borrowed six-four over a held tonic", "I iv64 I V7 I", "", ""},
	{"applied dominants", "I V7/ii ii V7 I", "i V7/V V V7 i", ""},
	{"no keys of their own", "I V65/vi vi ii6 V7 I", "i V7/III III iv V7 i", ""},
}

// setOut writes numerals of two quarters, the last of four: the bass, the tones
// above it in close position, and on top a tone doubled.
func setOut(t *testing.T, k tonal.Key, romans string, top func(tonal.Numeral, tonal.Key) score.Class) *score.Score {
	t.Helper()
	s := &score.Score{Division: 4, Parts: []score.Part{{ID: "P1", Name: "Choir", Staves: 2}}, Keys: []score.KeyMark{{Fifths: k.Fifths()}}}
	list := strings.Fields(romans)
	at := score.Tick(0)
	for i, text := range list {
		n, ok := tonal.ParseNumeral(text, k)
		if !ok {
			t.Fatalf("numeral %q", text)
		}
		d := score.Tick(8)
		if i == len(list)-1 {
			d = 16
		}
		add := func(p score.Pitch, staff, voice int) {
			s.Notes = append(s.Notes, score.Note{Onset: at, Duration: d, Staff: staff, Voice: voice, Pitch: p})
		}
		add(tonal.PitchNear(n.Bass(k), 48), 2, 9)
		upper := slices.DeleteFunc(n.Tones(k), func(c score.Class) bool { return len(n.Tones(k)) > 3 && c == n.Bass(k) })
		for j, c := range upper {
			add(tonal.PitchNear(c, 62), 1, 2+j)
		}
		add(tonal.PitchNear(top(n, k), 74), 1, 1)
		at += d
	}
	s.Times = []score.TimeMark{{Text: "4/4", Beats: 4, Unit: 4}}
	bar(s, at)
	return s
}

// bar divides a score into measures of four quarters, up to its end.
func bar(s *score.Score, end score.Tick) {
	s.Measures = nil
	for m := score.Tick(0); m < end; m += 16 {
		s.Measures = append(s.Measures, score.Measure{Number: string(rune('1' + m/16)), Start: m, Length: 16, Nominal: 16, Beats: 4, BeatUnit: 4})
	}
	for i := range s.Notes {
		s.Notes[i].Measure = s.MeasureAt(s.Notes[i].Onset)
	}
}

// root doubles the root of every chord.
func root(n tonal.Numeral, k tonal.Key) score.Class { return n.Tones(k)[0] }

// textbook doubles the root of the tonic and the preparations, the third of all
// others, as textbooks double the third of the sixth degree after a dominant.
func textbook(n tonal.Numeral, k tonal.Key) score.Class {
	tones := n.Tones(k)
	if n.Target == 0 && !n.Quality.AugmentedSixth() && n.Degree != 5 && n.Degree != 6 && n.Degree != 7 {
		return tones[0]
	}
	return tones[1]
}

// numerals lists the readings, and the keys where they change.
func (a *Analysis) numerals() (romans, keys string) {
	var r, in []string
	for _, c := range a.Chords {
		r, in = append(r, c.Roman()), append(in, c.Key.String())
	}
	return strings.Join(r, " "), strings.Join(slices.Compact(in), " ")
}

func TestDecoderReadsFormulas(t *testing.T) {
	for _, f := range progressions {
		for _, k := range written.Keys() {
			want := written.Pick(k, f.major, f.minor)
			if want == "" {
				continue
			}
			s := setOut(t, k, want, textbook)
			a, err := Analyse(s, Options{})
			if err != nil {
				t.Fatal(err)
			}
			romans, keys := a.numerals()
			if romans != want || keys != k.String() || a.Home != k {
				t.Errorf("%s in %s: read %s in %s, home %s, want %s", f.name, k.Name(), romans, keys, a.Home, want)
			}
			if n := len(a.Cadences); f.last != "" && (n == 0 || a.Cadences[n-1].Kind != f.last) {
				t.Errorf("%s in %s: cadences %+v, want %s at the end", f.name, k.Name(), a.Cadences, f.last)
			}
			if a, err = Analyse(setOut(t, k, want, root), Options{}); err != nil {
				t.Fatal(err)
			}
			if romans, keys := a.numerals(); romans != want || keys != k.String() {
				t.Errorf("%s in %s with roots on top: read %s in %s, want %s", f.name, k.Name(), romans, keys, want)
			}
		}
	}
}

// A demo sounds the same in every key: its numerals and cadences stay, its keys move along.
func TestDecoderTransposes(t *testing.T) {
	for _, name := range []string{"quartet-below-the-weir", "song-ferry-lamp"} {
		path := "../testdata/" + name + ".musicxml"
		want := transposed(t, path, 0)
		for fifths := score.Class(-5); fifths <= 6; fifths++ {
			if got := transposed(t, path, fifths); !slices.Equal(got, want) {
				for i := range want {
					if i >= len(got) || got[i] != want[i] {
						t.Errorf("%s by %d fifths: %d readings against %d; no. %d is %q, was %q", name, fifths, len(got), len(want), i, got[min(i, len(got)-1)], want[i])
						break
					}
				}
			}
		}
	}
}

// transposed hears a score some fifths away, and lists the chords: start,
// key without the transposition, numeral; then the home key and the cadences.
func transposed(t *testing.T, path string, fifths score.Class) []string {
	t.Helper()
	f, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	s := f.Score
	up := (fifths + 12).PC()
	if up > 6 {
		up -= 12
	}
	for i := range s.Notes {
		n := &s.Notes[i]
		if n.Pitched() {
			n.Pitch = tonal.PitchNear(n.Pitch.Class()+fifths, n.Pitch.Key()+up)
		}
	}
	for i := range s.Keys {
		s.Keys[i].Fifths += int(fifths)
	}
	a, err := Analyse(s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	home := tonal.Key{Tonic: a.Home.Tonic - fifths, Minor: a.Home.Minor}
	out := []string{fmt.Sprint("home ", home.Tonic.PC(), home.Minor)}
	for _, c := range a.Chords {
		k := tonal.Key{Tonic: c.Key.Tonic - fifths, Minor: c.Key.Minor}
		if k.Tonic.PC() == c.Key.Tonic.PC() && fifths != 0 {
			t.Fatal("not transposed")
		}
		out = append(out, fmt.Sprintf("%d pc%d %v %s", c.Start, k.Tonic.PC(), k.Minor, c.Roman()))
	}
	for _, c := range a.Cadences {
		out = append(out, fmt.Sprintf("%d %s", c.At, c.Kind))
	}
	return out
}
