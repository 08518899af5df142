package main

import (
	"github.com/spf13/pflag"

	"hairpin/musicxml"
)

// topic is a page of help that belongs to no command.
type topic struct{ name, does, text string }

func topics() []topic {
	return []topic{
		{"tension", "what the numbers from 0 to 100 mean", tensionHelp},
		{"numerals", "how chords are named", numeralsHelp},
		{"verdicts", "supports, works against, unshaped, independent, calm", verdictsHelp},
		{"corrections", "how to overrule a chord or a key", correctionsHelp},
		{"limits", "what is refused as too large, and how to read it all the same", limitsHelp()},
		{"care", "what an analysis can and cannot say; rest and hearing", careHelp},
	}
}

// limitPrefix begins the options that raise a limit.
const limitPrefix = "limit-"

func limitsHelp() string {
	fs, options := pflag.NewFlagSet("", pflag.ContinueOnError), ""
	fs.SortFlags = false
	registerLimits(fs, &musicxml.Limits{})
	fs.VisitAll(func(f *pflag.Flag) { options += helpOption(f) })
	return "A score beyond a limit is refused, so that no damaged or hostile file takes all of\n" +
		"the machine. To study the fullest score we tried, 240,000 notes in 20,000 measures,\n" +
		"took 10 seconds of one processor and 1 GB, to annotate it 13 and to reduce it 17\n" +
		"seconds and 1.5 GB. Drawing staves takes about a millisecond a note for each layout.\n" +
		"A report draws the measures shown, for screen and phone up to 10,000 notes, for the\n" +
		"screen alone up to 40,000: as many take some 40 seconds. Of more it draws the first\n" +
		"3,000, while the strip of the whole and the words cover all of it; --measures chooses\n" +
		"others. The report of the fullest score took 20 seconds so, of 100 measures of it 15.\n" +
		"Any printed score should be within the limits. Raise one for a file that you trust;\n" +
		"the number in brackets is what holds otherwise:\n\n" +
		options + "\nBytes end at 2 GiB, divisions and length at 1,000,000,000. A file that is broken\n" +
		"is refused whatever the limits are; it has to be exported again."
}

const tensionHelp = `Tension says how strongly a moment asks to go on: 0 is a tonic triad at rest,
100 the sharpest moment tonal music knows. It is absolute, so two pieces can be
compared. It has three parts:

  dissonance  how the sounding notes clash, notes foreign to the chord included
  distance    how far the chord is from its tonic, and its key from home
  pull        a dominant that waits for its resolution; it grows while delayed

--weights dissonance=1,distance=1,pull=1 changes how much each part counts.`

const numeralsHelp = `A numeral counts the degree in the key that holds there; in minor in the natural
scale, save that small vii stands on the leading tone. b and # lower and raise it.

  I iv V+ vii°   major, minor, augmented, diminished; ø half-diminished
  6 64           a triad over its third, over its fifth
  7 65 43 42     a seventh chord: in root position, over third, fifth, seventh
  V65/V          the same as in the key of V: the dominant of the dominant
  Cad64          tonic over the fifth of the scale, held up before the dominant
  bII6           the Neapolitan sixth
  It6 Fr43 Ger65 augmented sixths: of three notes, with 2nd, with 3rd degree
  maj7 9 sus4    with a major seventh; with a ninth; a fourth for the third

Chord names carry their bass after a stroke: D7/F# is D7 over F sharp.`

const verdictsHelp = `The printed loudness is laid over the tension, stretch by stretch:

  supports       loudness moves with the tension
  works against  it moves the other way, or an accent falls on the release
  unshaped       the harmony moves, nothing is printed for it
  independent    the page moves, the harmony stands still
  calm           neither moves

Working against is not a mistake: composers print it on purpose, as a subito p,
an echo or a climax held back. Ask whether the contrast is intended.

Parts count while they sound; one that enters without a mark takes the level of
its neighbours. f and p in turn are no growth, and sf, fp and fz are accents.
A dominant that waits counts as building; fading into its goal is a release.
Accents on every beat, half measure or measure are the metre. Only levels that a
mark states are named.

What the harmony does over a stretch is told by a small model of its chords,
bass, tension and cadence, fitted on stretches that readers labelled.

Certainty is sure, likely or unsure, that of the weakest of these: how the movement
stands on the page, whether a chord at an end may be another, and how often
verdicts so clear were right. On labelled scores, each left out of the fit in
turn, a reader upheld all 11 verdicts called sure, 9 of 10 called likely and 2 of
3 called unsure.`

const careHelp = `An analysis is advice. Chords, keys and tension are one reading of the notes;
your teacher and your ear decide.

A single line, modal, atonal or unpitched music gives little to hear harmony
from; the reading then says so.

Long loud practice can harm hands and hearing: rest often, practise the loud
passages softly too, and protect your ears.`

const correctionsHelp = `A reading you hear otherwise can be overruled. Write a line for each moment:

  # measure beat key numeral
  12 3 G V65/V    # from beat 3 of measure 12: G major, V65/V
  20 1 d -        # D minor from here on, the chords as heard
  31 2.5 - iiø65  # the key as heard, another chord

Measures carry their printed number; beats count in the denominator of the time
signature. Save it as a text file and name it:

  hairpin study SCORE --corrections FILE`
