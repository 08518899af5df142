package report

import (
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	chorale "hairpin/harmony/written"
)

// A row names a cadence, with a question mark if it is unsure; without one it says how the
// phrase ends, and nothing where that is not known: silence is no claim. Our own.
func TestEndOfARow(t *testing.T) {
	for _, c := range []struct {
		name   string
		phrase phrasing.Phrase
		want   string
	}{
		{"sure", phrasing.Phrase{Close: tonal.Sure.Least()}, "half cadence in C major"},
		{"likely", phrasing.Phrase{Close: tonal.Likely.Least()}, "half cadence in C major"},
		{"unsure", phrasing.Phrase{Close: tonal.Likely.Least() - 0.1, Confidence: 1}, "half cadence in C major?"},
		{"on the dominant", phrasing.Phrase{Cadence: -1, Open: phrasing.OnDominant}, "on the dominant of C major"},
		{"runs on", phrasing.Phrase{Cadence: -1, Open: phrasing.RunsOn}, "runs on into m. 5"},
		{"not known", phrasing.Phrase{Cadence: -1}, "–"},
	} {
		s, chords := chorale.Chorale{Chords: "I:4 ii6:4 Cad64:4 V7:4 I:4", Soprano: "3 2 1 7 1"}.Write(t, tonal.Key{})
		c.phrase.End = chords[4].Start
		r := &Reading{Score: s, To: s.Length(), Harmony: &harmony.Analysis{Chords: chords, Phrases: []phrasing.Phrase{c.phrase},
			Cadences: []phrasing.Cadence{{At: chords[3].Start, Chord: 3, Kind: phrasing.Half}}}}
		p := studyPhrase{Ends: r.ending(c.phrase), Certainty: r.EndCertainty(c.phrase).String(), closed: c.phrase.Cadence >= 0}
		d := studyData{Phrases: []studyPhrase{p}}
		if got := d.phraseGrids()[0].rows[0][3]; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
