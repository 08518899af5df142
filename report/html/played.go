package html

import (
	"math"

	"hairpin/internal/midi"
	"hairpin/report"
	"hairpin/report/sound"
)

// played is everything that a report's own tones need (web/src/synth.ts): the
// performance with each loudness, so that it can switch between them.
type played struct {
	Playback
	Gain  float64      `json:"gain"`
	Parts []playedPart `json:"parts"`
}

// playedPart is a part in columns, one number a note: whole numbers pack well.
// Times are milliseconds, starts samples of 44,100 a second, levels twentieths of a step: a sixth of a decibel.
type playedPart struct {
	midi.Voice
	Curves  map[string][][2]int `json:"curves,omitempty"` // by loudness, the running level of tones that hold
	At      []int               `json:"at"`               // samples since the note before
	For     []int               `json:"for"`
	Key     []float64           `json:"key"`
	Printed []int               `json:"printed"`
	Shaped  []int               `json:"shaped"`
	Beats   []int               `json:"beats"`           // as shaped, bent beat by beat
	Drums   []int               `json:"drums,omitempty"` // which notes have no pitch
}

func newPlayed(r *report.Reading) (*played, error) {
	printed, err := performed(r, sound.PrintedLevel)
	if err != nil {
		return nil, err
	}
	shaped, err := performed(r, sound.ShapedLevel)
	if err != nil {
		return nil, err
	}
	beats, err := performed(r, sound.BeatsLevel)
	if err != nil {
		return nil, err
	}
	voices, gain := printed.Voices()
	line, _ := shaped.Voices()
	bent, _ := beats.Voices()
	out := &played{Playback: *newPlayback(r, printed), Gain: gain}
	for i, v := range voices {
		p := inColumns(printed, i)
		p.Shaped, p.Beats = levelsOf(shaped.Parts[i].Notes), levelsOf(beats.Parts[i].Notes)
		if v.Curve != nil {
			p.Curves = map[string][][2]int{"printed": curveInSteps(v.Curve), "shaped": curveInSteps(line[i].Curve), "beats": curveInSteps(bent[i].Curve)}
		}
		p.Voice, p.Voice.Curve = v, nil
		out.Parts = append(out.Parts, p)
	}
	return out, nil
}

func milliseconds(s float64) int { return int(math.Round(1000 * s)) }

func twentieths(level float64) int { return int(math.Round(20 * level)) }

// levelsOf are the levels of the notes of a part.
func levelsOf(notes []midi.Note) (out []int) {
	for _, n := range notes {
		out = append(out, twentieths(n.Level))
	}
	return out
}

// inColumns is a part as printed.
func inColumns(f *midi.Performance, part int) (p playedPart) {
	last := 0
	p.Printed = levelsOf(f.Parts[part].Notes)
	for k, n := range f.Parts[part].Notes {
		from := f.Seconds(n.Start)
		at := int(math.Round(midi.SampleRate * from))
		p.At, p.For = append(p.At, at-last), append(p.For, milliseconds(f.Seconds(n.End)-from))
		p.Key = append(p.Key, n.Key)
		if n.Drum {
			p.Drums = append(p.Drums, k)
		}
		last = at
	}
	return p
}

// curveInSteps keeps the moments at which a curve has moved by a twentieth of a step.
func curveInSteps(curve [][2]float64) (out [][2]int) {
	for _, m := range curve {
		if l := twentieths(m[1]); len(out) == 0 || out[len(out)-1][1] != l {
			out = append(out, [2]int{milliseconds(m[0]), l})
		}
	}
	return out
}
