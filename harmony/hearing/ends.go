package hearing

import (
	"fmt"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// hearThirds gives every plain triad and seventh chord the third that sounds: where
// its own does not and the other mode's does, the chord is of the other mode (common
// practice, no source). It must sound for leastThird of the chord, so that a passing
// tone does not turn it. A close on the bare dominant is major, whatever the next upbeat brings.
func hearThirds(s *score.Score, slices []tonal.Slice, chords []tonal.Chord) {
	j := 0
	for i := range chords {
		c := &chords[i]
		other, turned := otherMode(c.Quality)
		if !turned || len(c.Tones) < 3 || c.Numeral.Cadential {
			continue
		}
		third := c.Tones[1] - 7
		if other == tonal.Major || other == tonal.DominantSeventh {
			third = c.Tones[1] + 7
		}
		for j > 0 && slices[j].Start > c.Start {
			j--
		}
		for j < len(slices) && slices[j].End <= c.Start {
			j++
		}
		if own, rival := soundsIn(s, slices[j:], c, c.Tones[1]), soundsIn(s, slices[j:], c, third); own == 0 && float64(rival) >= leastThird*float64(c.Duration()) {
			turn(c, other, third)
		} else if i > 0 && leadsToFifth(chords[i-1], *c) && bareAtFirst(s, slices[j:], c) {
			turn(c, tonal.Major, c.Tones[1]+7)
		}
	}
}

const leastThird = 0.4

// leadsToFifth reports whether a minor triad on the fifth degree is what its own dominant
// leads to: a close on the dominant, which is major unless its third says otherwise (common
// practice, no source).
func leadsToFifth(before, c tonal.Chord) bool {
	return before.Key == c.Key && before.Numeral.Target == 5 && c.Numeral.Degree == 5 && c.Numeral.Target == 0 &&
		c.Numeral.Inversion == 0 && c.Quality == tonal.Minor
}

// bareAtFirst reports whether a chord's third is silent for the first half of it: what
// brings it then is an upbeat.
func bareAtFirst(s *score.Score, slices []tonal.Slice, c *tonal.Chord) bool {
	half := *c
	half.End = c.Start + c.Duration()/2
	return soundsIn(s, slices, &half, c.Tones[1]) == 0
}

// otherMode is the quality with the other third; ok is false where there is none.
func otherMode(q tonal.Quality) (tonal.Quality, bool) {
	switch q {
	case tonal.Major:
		return tonal.Minor, true
	case tonal.Minor:
		return tonal.Major, true
	case tonal.DominantSeventh:
		return tonal.MinorSeventh, true
	case tonal.MinorSeventh:
		return tonal.DominantSeventh, true
	}
	return q, false
}

// soundsIn is how long a pitch class sounds in a chord; slices start with its first.
func soundsIn(s *score.Score, slices []tonal.Slice, c *tonal.Chord, tone score.Class) score.Tick {
	var time score.Tick
	for _, sl := range slices {
		if sl.Start >= c.End {
			break
		}
		for _, n := range sl.Notes {
			if s.Notes[n].Pitch.Class() == tone {
				time += sl.End - sl.Start
				break
			}
		}
	}
	return time
}

// turn gives the chord another third, if it then has a name in its key.
func turn(c *tonal.Chord, q tonal.Quality, third score.Class) {
	tones := q.Tones(c.Root)
	bass := c.Bass
	if bass == c.Tones[1] {
		bass = third
	}
	n, ok := tonal.NameChord(tones, bass, c.Key)
	if !ok {
		return
	}
	c.Why, c.RivalClose = fmt.Sprintf("%s sounds, %s does not", third, c.Tones[1]), false
	c.Quality, c.Tones, c.Bass, c.Numeral, c.Inversion = q, tones, bass, n, n.Inversion
	c.Rival = otherThan(c, c.Rival)
}

// endAtHome reads a major triad at the end, heard as the dominant of the
// subdominant, as the tonic of the minor key on its root, with the third raised, if
// two of three things say that this key is home: it ruled more of the piece than the
// one the chord was heard in, the piece opened in it, and its signature is printed
// (common practice, no source). sign is that signature, nil if there is none to go by.
func endAtHome(chords []tonal.Chord, sign *int) {
	n := len(chords) - 1
	if n < 1 {
		return
	}
	c := &chords[n]
	home := tonal.Key{Tonic: c.Root, Minor: true}
	applied := c.Numeral.Region(c.Key)
	if c.Given || c.Quality != tonal.Major || c.Numeral.Degree != 5 || c.Numeral.Inversion != 0 || applied.Tonic != c.Root-1 {
		return
	}
	ruled := map[tonal.Key]score.Tick{}
	for _, d := range chords[:n] {
		ruled[d.Key] += d.Duration()
	}
	votes := 0
	for _, yes := range [...]bool{c.Key == home || ruled[home] > ruled[c.Key], chords[0].Key == home, sign != nil && *sign == home.Fifths()} {
		if yes {
			votes++
		}
	}
	if votes < 2 {
		return
	}
	readIn(c, home, tonal.Numeral{Degree: 1, Quality: tonal.Major})
	for i := n - 1; i >= 0 && chords[i].Numeral.Cadential && chords[i].Key != home; i-- {
		d := &chords[i] // a six-four over the tonic, no cadential one
		if numeral, ok := tonal.NameChord(d.Tones, d.Bass, home); ok {
			readIn(d, home, numeral)
		}
	}
}

func readIn(c *tonal.Chord, k tonal.Key, n tonal.Numeral) {
	c.Key, c.Numeral, c.Inversion = k, n, n.Inversion
	c.Why += ", the third raised at the end"
}

// longestOpen is how many chords a passing key may have at the end of a piece that ends
// open: a choice of ours.
const longestOpen = 3

// endOpen reads a major triad at the end, heard as the raised tonic of a minor key that
// comes with the last chords alone, as the dominant of the key a fifth below, if that key
// was heard before and has the home signature or its own tonic as home: the piece ends
// open, on a half close (common practice, no source). Home is here the key of the first chord.
func endOpen(chords []tonal.Chord, sign *int) {
	n := len(chords) - 1
	if n < 1 || chords[n].Given || chords[n].Quality != tonal.Major || chords[n].Numeral.Degree != 1 || chords[n].Inversion != 0 || !chords[n].Key.Minor {
		return
	}
	first := n
	for first > 0 && chords[first-1].Key == chords[n].Key {
		first--
	}
	home := chords[0].Key
	if n-first >= longestOpen || chords[n].Key == home || sign != nil && *sign == chords[n].Key.Fifths() {
		return
	}
	ruled := map[tonal.Key]bool{}
	for _, c := range chords[:first] {
		ruled[c.Key] = true
	}
	for _, k := range [...]tonal.Key{{Tonic: chords[n].Root - 1, Minor: true}, {Tonic: chords[n].Root - 1}} {
		atHome := k == home || sign != nil && *sign == k.Fifths()
		if ruled[k] && atHome && readAll(chords[first:], k) {
			chords[n].Why += ", the piece ends open"
			return
		}
	}
}

// readAll reads chords in a key, if all have a name there.
func readAll(chords []tonal.Chord, k tonal.Key) bool {
	names := make([]tonal.Numeral, len(chords))
	for i, c := range chords {
		n, ok := tonal.NameChord(c.Tones, c.Bass, k)
		if !ok {
			return false
		}
		names[i] = n
	}
	for i := range chords {
		c := &chords[i]
		c.Key, c.Numeral, c.Inversion = k, names[i], names[i].Inversion
	}
	return true
}
