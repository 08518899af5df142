package page

import (
	"testing"

	"hairpin/dynamics/written"
	"hairpin/score"
)

func TestFingerprints(t *testing.T) {
	note := func(onset, length score.Tick, key, part int) score.Note {
		p := score.Pitch{Step: key % 7, Octave: 4 + key/7}
		return score.Note{Onset: onset, Duration: length, Pitch: p, Part: part}
	}
	measures := [][]score.Note{
		{note(0, 2, 0, 0), note(0, 2, 4, 1), note(2, 2, 3, 0), note(2, 2, 1, 1)},
		{note(0, 2, 0, 0), note(0, 2, 11, 1), note(2, 2, 3, 0), note(2, 2, 1, 1)}, // an octave higher
		{note(0, 2, 4, 0), note(0, 2, 0, 1), note(2, 2, 1, 0), note(2, 2, 3, 1)},  // the parts exchanged
		{note(0, 2, 3, 0), note(0, 2, 4, 1), note(2, 2, 0, 0), note(2, 2, 1, 1)},  // the order turned round
		{},
	}
	s := &score.Score{Division: 1}
	for m, notes := range measures {
		start := score.Tick(4 * m)
		s.Measures = append(s.Measures, score.Measure{Start: start, Length: 4})
		for _, n := range notes {
			n.Onset, n.Measure = n.Onset+start, m
			s.Notes = append(s.Notes, n)
		}
	}
	p := Fingerprints(s)
	if p[0] != p[1] {
		t.Error("an octave higher, the measure is another")
	}
	if p[0] == p[2] || p[0] == p[3] || p[2] == p[3] || p[4] != 0 {
		t.Errorf("measures that differ: %x", p)
	}
}

func TestEchoOfMeasures(t *testing.T) {
	s := written.Blank()
	for i := range s.Notes { // measure 2 repeats measure 1
		if s.Notes[i].Measure == 1 {
			s.Notes[i].Pitch = s.Notes[i-8].Pitch
		}
	}
	written.Put(t, s, "1:1 f", "2:1 p")
	for _, c := range Printed(s, nil).Contrasts {
		if c.Kind == Echo && s.At(c.At).String() == "2:1" {
			return
		}
	}
	t.Error("the echo is not named")
}
