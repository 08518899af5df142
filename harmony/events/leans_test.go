package events

import "testing"

// Suspensions and appoggiaturas are told apart from their negative twins: the definitions
// of Aldwell & Schachter, Harmony and Voice Leading, chapters on figuration and
// suspensions, from memory.
func TestLeans(t *testing.T) {
	const tenor, bass = "e4:4 d4:4 e4:4", "c3:4 g3:4 c3:4"
	for _, c := range []struct {
		name, metre, chords string
		soprano             string
		suspension, appogg  string
	}{
		{"4–3 tied", "4/4", "C: I:4 V:4 I:4", "c5:6 b4:2 c5:4", "2:1", ""},
		{"4–3 struck again", "4/4", "C: I:4 V:4 I:4", "c5:4 c5:2 b4:2 c5:4", "2:1", ""},
		{"not prepared, by leap: an appoggiatura", "4/4", "C: I:4 V:4 I:4", "g4:4 c5:2 b4:2 c5:4", "", "2:1"},
		{"out of a rest: an appoggiatura", "4/4", "C: I:4 V:4 I:4", "g4:2 r:2 c5:2 b4:2 c5:4", "", "2:1"},
		{"resolved by leap: neither", "4/4", "C: I:4 V:4 I:4", "c5:6 g4:2 c5:4", "", ""},
		{"a leap that is not resolved by step", "4/4", "C: I:4 V:4 I:4", "g4:4 c5:2 g4:2 c5:4", "", ""},
		{"off the beat: a neighbour", "4/4", "C: I:4 V:4 I:4", "b4:5 c5:1 b4:2 c5:4", "", ""},
		{"passing through", "4/4", "C: I:4 V:4 I:4", "d5:4 c5:1 b4:3 c5:4", "", ""},
		{"not foreign to the chord", "4/4", "C: I:4 V:4 I:4", "g4:4 d5:2 b4:2 c5:4", "", ""},
		{"gives way on a stronger beat", "4/4", "C: I:5 V:3 I:4", "c5:6 b4:2 c5:4", "", ""},
		{"gives way to another foreign tone", "4/4", "C: I:4 V:4 I:4", "g4:4 f5:2 e5:2 c5:4", "", ""},
		{"9–8", "4/4", "C: I:4 V:4 I:4", "c5:4 d5:4 d5:2 c5:2", "3:1", ""},
	} {
		s, a := sheet(t, c.metre, c.chords, c.soprano, tenor, bass)
		found := Find(s, a)
		if got := told(s, found, Suspension); got != c.suspension {
			t.Errorf("%s: suspensions at %q, want %q", c.name, got, c.suspension)
		}
		if got := told(s, found, Appoggiatura); got != c.appogg {
			t.Errorf("%s: appoggiaturas at %q, want %q", c.name, got, c.appogg)
		}
	}
}

// A suspension in the bass is 2–3 (Fux, Gradus ad Parnassum, 1725, fourth species, from memory).
func TestSuspensionInTheBass(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:4 V6:4 I:4", "g4:4 g4:4 g4:4", "e4:4 d4:4 e4:4", "c3:6 b2:2 c3:4")
	e := only(t, Find(s, a), Suspension)
	if s.At(e.Start).String() != "2:1" || e.Reasons[0] != "2–3 in the bass" || e.Step != -1 || len(e.Notes) != 2 {
		t.Errorf("%+v", e)
	}
}

// The lean's notes come in order: preparation, suspension, resolution.
func TestSuspensionNotes(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:4 V:4 I:4", "c5:4 c5:2 b4:2 c5:4", "e4:4 d4:4 e4:4", "c3:4 g3:4 c3:4")
	e := only(t, Find(s, a), Suspension)
	var names []string
	for _, n := range e.Notes {
		names = append(names, s.Notes[n].Pitch.String())
	}
	if got := len(names); got != 3 || names[0] != "C5" || names[1] != "C5" || names[2] != "B4" {
		t.Errorf("notes %v", names)
	}
	if s.At(e.End).String() != "2:4" {
		t.Errorf("ends at %s", s.At(e.End))
	}
}

// Twins that need voices of their own.
func TestNoLean(t *testing.T) {
	for name, sheetOf := range map[string][]string{
		"a leading tone held over and rising":      {"C: V:4 I:4", "b4:6 c5:2", "d4:4 e4:4", "g3:4 c3:4"},
		"off the beat":                             {"C: I:2.5 V:1.5 I:4", "c5:3.25 b4:0.75 c5:4", "e4:2.5 d4:1.5 e4:4", "c3:2.5 g3:1.5 c3:4"},
		"foreign to the chord before":              {"C: I:4 vi6:4", "f5:6 e5:2", "g4:4 a4:4", "c3:4 c3:4"},
		"a sixth over the bass, without a clash":   {"C: I:4 I:4", "e5:4 a4:2 g4:2", "e4:4 e4:4", "c3:4 c3:4"},
		"over an octave, without a chord":          {"C: I:4 I:4", "g4:4 d5:2 c5:2", "c4:4 c4:4", "c3:4 c3:4"},
		"the bass is foreign to the chord as well": {"C: I:4 V:4", "g4:4 c5:2 b4:2", "e4:4 d4:4", "c3:4 c3:4"},
	} {
		s, a := sheet(t, "4/4", sheetOf[0], sheetOf[1:]...)
		found := Find(s, a)
		if got := told(s, found, Suspension) + told(s, found, Appoggiatura); got != "" {
			t.Errorf("%s: at %s", name, got)
		}
	}
}

// Two tones that lean at once are one event, told of the surer.
func TestDoubleLean(t *testing.T) {
	s, a := sheet(t, "4/4", "C: I:4 V:4 I:4", "c5:6 b4:2 c5:4", "e4:4 a4:2 g4:2 e4:4", "c3:4 g3:4 c3:4")
	found := Find(s, a)
	only(t, found, Suspension)
	if got := told(s, found, Appoggiatura); got != "" {
		t.Errorf("an appoggiatura besides at %s", got)
	}
}
