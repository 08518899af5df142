package harmony

import (
	"fmt"

	"hairpin/score"
)

// hearThirds gives every plain triad and seventh chord the third that sounds: where
// its own does not and the other mode's does, the chord is of the other mode (common
// practice, no source). It must sound for leastThird of the chord, so that a passing
// tone does not turn it.
func (a *Analysis) hearThirds(s *score.Score) {
	j := 0
	for i := range a.Chords {
		c := &a.Chords[i]
		other, turned := c.Quality.otherMode()
		if !turned || len(c.Tones) < 3 || c.Numeral.Cadential {
			continue
		}
		third := c.Tones[1] - 7
		if other == Major || other == DominantSeventh {
			third = c.Tones[1] + 7
		}
		for j > 0 && a.Slices[j].Start > c.Start {
			j--
		}
		for j < len(a.Slices) && a.Slices[j].End <= c.Start {
			j++
		}
		if own, rival := a.soundsIn(s, j, c, c.Tones[1]), a.soundsIn(s, j, c, third); own == 0 && float64(rival) >= leastThird*float64(c.Duration()) {
			c.turn(other, third)
		}
	}
}

const leastThird = 0.4

// otherMode is the quality with the other third; ok is false where there is none.
func (q Quality) otherMode() (Quality, bool) {
	switch q {
	case Major:
		return Minor, true
	case Minor:
		return Major, true
	case DominantSeventh:
		return MinorSeventh, true
	case MinorSeventh:
		return DominantSeventh, true
	}
	return q, false
}

// soundsIn is how long a pitch class sounds in a chord; j is its first slice.
func (a *Analysis) soundsIn(s *score.Score, j int, c *Chord, tone score.Class) score.Tick {
	var time score.Tick
	for ; j < len(a.Slices) && a.Slices[j].Start < c.End; j++ {
		for _, n := range a.Slices[j].Notes {
			if s.Notes[n].Pitch.Class() == tone {
				time += a.Slices[j].End - a.Slices[j].Start
				break
			}
		}
	}
	return time
}

// turn gives the chord another third, if it then has a name in its key.
func (c *Chord) turn(q Quality, third score.Class) {
	tones := q.Tones(c.Root)
	bass := c.Bass
	if bass == c.Tones[1] {
		bass = third
	}
	n, ok := NameChord(tones, bass, c.Key)
	if !ok {
		return
	}
	c.Why = fmt.Sprintf("%s sounds, %s does not", third, c.Tones[1])
	c.Quality, c.Tones, c.Bass, c.Numeral, c.Inversion = q, tones, bass, n, n.Inversion
}

// endAtHome reads a major triad at the end, heard as the dominant of the
// subdominant, as the tonic of the minor key on its root, with the third raised, if
// two of three things say that this key is home: it ruled more of the piece than the
// one the chord was heard in, the piece opened in it, and its signature is printed
// (common practice, no source). sign is that signature, nil if there is none to go by.
func (a *Analysis) endAtHome(sign *int) {
	n := len(a.Chords) - 1
	if n < 1 {
		return
	}
	c := &a.Chords[n]
	home := Key{c.Root, true}
	applied := c.Numeral.Region(c.Key)
	if c.Given || c.Quality != Major || c.Numeral.Degree != 5 || c.Numeral.Inversion != 0 || applied.Tonic != c.Root-1 {
		return
	}
	ruled := map[Key]score.Tick{}
	for _, d := range a.Chords[:n] {
		ruled[d.Key] += d.Duration()
	}
	votes := truth(c.Key == home || ruled[home] > ruled[c.Key]) + truth(a.Chords[0].Key == home) + truth(sign != nil && *sign == home.Fifths())
	if votes < 2 {
		return
	}
	c.setKey(home, Numeral{Degree: 1, Quality: Major})
	for i := n - 1; i >= 0 && a.Chords[i].Numeral.Cadential && a.Chords[i].Key != home; i-- {
		d := &a.Chords[i] // a six-four over the tonic, no cadential one
		if numeral, ok := NameChord(d.Tones, d.Bass, home); ok {
			d.setKey(home, numeral)
		}
	}
}

func (c *Chord) setKey(k Key, n Numeral) {
	c.Key, c.Numeral, c.Inversion = k, n, n.Inversion
	c.Why += ", the third raised at the end"
}
