package tonal

import (
	"math/bits"

	"hairpin/score"
)

// Set is a set of pitch classes: bit n is pitch class n.
type Set uint16

const allClasses Set = 1<<12 - 1

func SetOf(classes []score.Class) Set {
	var s Set
	for _, c := range classes {
		s |= 1 << c.PC()
	}
	return s
}

func SetOfKeys(midi []int) Set {
	var s Set
	for _, k := range midi {
		s |= 1 << Mod(k, 12)
	}
	return s
}

// Up transposes the set by n semitones.
func (s Set) Up(n int) Set {
	n = Mod(n, 12)
	return (s<<n | s>>(12-n)) & allClasses
}

func (s Set) Size() int { return bits.OnesCount16(uint16(s)) }

func (s Set) Has(pc int) bool { return s>>Mod(pc, 12)&1 == 1 }

func (s Set) Within(t Set) bool { return s&^t == 0 }

func Mod(a, n int) int {
	if a %= n; a < 0 {
		a += n
	}
	return a
}

// Scales as pitch-class sets on C.
const (
	MajorScale   Set = 1<<0 | 1<<2 | 1<<4 | 1<<5 | 1<<7 | 1<<9 | 1<<11
	NaturalMinor Set = 1<<0 | 1<<2 | 1<<3 | 1<<5 | 1<<7 | 1<<8 | 1<<10
)

// RegionScale is the region's scale in the form that holds the chord, and
// whether it does hold it. Tones are matched as spelled: C Eb G lies in no
// scale of E minor, though its keys do.
func RegionScale(region Key, chord []score.Class) (Set, bool) {
	tonic := region.Tonic.PC()
	scale := MajorScale.Up(tonic)
	if region.Minor {
		scale = NaturalMinor.Up(tonic)
	}
	holds := true
	for _, c := range chord {
		switch above := c - region.Tonic; {
		case !region.Minor:
			holds = holds && above >= -1 && above <= 5
		case above == 3 || above == 5: // the raised sixth and seventh
			scale = scale&^(1<<Mod(c.PC()-1, 12)) | 1<<c.PC()
		default:
			holds = holds && above >= -4 && above <= 2
		}
	}
	return scale, holds
}
