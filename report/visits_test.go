package report

import (
	"strconv"
	"testing"

	"hairpin/harmony"
	"hairpin/harmony/events"
	"hairpin/harmony/form"
	"hairpin/harmony/phrasing"
	"hairpin/harmony/tonal"
	"hairpin/score"
)

// empty is so many measures of four ticks, in C.
func empty(measures int) *Reading {
	s := &score.Score{Division: 1}
	for i := range measures {
		s.Measures = append(s.Measures, score.Measure{Number: strconv.Itoa(i + 1), Start: score.Tick(4 * i), Length: 4, Nominal: 4, Beats: 4, BeatUnit: 4})
	}
	return &Reading{Score: s, Harmony: &harmony.Analysis{Keys: []tonal.KeySpan{{End: score.Tick(4 * measures)}}}}
}

// A key is told with a close of its own; or with its tonic and five measures; or if it opens on its
// tonic for four measures and begins a section or holds a half cadence. Choices of ours.
func TestSettledKeys(t *testing.T) {
	g := tonal.Key{Tonic: 1}
	tonic := tonal.Chord{End: 80, Key: g, Numeral: tonal.Numeral{Degree: 1}}
	sixth := tonic
	sixth.Inversion = 1
	half := []phrasing.Cadence{{At: 52, Key: g, Kind: phrasing.Half}}
	for name, x := range map[string]struct {
		end, arrival score.Tick
		close        phrasing.CadenceKind
		chord        tonal.Chord
		section      score.Tick
		half         []phrasing.Cadence
		want         bool
	}{
		"a close":                       {48, 44, phrasing.PerfectAuthentic, sixth, 0, nil, true},
		"its tonic, five measures":      {60, 44, "", sixth, 0, nil, true},
		"its tonic, four measures":      {56, 44, "", sixth, 0, nil, false},
		"five measures, no tonic":       {60, -1, "", sixth, 0, nil, false},
		"a section on the tonic":        {56, -1, "", tonic, 44, nil, true},
		"a section a measure too late":  {56, -1, "", tonic, 45, nil, false},
		"three measures of a section":   {52, -1, "", tonic, 40, nil, false},
		"a section, not on the tonic":   {56, -1, "", sixth, 40, nil, false},
		"a half cadence":                {56, -1, "", tonic, 0, half, true},
		"the half cadence comes later":  {52, -1, "", tonic, 0, half, false},
		"a half cadence, without tonic": {56, -1, "", sixth, 0, half, false},
	} {
		r := empty(20)
		r.Harmony.Chords, r.Harmony.Cadences = []tonal.Chord{x.chord}, x.half
		r.Harmony.Form.Sections = []form.Section{{}, {Span: form.Span{Start: x.section}}}
		if got := r.settled(events.Stay{Key: g, Start: 40, End: x.end, Arrival: x.arrival, Close: x.close}); got != x.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// The stop of the old key comes before the new key: a phrase that ends within a measure belongs
// to the old one, unless the new key's tonic is reached in it. Common practice, no source.
func TestKeyStartsAfterTheStop(t *testing.T) {
	for _, x := range []struct{ end, arrival, want score.Tick }{
		{44, -1, 44}, {45, -1, 40}, {44, 43, 40}, {44, 44, 44}, {42, 60, 44}, {40, 60, 40},
	} {
		r := empty(20)
		r.Harmony.Phrases = []phrasing.Phrase{{End: x.end}, {Start: x.end, End: 80}}
		if got := r.keyStart(events.Stay{Start: 40, End: 70, Arrival: x.arrival}); got != x.want {
			t.Errorf("a phrase ends at %d, the tonic comes at %d: starts at %d, want %d", x.end, x.arrival, got, x.want)
		}
	}
}

// Home is told where its tonic stands, or with the theme, if it lasts four measures before the next
// key; else it is left out. The first stay that is settled gives the place.
func TestHomeIsToldWhereItStands(t *testing.T) {
	g, f := tonal.Key{Tonic: 1}, tonal.Key{Tonic: -1}
	stay := func(k tonal.Key, start, end, back, stands score.Tick, theme bool) events.Stay {
		return events.Stay{Key: k, Start: start, End: end, Arrival: start, Close: phrasing.PerfectAuthentic, Back: back, Stands: stands, Theme: theme}
	}
	passing := stay(g, 4, 8, 8, 8, false)
	passing.Close = ""
	for want, list := range map[string][]events.Stay{
		"from C major it goes to G major (m. 6), home (m. 12) and F major (m. 16), and is home again in m. 19": {
			passing, stay(g, 20, 40, 40, 44, false), stay(f, 60, 68, 68, 72, false)},
		"from C major it goes to G major (m. 6), home (m. 11) and F major (m. 16), and is home again in m. 18": {
			stay(g, 20, 40, 40, 44, true), stay(f, 60, 68, 68, 72, true)},
		"from C major it goes to G major (m. 6) and F major (m. 16), and is home again in m. 19": {
			stay(g, 20, 40, 40, 48, false), stay(f, 60, 68, 68, 72, false)},
		"from C major it goes to G major (m. 6) and F major (m. 16)": {
			stay(g, 20, 40, 40, -1, false), stay(f, 60, 68, 68, -1, false)},
	} {
		if got := empty(20).keySentence(list); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
