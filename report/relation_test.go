package report

import (
	"testing"

	"hairpin/dynamics/page"
	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/report/internal/demo"
	"hairpin/score"
)

func spelledChord(t *testing.T, key, roman string) *tonal.Chord {
	t.Helper()
	k, ok := tonal.ParseKey(key)
	if !ok {
		t.Fatal(key)
	}
	n, ok := tonal.ParseNumeral(roman, k)
	if !ok {
		t.Fatal(roman)
	}
	c := tonal.Spell(n, k)
	return &c
}

// Functions as harmony books have them (Open Music Theory: tonic, predominant, dominant,
// applied and borrowed chords; augmented sixths and the Neapolitan by their names).
func TestRelationIsAFunction(t *testing.T) {
	for _, c := range []struct{ key, roman, next, want string }{
		{"C", "V7", "I", "V7 is the dominant and asks for the tonic"},
		{"c", "vii°6", "i", "vii°6 is the leading-tone chord and asks for the tonic"},
		{"C", "ii65", "V7", "ii65 is a subdominant chord and prepares the dominant"},
		{"C", "IV", "I", "IV is a subdominant chord, away from the tonic"},
		{"C", "V65/V", "V", "V65/V is the dominant of V, with F# from outside of C major"},
		{"C", "vii°7/vi", "vi", "vii°7/vi is the leading-tone chord of vi, with G# from outside of C major"},
		{"C", "iv", "V", "iv brings Ab from outside of C major"},
		{"c", "bII6", "V", "the Neapolitan, bII6, brings Db from outside of C minor"},
		{"C", "vi", "ii", "vi shares two tones with the tonic, and stands on another root"},
		{"c", "VII", "III", "VII shares no tone with the tonic, and stands on another root"},
		{"a", "VImaj7", "ii", "VImaj7 holds the tones of the tonic over another root"},
		{"c", "Ger65", "V", "the augmented (German) sixth on Ab presses outward to the dominant"},
		{"C", "Cad64", "V", "the cadential six-four holds back the dominant"},
		{"C", "I6", "IV", "I6 is the tonic, but its third is in the bass"},
		{"c", "v6", "iv6", "v6 is the minor dominant, without the leading tone"},
	} {
		if got := relation(spelledChord(t, c.key, c.roman), spelledChord(t, c.key, c.next)); got != c.want {
			t.Errorf("%s in %s: %q, want %q", c.roman, c.key, got, c.want)
		}
	}
}

// Keys on the circle of fifths, counted by their signatures: common practice, no source.
func TestKeyRelation(t *testing.T) {
	for _, c := range []struct {
		key, home, want string
		far             bool
	}{
		{"A", "D", "the key of the dominant of D major", false},
		{"f", "c", "the key of the subdominant of C minor", false},
		{"Eb", "c", "the relative major of C minor", false},
		{"e", "E", "the minor key on the same tonic", false},
		{"e", "C", "a key away from C major on the circle of fifths", false},
		{"D", "C", "two keys away from C major on the circle of fifths", false},
		{"Eb", "D", "five keys away from D major on the circle of fifths", true},
		{"F#", "C", "six keys away from C major on the circle of fifths", true},
		{"Db", "F#", "a key away from F# major on the circle of fifths", false},
	} {
		k, _ := tonal.ParseKey(c.key)
		home, _ := tonal.ParseKey(c.home)
		if got := keyRelation(k, home); got != c.want {
			t.Errorf("%s from %s: %q, want %q", c.key, c.home, got, c.want)
		}
		if isFar(k, home) != c.far {
			t.Errorf("%s from %s: far is not %v", c.key, c.home, c.far)
		}
	}
}

// No level is named that no score prints.
func TestShadesAreMarks(t *testing.T) {
	for level, want := range map[float64]string{page.MP: "mp", page.MP - 0.4: "p–mp", page.P + 0.3: "p–mp", page.P + 0.2: "p", 8.4: "fff–ffff", 9.2: "ffff", 0: "niente"} {
		if got := Shade(level); got != want {
			t.Errorf("%g: %s, want %s", level, got, want)
		}
	}
}

func TestMomentsAreCounted(t *testing.T) {
	for at, want := range map[score.Position]string{{Number: "12", Beat: 3}: "at 12:3", {Number: "37", Beat: 2.75}: "after 37:2", {Number: "0", Beat: 2.5}: "after 0:2"} {
		if got := at.Counted("at "); got != want {
			t.Errorf("%s: %s, want %s", at, got, want)
		}
	}
	if got := since(score.Position{Number: "9", Beat: 2.5}); got != "shortly after 9:2" {
		t.Error(got)
	}
}

// A close on the sixth degree inside a key is named by both: the strip stays in C.
func TestCadenceNamesItsDegree(t *testing.T) {
	home, _ := tonal.ParseKey("C")
	for key, want := range map[string]string{"C": "in C major", "c": "in C minor", "a": "on A minor, vi of C major", "G": "on G major, V of C major", "Db": "on Db major, bII of C major"} {
		k, _ := tonal.ParseKey(key)
		r := &Reading{Score: &score.Score{Division: 1}}
		r.Harmony = &harmony.Analysis{Chords: []tonal.Chord{{End: 1, Key: home}}}
		if got := r.closesIn(phrasing.Cadence{Key: k}); got != want {
			t.Errorf("%s: %q, want %q", key, got, want)
		}
	}
}

func TestSecondEndingHasAName(t *testing.T) {
	s := &score.Score{Division: 1, Measures: []score.Measure{{Number: "76", Length: 4}, {Number: "77", Start: 4, Length: 4}, {Number: "X1", Start: 8, Length: 4}, {Number: "X2", Start: 12, Length: 4}},
		Endings: []score.Ending{{First: 1, Last: 1, Numbers: []int{1}}, {First: 2, Last: 2, Numbers: []int{2}}}}
	r := &Reading{Score: s}
	if got := r.Span(8, 12); got != "m. 77b" {
		t.Error(got)
	}
	if got := r.Span(12, 16); got != "m. X2" {
		t.Error(got)
	}
	if from, to, err := window(s, "77b"); err != nil || from != 8 || to != 12 {
		t.Error(from, to, err)
	}
}

// The sentence about a moment and the figures below it tell one thing: nothing rubs where
// the figures list no clash, and the most tense place is in what is shown.
func TestSentenceAgreesWithFigures(t *testing.T) {
	for _, name := range []string{"etude-millrace", "vibraphone-low-water"} {
		r, err := New(demo.Score(t, name), Options{})
		if err != nil {
			t.Fatal(err)
		}
		e := r.Explainer()
		for _, m := range r.Harmony.Moments {
			x := e.explain(m.Start)
			if len(x.Clashes)+len(x.Foreign) == 0 && x.clashClause() != "" {
				t.Errorf("%s %s: %s", name, x.At, x.clashClause())
			}
		}
		part, err := r.Only("9-12")
		if err != nil {
			t.Fatal(err)
		}
		if at, ok := part.Tensest(); !ok || at < part.From || at >= part.To {
			t.Errorf("%s: the most tense place %s is not shown", name, r.At(at))
		}
	}
}
