package harmony

import (
	"math/bits"

	"hairpin/score"
)

// set is a set of pitch classes: bit n is pitch class n.
type set uint16

const allClasses set = 1<<12 - 1

func setOf(classes []score.Class) set {
	var s set
	for _, c := range classes {
		s |= 1 << c.PC()
	}
	return s
}

func setOfKeys(midi []int) set {
	var s set
	for _, k := range midi {
		s |= 1 << mod(k, 12)
	}
	return s
}

// up transposes the set by n semitones.
func (s set) up(n int) set {
	n = mod(n, 12)
	return (s<<n | s>>(12-n)) & allClasses
}

func (s set) size() int { return bits.OnesCount16(uint16(s)) }

func (s set) has(pc int) bool { return s>>mod(pc, 12)&1 == 1 }

func (s set) within(t set) bool { return s&^t == 0 }

func mod(a, n int) int {
	if a %= n; a < 0 {
		a += n
	}
	return a
}

// Scales as pitch-class sets on C.
const (
	majorScale   set = 1<<0 | 1<<2 | 1<<4 | 1<<5 | 1<<7 | 1<<9 | 1<<11
	naturalMinor set = 1<<0 | 1<<2 | 1<<3 | 1<<5 | 1<<7 | 1<<8 | 1<<10
)

// regionScale is the region's scale in the form that holds the chord, and
// whether it does hold it. Tones are matched as spelled: C Eb G lies in no
// scale of E minor, though its keys do.
func regionScale(region Key, chord []score.Class) (set, bool) {
	tonic := region.Tonic.PC()
	scale := majorScale.up(tonic)
	if region.Minor {
		scale = naturalMinor.up(tonic)
	}
	holds := true
	for _, c := range chord {
		switch above := c - region.Tonic; {
		case !region.Minor:
			holds = holds && above >= -1 && above <= 5
		case above == 3 || above == 5: // the raised sixth and seventh
			scale = scale&^(1<<mod(c.PC()-1, 12)) | 1<<c.PC()
		default:
			holds = holds && above >= -4 && above <= 2
		}
	}
	return scale, holds
}
