package tension

import (
	"fmt"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// Written is one chord of a sequence written out in numerals.
type Written struct {
	Key      tonal.Key
	Roman    string  // as [tonal.ParseNumeral] reads it
	Quarters float64 // its length; 0 means one quarter
	Keys     []int   // MIDI keys that sound; nil means four or five voices in a middle position
}

// RateSequence turns a sequence of chords into a one-part score in 4/4 and its
// analysis with every tension rated: what a passage would weigh if it were
// heard exactly so. Notes not in their chord are read as foreign to it and
// spelled with sharps. It fails on a numeral it cannot read.
func RateSequence(home tonal.Key, sequence []Written, w Weights) (*score.Score, *Course, error) {
	const division = 480
	s := &score.Score{Division: division, Parts: []score.Part{{ID: "P1", Staves: 1}}}
	a := &Course{Home: home}
	at := score.Tick(0)
	for i, b := range sequence {
		n, ok := tonal.ParseNumeral(b.Roman, b.Key)
		if !ok {
			return nil, nil, fmt.Errorf("chord %d: numeral %q is not understood", i+1, b.Roman)
		}
		length := score.Tick(division)
		if b.Quarters > 0 {
			length = score.Tick(b.Quarters * division)
		}
		a.Chords = append(a.Chords, givenChord(n, b.Key, at, at+length))
		s.Notes = append(s.Notes, blockNotes(&a.Chords[i], b.Keys, home)...)
		at += length
	}
	for t := score.Tick(0); t < at; t += 4 * division {
		s.Measures = append(s.Measures, score.Measure{Number: fmt.Sprint(len(s.Measures) + 1), Start: t,
			Length: 4 * division, Nominal: 4 * division, Beats: 4, BeatUnit: 4})
	}
	for i := range s.Notes {
		s.Notes[i].Measure = s.MeasureAt(s.Notes[i].Onset)
	}
	a.Slices = tonal.Slices(s, 0)
	a.Rate(s, w)
	return s, a, nil
}

// givenChord spells a numeral as a chord that is given, not heard.
func givenChord(n tonal.Numeral, k tonal.Key, start, end score.Tick) tonal.Chord {
	c := tonal.Spell(n, k)
	c.Start, c.End, c.Confidence, c.Certainty, c.Given = start, end, 1, tonal.Sure, true
	return c
}

// blockNotes writes a chord for one bass and an upper hand. Without given keys
// every tone lies in a window an octave wide above the tonic, so that common
// tones stay and the others move by little.
func blockNotes(c *tonal.Chord, keys []int, home tonal.Key) []score.Note {
	voices := len(keys) // given keys are one voice each
	if keys == nil {
		voices = 2
		low := 43 + home.Tonic.PC()
		keys = append(keys, low+tonal.Mod(c.Bass.PC()-low, 12))
		for _, tone := range c.Tones {
			keys = append(keys, low+14+tonal.Mod(tone.PC()-low-14, 12))
		}
	}
	out := make([]score.Note, len(keys))
	for i, k := range keys {
		out[i] = score.Note{Onset: c.Start, Duration: c.Duration(), Staff: 1, Voice: min(i+1, voices), Pitch: pitchAt(k, spell(k, c.Tones))}
	}
	return out
}

// spell names a key as the chord tone it is, or nearest to C.
func spell(key int, tones []score.Class) score.Class {
	for _, c := range tones {
		if c.PC() == tonal.Mod(key, 12) {
			return c
		}
	}
	return tonal.KeyAt(key, false).Tonic
}

// pitchAt is the spelled pitch of a MIDI key.
func pitchAt(key int, class score.Class) score.Pitch {
	p := score.Pitch{Step: class.Step(), Alter: float64(class.Alter())}
	p.Octave = key/12 - 1
	for p.Key() < key {
		p.Octave++
	}
	for p.Key() > key {
		p.Octave--
	}
	return p
}
