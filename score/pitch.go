package score

import "strings"

// Pitch is a spelled pitch: a letter, its alteration and its octave.
type Pitch struct {
	Step   int     // 0 for C … 6 for B
	Alter  float64 // semitones: 1 sharp, -1 flat; fractions are microtones
	Octave int     // 4 starts at middle C
}

var stepSemitone = [7]int{0, 2, 4, 5, 7, 9, 11}

// stepFifths is each letter's place on the line of fifths, C at 0.
var stepFifths = [7]int{0, 2, 4, -1, 1, 3, 5}

// MIDI is the pitch as a MIDI key number, 60 for middle C; microtones are fractions.
func (p Pitch) MIDI() float64 {
	return float64(12*(p.Octave+1)+stepSemitone[p.Step]) + p.Alter
}

// Key is the nearest MIDI key.
func (p Pitch) Key() int {
	m := p.MIDI()
	if m < 0 {
		return int(m - 0.5)
	}
	return int(m + 0.5)
}

// Class is the pitch's spelled name without its octave.
func (p Pitch) Class() Class {
	alter := int(p.Alter)
	if f := p.Alter - float64(alter); f > 0.5 {
		alter++
	} else if f < -0.5 {
		alter--
	}
	return Class(stepFifths[p.Step] + 7*alter)
}

// String is the pitch's name in English with its octave: "Eb4", "F##2".
func (p Pitch) String() string {
	return p.Class().String() + itoa(p.Octave)
}

// Class is a spelled pitch class: its place on the line of fifths, C at 0,
// sharps upward (G 1, D 2, F# 6), flats downward (F -1, Bb -2).
type Class int

// PC is the pitch class 0–11, C at 0.
func (c Class) PC() int { return mod(7*int(c), 12) }

// Step is the letter, 0 for C … 6 for B.
func (c Class) Step() int { return mod(4*int(c), 7) }

// Alter is the alteration in semitones.
func (c Class) Alter() int { return floorDiv(int(c)+1, 7) }

// String is the English name: "C", "F#", "Bb", "F##".
func (c Class) String() string {
	a := c.Alter()
	sign := "#"
	if a < 0 {
		sign, a = "b", -a
	}
	return "CDEFGAB"[c.Step():c.Step()+1] + strings.Repeat(sign, a)
}

// ParseClass reads a name such as "C", "f#", "Bb", "Ebb"; ♯, ♭ and x are understood.
// Sharps and flats in one name are refused.
func ParseClass(s string) (Class, bool) {
	if s == "" {
		return 0, false
	}
	i := strings.IndexByte("CDEFGAB", s[0]&^0x20)
	if i < 0 {
		return 0, false
	}
	sharps, flats := 0, 0
	for _, r := range s[1:] {
		switch r {
		case '#', '♯':
			sharps++
		case 'x', '𝄪':
			sharps += 2
		case 'b', '♭':
			flats++
		case '𝄫':
			flats += 2
		default:
			return 0, false
		}
	}
	return Class(stepFifths[i] + 7*(sharps-flats)), sharps == 0 || flats == 0
}

func mod(a, n int) int {
	if a %= n; a < 0 {
		a += n
	}
	return a
}

func floorDiv(a, n int) int { return (a - mod(a, n)) / n }
