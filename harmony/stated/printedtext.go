package stated

import (
	"slices"
	"strings"

	"github.com/go-music-theory/music-theory/chord"
	"github.com/go-music-theory/music-theory/note"

	"hairpin/harmony/tonal"
	"hairpin/score"
)

// This file is the one door through which the module music-theory enters. It
// serves where a score's chord symbol has no kind that MusicXML defines (kind
// "other", or the free words of older files) and only its printed text says
// what it is: "m7b5", "7#9", "sus4". The module knows the many ways such text
// is written. It does not spell, and for a name it cannot read it returns
// pitch classes called Nil instead of an error; so we give it a plain C, check
// every class, and spell the tones ourselves from the interval each is counted
// as.

// tonesOfText spells the tones of a chord symbol's text above a root, root
// first; false if the text says nothing that can be read.
func tonesOfText(root score.Class, text string) ([]score.Class, bool) {
	text = strings.NewReplacer("♭", "b", "♯", "#", "Δ", "maj", "−", "m").Replace(strings.TrimSpace(text))
	if text == "" || !strings.ContainsAny(text, "0123456789mMdajus+°ø") {
		return nil, false
	}
	c := chord.Of("C " + text) // the space keeps a "b5" from becoming C flat
	if c.Root != note.C || len(c.Tones) < 2 {
		return nil, false
	}
	var tones []score.Class
	for interval, class := range c.Tones {
		if class < note.C || class > note.B {
			return nil, false
		}
		tones = append(tones, root+spellInterval(int(interval), int(class-note.C)))
	}
	slices.SortFunc(tones, func(a, b score.Class) int { return height(a-root) - height(b-root) })
	if tones[0] != root {
		return nil, false
	}
	return tones, true
}

// spellInterval is the interval of the given number (3 for a third, 9 for a
// ninth) and size in semitones above C, on the line of fifths.
func spellInterval(number, semitones int) score.Class {
	step := tonal.Mod(number-1, 7)
	c := score.Class(plainDegree[step+1])
	for off := tonal.Mod(semitones-c.PC()+6, 12) - 6; off > 0; off-- {
		c += 7
	}
	for off := tonal.Mod(semitones-c.PC()+6, 12) - 6; off < 0; off++ {
		c -= 7
	}
	return c
}

// height orders tones above a root by letter: root, third, fifth, seventh,
// then the others as ninth, eleventh and thirteenth.
func height(above score.Class) int {
	step := above.Step()
	if step%2 == 1 {
		step += 7
	}
	return step
}
