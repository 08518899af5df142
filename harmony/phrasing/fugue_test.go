package phrasing

import (
	"slices"
	"testing"

	"hairpin/harmony/form"
	"hairpin/harmony/tonal"
	"hairpin/harmony/written"
	"hairpin/score"
)

// fugueOf hears the chords as a fugue of two parts, of which the second starts with a chord.
func fugueOf(s *score.Score, chords []tonal.Chord, second int) ([]Phrase, []Cadence) {
	page, at := form.Read(s, 0), chords[second].Start
	page.Fugue = &form.Fugue{Parts: []form.FuguePart{
		{Span: form.Span{Start: 0, End: at}, Kind: form.EntryPart},
		{Span: form.Span{Start: at, End: s.Length()}, Kind: form.EpisodePart},
	}}
	w := DefaultWeights()
	w.Bar = framed / 2 // more than it usually weighs
	return FindOn(page, chords, w)
}

// A part of a fugue begins a phrase, and nothing cuts it. It closes where three voices strike
// the tonic together after their dominant, though the next part starts there; over two voices
// the music goes on. Common practice, no source.
func TestFugueIsCutWhereItsPartsBegin(t *testing.T) {
	for _, x := range []struct {
		name   string
		voices int
		second int // chord that starts the second part
		want   CadenceKind
	}{{"before the tonic", 4, 3, PerfectAuthentic}, {"after the tonic", 4, 4, PerfectAuthentic}, {"two voices", 2, 4, ""}, {"inside", 4, 2, ""}} {
		s, chords := written.Chorale{Chords: "I:4 vi:4 V:4 I:4 IV:4 V:4 I:4", Soprano: "3 3 2 1 1 2 1"}.Write(t, tonal.Key{})
		if x.voices < 4 {
			s.Notes = outer(s.Notes)
		}
		s.DoubleBar = []score.Tick{chords[1].Start} // it would begin a phrase elsewhere
		phrases, cadences := fugueOf(s, chords, x.second)
		if len(phrases) != 2 || phrases[1].Start != chords[x.second].Start || phrases[0].Open != "" {
			t.Fatalf("%s: phrases %+v", x.name, phrases)
		}
		kind := CadenceKind("")
		if k := phrases[0].Cadence; k >= 0 {
			kind = cadences[k].Kind
		}
		if kind != x.want {
			t.Errorf("%s: it closes with %q, want %q", x.name, kind, x.want)
		}
	}
}

// outer leaves the highest and the lowest of the notes that start together.
func outer(list []score.Note) (out []score.Note) {
	for _, n := range list {
		above := slices.ContainsFunc(list, func(x score.Note) bool { return x.Onset == n.Onset && x.Pitch.MIDI() > n.Pitch.MIDI() })
		below := slices.ContainsFunc(list, func(x score.Note) bool { return x.Onset == n.Onset && x.Pitch.MIDI() < n.Pitch.MIDI() })
		if !above || !below {
			out = append(out, n)
		}
	}
	return out
}
