package page

import (
	"math"
)

// The levels of the printed marks, in steps.
const (
	Niente = 0.0
	PPP    = 1.0
	PP     = 2.0
	P      = 3.0
	MP     = 4.0
	MF     = 5.0
	F      = 6.0
	FF     = 7.0
	FFF    = 8.0
)

// loudest is the highest level the scale knows: more f than fff add half steps up to here.
const loudest = 9.0

// Mark names a level with the nearest mark: "mf" for 4.8.
func Mark(level float64) string {
	marks := [...]string{"niente", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff"}
	i := int(math.Round(level))
	return marks[min(max(i, 0), len(marks)-1)]
}

// fromPercent is the level of MusicXML's percent of the default forte, which is
// velocity 90, at sixteen velocities a step (W3C Music Notation Community Group
// 2021, MusicXML 4.0, sound/@dynamics).
func fromPercent(percent float64) float64 { return Clamp(percent * 90 / 100 / 16) }

// Clamp keeps a level on the scale, silence to the loudest.
func Clamp(v float64) float64 { return min(max(v, Niente), loudest) }

// LevelMove is a change of level that counts, in steps: less is a nuance. Our
// own choice, common practice gives no number.
const LevelMove = 0.5

// stepRatio is the power of one step over the next, four decibels: between the
// 3 to 4.4 dB a step that the conventional velocities give under a square law
// in the middle of the scale (Dannenberg 2006, "The interpretation of MIDI velocity").
const stepRatio = 2.5

// log is the level of a power, by [stepRatio].
func log(x float64) float64 { return math.Log(x) / math.Log(stepRatio) }
