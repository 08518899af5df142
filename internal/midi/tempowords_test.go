package midi

import (
	"math"
	"testing"

	"hairpin/score"
)

// The figures are those stated in tempowords.go: moderate ones of our own.
func TestReadTempoWords(t *testing.T) {
	for text, want := range map[string]tempoChange{
		"rit.": {to: 0.75}, "ritardando": {to: 0.75}, "poco rit.": {to: 0.875}, "molto rall.": {to: 0.65},
		"dim. e rallentando": {to: 0.75}, "poco a poco riten.": {to: 0.85, sudden: true}, "accel.": {to: 1.2},
		"cresc. ed poco accelerando": {to: 1.1}, "a tempo": {to: 1, back: true}, "Tempo I": {to: 1, back: true, first: true},
		"Più mosso": {to: 1.15, sudden: true, lasting: true}, "a tempo, poco rit.": {to: 0.875, back: true},
		"etwas zurückhaltend": {to: 0.875}, "calando": {to: 0.87}, "stringendo": {to: 1.2},
	} {
		got, ok := readTempoWords(text)
		if math.Abs(got.to-want.to) > 1e-9 {
			t.Errorf("%s: factor %v, want %v", text, got.to, want.to)
		}
		if got.to = want.to; !ok || got != want {
			t.Errorf("%s: %+v, want %+v", text, got, want)
		}
	}
	for _, text := range []string{"", "dolce", "senza rit.", "non rallentare", "spirito", "Allegro", "strings", "tempo di valse", "a tempo rubato", "criterion"} {
		if got, ok := readTempoWords(text); ok {
			t.Errorf("%q: %+v", text, got)
		}
	}
}

// worded is a score with words at quarters, twelve ticks each.
func worded(measures int, words map[score.Tick]string) *score.Score {
	s := line(measures, quarterNote(0, 0))
	s.Tempos = []score.Tempo{{PerMin: 100, Printed: true}}
	for q := range score.Tick(4 * measures) {
		if text := words[q]; text != "" {
			s.Words = append(s.Words, score.Words{Place: score.Place{At: 12 * q}, Text: text})
		}
	}
	return s
}

// tempoIn is the tempo in force at a quarter.
func tempoIn(f *Performance, quarter float64) (now float64) {
	for _, t := range f.Tempos {
		if float64(t.At) <= quarter*float64(f.Quarter)+0.5 {
			now = t.PerMin
		}
	}
	return now
}

func TestTempoFollowsWords(t *testing.T) {
	for _, tt := range []struct {
		name     string
		measures int
		words    map[score.Tick]string
		want     map[float64]float64 // by quarter; a step's tempo is that of its middle
	}{
		{"down and back", 4, map[score.Tick]string{4: "rit.", 8: "a tempo"},
			map[float64]float64{3.5: 100, 4: 100 - 25./16, 6: 100 - 25*9./16, 7.5: 75 + 25./16, 8: 100, 12: 100}},
		{"nothing ends it", 6, map[score.Tick]string{4: "rit."}, map[float64]float64{4: 100 - 25./32, 11.5: 75 + 25./32, 12: 100}},
		{"to the end", 2, map[score.Tick]string{4: "rit."}, map[float64]float64{4: 100 - 25./16, 7.5: 75 + 25./16}},
		{"one after the other", 6, map[score.Tick]string{0: "rit.", 4: "accel.", 8: "a tempo"},
			map[float64]float64{3.5: 75 + 25./16, 4: 75 + 15./16, 7.5: 90 - 15./16, 8: 100}},
		{"at once", 4, map[score.Tick]string{4: "ritenuto", 6: "a tempo"}, map[float64]float64{4: 85, 5.5: 85, 6: 100}},
		{"for good", 4, map[score.Tick]string{2: "più mosso", 4: "rit.", 6: "a tempo", 8: "Tempo I"},
			map[float64]float64{2: 115, 6: 115, 7.5: 115, 8: 100, 12: 100}},
	} {
		f := Perform(worded(tt.measures, tt.words), flat(5))
		for q, want := range tt.want {
			if got := tempoIn(f, q); math.Abs(got-want) > 0.01 {
				t.Errorf("%s: %.3f at quarter %g, want %.3f", tt.name, got, q, want)
			}
		}
	}
}

// Where the page says the tempo itself, words do not change it again; dashes and
// double bar lines end a change.
func TestTempoOfThePageBeforeWords(t *testing.T) {
	s := worded(6, map[score.Tick]string{4: "rit.", 12: "rall."})
	s.Tempos = append(s.Tempos, score.Tempo{At: 48, PerMin: 60}, score.Tempo{At: 72, PerMin: 90})
	s.DoubleBar = []score.Tick{192}
	f := Perform(s, flat(5))
	for q, want := range map[float64]float64{4: 60, 5.5: 60, 6: 90, 11.5: 90, 12: 90 * (1 - 0.25/16), 15.5: 90 * (0.75 + 0.25/16), 16: 90} {
		if got := tempoIn(f, q); math.Abs(got-want) > 0.01 {
			t.Errorf("double bar: %.3f at quarter %g, want %.3f", got, q, want)
		}
	}
	s = worded(6, map[score.Tick]string{4: "rit."})
	s.Dashes = []score.Dashes{{Span: score.Span{Start: 48, End: 72}}}
	if f = Perform(s, flat(5)); math.Abs(tempoIn(f, 6)-100) > 0.01 || tempoIn(f, 5.5) > 82 {
		t.Errorf("dashes: %v", f.Tempos)
	}
}

// Names of tempos are whole words: a rallentando is not lent.
func TestTempoNamed(t *testing.T) {
	for text, want := range map[string]float64{"Allegro moderato": 132, "Lent": 54, "rallentando": 0, "ben legato": 0, "(Langsam.)": 56} {
		if got, _ := tempoNamed(text); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}
