package tonal

import "hairpin/score"

// PitchNear is the pitch of a class next to a MIDI key; the lower of two equally near.
func PitchNear(c score.Class, key int) score.Pitch {
	p := score.Pitch{Step: c.Step(), Alter: float64(c.Alter())}
	for p.Octave = -1; p.Octave < 9 && p.Key()+6 < key; p.Octave++ {
	}
	return p
}
