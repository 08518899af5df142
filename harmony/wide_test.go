package harmony_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/stated"
	"hairpin/harmony/tension"
	"hairpin/harmony/tonal"
	"hairpin/internal/golden"
	"hairpin/score"
	"hairpin/tools/scoregen"
)

// All that is heard in medleys: chords, keys, closes, phrases, form, tension, the
// long line, what each moment is explained by. They are written anew
// with HAIRPIN_UPDATE=1 go test ./harmony -run Golden.
func TestGoldenMedleys(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(150) {
		s := scoregen.Medley(3+int(seed%3), seed)
		for way, opt := range ways(s, seed) {
			heard(t, &sums, fmt.Sprintf("medley %d %s", seed, way), s, opt)
		}
	}
	sums.File(t, "medleys.tsv")
}

// The same of hymns, which close on fermatas.
func TestGoldenHymns(t *testing.T) {
	var sums golden.Sums
	for seed := range uint64(60) {
		s := scoregen.Chorale(5+int(seed%4), seed)
		heard(t, &sums, fmt.Sprint("hymn ", seed), s, harmony.Options{})
		a, err := harmony.Analyse(s, harmony.Options{})
		if err != nil {
			t.Fatal(err)
		}
		sums.Add(t, fmt.Sprint("hymn ", seed, " signs"), phrasing.Closings(s, 0, a.Chords, a.Phrases, phrasing.WeightsFor(s)))
	}
	sums.File(t, "hymns.tsv")
}

// ways are the options to hear a medley with: most are heard but once.
func ways(s *score.Score, seed uint64) map[string]harmony.Options {
	home := tonal.KeyAt(int(seed)%12, seed%2 == 0)
	switch {
	case seed%5 == 1:
		return map[string]harmony.Options{"by its symbols": {Symbols: true}}
	case seed%5 == 2:
		return map[string]harmony.Options{"last part": {Part: len(s.Parts), IgnoreSigns: true}}
	case seed%5 == 3:
		return map[string]harmony.Options{"from a home": {Home: &home}}
	case seed%10 == 4:
		return map[string]harmony.Options{"corrected": {Corrections: corrections(s, seed), Weights: &tension.Weights{Dissonance: 0.5, Distance: 1.5, Pull: 0.25 * float64(seed%7)}}}
	}
	return map[string]harmony.Options{"": {}}
}

// corrections are other readings of some measures: of the key, the chord, both, some
// of them from inside a chord.
func corrections(s *score.Score, seed uint64) (out []stated.Correction) {
	rnd := rand.New(rand.NewPCG(seed, 5))
	for _, m := range s.Measures {
		if rnd.IntN(3) > 0 {
			continue
		}
		c := stated.Correction{At: m.Start + score.Tick(rnd.IntN(2))*m.Beat(s.Division)}
		key := tonal.KeyAt(rnd.IntN(12), rnd.IntN(2) == 0)
		numerals := []string{"I", "ii65", "V7/V", "Cad64", "viio7", "bII6", "Ger65", "V2", "vi", "iv", "V43/ii", "i6"}
		n, ok := tonal.ParseNumeral(numerals[rnd.IntN(len(numerals))], key)
		if with := rnd.IntN(3); with != 0 || !ok {
			c.Key = &key
		} else {
			c.Numeral = &n
		}
		if ok && rnd.IntN(2) == 0 {
			c.Numeral = &n
		}
		out = append(out, c)
	}
	return out
}

func heard(t *testing.T, sums *golden.Sums, name string, s *score.Score, opt harmony.Options) {
	a, err := harmony.Analyse(s, opt)
	if err != nil {
		sums.Add(t, name+" error", err)
		return
	}
	sums.Add(t, name+" home", [][]any{{a.Home, a.HomeConfidence, a.Weights}})
	sums.Add(t, name+" slices", a.Slices)
	sums.Add(t, name+" chords", a.Chords)
	sums.Add(t, name+" keys", a.Keys)
	sums.Add(t, name+" cadences", a.Cadences)
	sums.Add(t, name+" phrases", a.Phrases)
	sums.Add(t, name+" form", a.Form)
	sums.Add(t, name+" tree", a.Tree)
	sums.Add(t, name+" arcs", [][]any{{a.PhraseArcs}, {a.SectionArcs}})
	sums.Add(t, name+" moments", a.Moments)
	sums.Add(t, name+" expectations", a.Expectations)
	sums.Add(t, name+" caution", a.Caution)
	var why, long [][]any
	for _, m := range a.Moments {
		line, words := a.ExplainLong(s, m.Start)
		why, long = append(why, []any{a.Explain(s, m.Start)}), append(long, []any{line, words})
	}
	sums.Add(t, name+" explained", why)
	sums.Add(t, name+" long line", long)
}
